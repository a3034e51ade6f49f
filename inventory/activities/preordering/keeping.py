"""Part of a set has come: whole axles of it are kept, fronts before rears, until the rest comes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from django.contrib.auth.models import User
from django.db import transaction
from django.utils import timezone

from inventory.activities import answers
from inventory.activities.holding.choosing import Chosen, choose_set
from inventory.activities.holding.making import hold_chosen
from inventory.activities.holding.refusals import NoSet
from inventory.activities.holding.writing import MOST_DAYS, Purpose
from inventory.availability import Need
from inventory.ledger.held import end_holds, locked_holds
from inventory.models.expected import ExpectedState
from inventory.models.hold import Hold, HoldState
from inventory.models.preorder import PreOrder
from inventory.sets.recipe import RecipePlace

KEPT_FOR = timedelta(days=14)
"""How long tyres that came for somebody without an order are held, and those kept for a set after
the day on which the rest of it is due (common practice, no source)."""
LONGEST = 240


class _NoMore(Exception):
    """There is no more to be had than is kept."""


def kept_now(pre_order: PreOrder, *, at: datetime) -> Hold | None:
    """What is kept of the set, if it stands and no order has it."""
    found = Hold.objects.filter(kept_for=pre_order, state=HoldState.OPEN, order_line=None).first()
    return found if found is not None and not found.lapsed_by(at) else None


def kept_keys(waiting: Sequence[PreOrder]) -> list[int]:
    """The holds that are open for these, to be locked with the shelf."""
    rows = Hold.objects.open().filter(kept_for__in=waiting).order_by("pk")
    return list(rows.values_list("pk", flat=True))


def let_kept_go(pre_order: PreOrder, *, why: str, by: User, at: datetime) -> None:
    """Release what is kept of the set, before any lock on a balance that is not its own."""
    kept = kept_now(pre_order, at=at)
    if kept is not None:
        standing = locked_holds([kept.pk])[kept.pk]
        if standing.state == HoldState.OPEN and standing.order_line_id is None:
            end_holds([standing], state=HoldState.RELEASED, why=why, by=by, at=at)


def keep_axles(pre_order: PreOrder, *, by: User, at: datetime) -> Hold | None:
    """Keep as many whole axles as can be had, the set's first one first; the hold, if it is new.

    All that lies of the set is locked, and it is not to be had whole. What is kept already stays
    as it is where there is no more. What was kept and has ended since is not kept anew: its time
    was up, or somebody let it go.
    """
    kept = kept_now(pre_order, at=at)
    if kept is None and pre_order.kept.exists():
        return None
    need = answers.need_of(pre_order.recipe, pre_order.answer)
    before = axles_of(kept)
    try:
        with transaction.atomic():
            let_kept_go(pre_order, why="kept with more of the set", by=by, at=at)
            names, chosen = _most(need, at=at)
            if chosen is None or len(names) <= len(before):
                raise _NoMore
            return _keep(pre_order, need, names, chosen, by=by, at=at)
    except _NoMore:
        return None


def axles_of(kept: Hold | None) -> tuple[str, ...]:
    """The places on the car that a hold has tyres for."""
    if kept is None:
        return ()
    lines = kept.lines.exclude(for_place="").order_by("pk")
    return tuple(dict.fromkeys(lines.values_list("for_place", flat=True)))


def _most(need: Need, *, at: datetime) -> tuple[list[str], Chosen | None]:
    """As many axles as match together, each in its turn; a spare alone is no axle."""
    names: list[str] = []
    most: Chosen | None = None
    for place in need.recipe.places:
        if place.joins or place.apart:
            continue
        try:
            part = _part(need, [*names, place.name])
            most = choose_set(part, shown=None, other_choice=True, at=at)
        except NoSet:
            continue
        names.append(place.name)
    return names, most


def _part(need: Need, names: Sequence[str]) -> Need:
    """The same question for these axles alone."""
    places: tuple[RecipePlace, ...] = tuple(
        place for place in need.recipe.places if place.name in names
    )
    return replace(need, key=None, recipe=replace(need.recipe, places=places, companions=()))


def _keep(
    pre_order: PreOrder, need: Need, names: Sequence[str], chosen: Chosen, *, by: User, at: datetime
) -> Hold:
    axles = " and ".join(names)
    missing = " and ".join(one.name for one in need.recipe.places if one.name not in names)
    what = f"{axles} only, of {pre_order.what}"
    purpose = Purpose(
        customer=pre_order.customer,
        car=pre_order.car,
        what=what if len(what) <= LONGEST else f"{what[: LONGEST - 1]}…",
        why=f"{pre_order.number}, queued {pre_order.queued_at:%d.%m.%Y}: {axles} kept as a whole "
        f"axle; {missing} still to come, and nothing of it is held.",
        until=_until(pre_order, at),
        kept_for=pre_order,
    )
    said = answers.said_of(pre_order.answer)
    return hold_chosen(purpose, _part(need, names), chosen, said, by=by, at=at)


def _until(pre_order: PreOrder, at: datetime) -> datetime:
    """Some days after the rest of it is due, or after today where nothing of it is on its way."""
    lines = pre_order.lines.filter(expected__state=ExpectedState.EXPECTED)
    due = [line.expected.expected_on for line in lines.select_related("expected").order_by("pk")]
    today = timezone.localdate(at)
    days = max([(day - today).days for day in due], default=0)
    return min(at + timedelta(days=max(days, 0)) + KEPT_FOR, at + timedelta(days=MOST_DAYS))
