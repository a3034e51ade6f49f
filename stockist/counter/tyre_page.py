"""One tyre in words: its sidewall, its shelf, the cars that take it."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from fitments.lookup.cars import CarsPage, Fits
from fitments.lookup.span import said
from fitments.lookup.tested import found_in_tests
from fitments.rules.values import DaySpan, Verdict
from inventory.models.sku import Sku
from stockist.counter import wording
from stockist.counter.forms import WishForm
from stockist.counter.shelf import ShelfAnswer
from stockist.counter.shelf_rows import shelf_row
from stockist.drawings.sidewall import SidewallPicture, sidewall


@dataclass(frozen=True, slots=True)
class CarRow:
    """One car that takes the tyre: both axles in one row where they say the same."""

    code: str
    name: str
    axles: str
    built: str
    built_code: str
    standing: str
    verdict: Verdict
    why: str


def car_rows(fits: Sequence[Fits]) -> list[CarRow]:
    """Cars in their order, front and rear of one period in one row where they are judged alike."""
    rows: dict[tuple[object, ...], tuple[Fits, list[str]]] = {}
    for one in fits:
        key = (one.variant.code, one.built, one.standing, one.verdict.outcome)
        rows.setdefault(key, (one, []))[1].append(str(one.axle))
    return [
        CarRow(
            one.variant.code,
            str(one.variant),
            " and ".join(axles),
            _period(one.built),
            one.built.first.isoformat() if one.built.first else "",
            one.standing,
            one.verdict,
            next((finding.words for finding in one.verdict.worst), ""),
        )
        for one, axles in rows.values()
    ]


def _period(built: DaySpan) -> str:
    if built.first and built.last:
        return f"{said(built.first)} to {said(built.last)}"
    if built.first:
        return f"from {said(built.first)}"
    return f"to {said(built.last)}" if built.last else "at any time"


def tyre_page(
    sku: Sku,
    form: WishForm,
    shelf: ShelfAnswer | None,
    fits: CarsPage | None,
    at: datetime,
) -> dict[str, object]:
    """The context of a tyre's page."""
    return {
        "sku": sku,
        "title": wording.title_of(sku),
        "form": form,
        "row": shelf_row(shelf, at) if shelf else None,
        "cars": car_rows(fits.fits) if fits else [],
        "after": fits.after if fits else None,
        "picture": picture_of(sku) if sku.size else None,
        "tested": found_in_tests(sku, known_on=at),
        "key": f"{uuid.uuid4()}",
    }


def picture_of(sku: Sku) -> SidewallPicture:
    """The sidewall of a SKU as it should read."""
    return sidewall(
        size=sku.size,
        service="",
        maker=sku.maker.name,
        pattern=sku.pattern.name if sku.pattern else "",
        mark=sku.mark,
        mark_issue=sku.mark_issue,
        tube=sku.get_tube_display() if sku.tube else "",
        type_approvals=tuple(str(one) for one in sku.type_approvals.all()),
        sidewall_style=sku.sidewall,
    )
