"""Which lots will be over the limit before they are likely to be sold, the oldest sold first."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from itertools import groupby
from typing import Any

import numpy as np

from inventory.ageing.limits import crosses_on
from inventory.ageing.lots import AgedLot
from inventory.models.alert import Suggestion
from inventory.planning.arrays import Floats, Ints
from inventory.planning.levels import left
from inventory.planning.words import pieces, said

HORIZON_DAYS = 730
"""How far ahead is looked (common practice, no source)."""
WORTH_SAYING = 1.0
"""Fewer tyres than this expected to be left are not worth a word."""

Asked = Callable[[Ints, Ints], tuple[Floats, Floats]]
"""Mean and variance of what is asked for of some SKUs, by their numbers, up to some days ahead."""


@dataclass(frozen=True, slots=True)
class Ageing:
    """One lot, with what is expected of it and what may be done."""

    lot_id: int
    crosses_on: date
    pieces: int
    expected_left: Decimal
    money: Decimal | None
    currency: str
    suggestion: str
    sentence: str
    told: dict[str, Any]


@dataclass(frozen=True, slots=True)
class _Whole:
    """A lot over all its sites; ``before`` are the pieces of its SKU that are older."""

    first: AgedLot
    sites: dict[str, int]
    pieces: int
    before: int
    crosses: date


def crossing(
    lots: Sequence[AgedLot],
    *,
    limit: int,
    on: date,
    asked: Asked,
    busy: Mapping[tuple[int, str], int],
    suppliers: frozenset[int],
) -> list[Ageing]:
    """The lots to be told of, by the day on which they cross.

    Whoever asks is given the oldest: of a lot and all that is older, what is not asked for until
    the day is left, and the older ones' share of that is theirs. ``busy`` is what was sold by SKU
    and site, ``suppliers`` are SKUs that a supplier has terms for.
    """
    soon = [one for one in _whole(lots, limit) if (one.crosses - on).days <= HORIZON_DAYS]
    if not soon:
        return []
    remaining = _left(soon, on, asked)
    sold = _by_sku(busy)
    found = [
        _ageing(one, float(over), limit, on, _busier(one, sold), one.first.sku_id in suppliers)
        for one, over in zip(soon, remaining, strict=True)
        if over >= WORTH_SAYING
    ]
    return sorted(found, key=lambda one: (one.crosses_on, one.lot_id))


def _whole(lots: Sequence[AgedLot], limit: int) -> list[_Whole]:
    """Dated lots that may be sold, each with what is older of its SKU."""
    told = [one for one in lots if one.to_sell and one.last_day is not None]
    found: list[_Whole] = []
    for _, of_sku in groupby(told, key=lambda one: one.sku_id):
        before = 0
        for _, parts in groupby(of_sku, key=lambda one: one.lot_id):
            rows = list(parts)
            sites = {one.site: one.pieces for one in rows}
            number, last = sum(sites.values()), rows[0].last_day
            assert last is not None  # noqa: S101 - told apart above
            found.append(_Whole(rows[0], sites, number, before, crosses_on(last, limit)))
            before += number
    return found


def _left(soon: Sequence[_Whole], on: date, asked: Asked) -> Floats:
    """Pieces of each lot that are expected to be there on the day it crosses."""
    days = np.array([max((one.crosses - on).days, 0) for one in soon])
    mean, variance = asked(np.array([one.first.sku_id for one in soon]), days)
    before = np.array([one.before for one in soon], float)
    number = np.array([one.pieces for one in soon], float)
    remaining = left(before + number, mean, variance) - left(before, mean, variance)
    return np.asarray(np.where(days == 0, number, np.minimum(remaining, number)))


def _by_sku(busy: Mapping[tuple[int, str], int]) -> dict[int, dict[str, int]]:
    found: dict[int, dict[str, int]] = {}
    for (sku, site), number in busy.items():
        found.setdefault(sku, {})[site] = number
    return found


def _busier(one: _Whole, by_sku: Mapping[int, Mapping[str, int]]) -> str:
    """The site that sold more of it than where most of it lies, "" where none did."""
    here = max(one.sites, key=lambda site: (one.sites[site], site))
    sold = by_sku.get(one.first.sku_id, {})
    best = max(sold, key=lambda site: (sold[site], site), default=here)
    return best if sold.get(best, 0) > sold.get(here, 0) else ""


def _ageing(one: _Whole, over: float, limit: int, on: date, busier: str, has_terms: bool) -> Ageing:
    past = one.crosses <= on
    cost = one.first.unit_cost
    money = None if cost is None else (cost * Decimal(over)).quantize(Decimal("0.01"))
    if past:
        suggestion = Suggestion.OFF_SALE
    elif busier:
        suggestion = Suggestion.MOVE
    elif has_terms and over > one.pieces / 2 and (one.crosses - on).days > 365:
        suggestion = Suggestion.SUPPLIER
    else:
        suggestion = Suggestion.OFFER
    plain = Ageing(
        one.first.lot_id,
        one.crosses,
        one.pieces,
        Decimal(over).quantize(Decimal("0.1")),
        money,
        one.first.currency if money is not None else "",
        suggestion.value,
        "",
        {
            "sites": one.sites,
            "older": one.before,
            "expected_sold": round(one.pieces - over, 1),
            "limit_months": limit,
            "busier": busier,
        },
    )
    return replace(plain, sentence=_sentence(one, plain, past))


def _sentence(one: _Whole, found: Ageing, past: bool) -> str:
    of = f"{found.pieces} of lot {one.first.code}, {one.first.sku}, date code {one.first.date_code}"
    stake = "" if found.money is None else f", {found.money:,.2f} {found.currency} at cost"
    limit = f"the house's limit of {found.told['limit_months']} months"
    to_do = Suggestion(found.suggestion).label
    if found.told["busier"]:
        to_do += f", {found.told['busier']}"
    if past:
        verb = "has" if found.pieces == 1 else "have"
        return f"{of}, {verb} been over {limit} since {said(one.crosses)}{stake}: {to_do}."
    return (
        f"{of}, come to {limit} on {said(one.crosses)}; by the forecast about"
        f" {pieces(float(found.expected_left))} of them will be there still{stake}: {to_do}."
    )
