"""Tyres are held for a customer until a time: sets as the counter answered them, or pieces."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from typing import Any

from django.contrib.auth.models import User
from django.db import transaction

from inventory.activities import answers, recipes
from inventory.activities.holding.choosing import Chosen, asked_skus, choose_pieces, choose_set
from inventory.activities.holding.parts import Part
from inventory.activities.holding.refusals import NoSet, NotThatManySets
from inventory.activities.holding.writing import Purpose, refuse_purpose, write_hold
from inventory.availability import Need
from inventory.ledger.lapse import lock_shelf
from inventory.ledger.moves import some
from inventory.models.customer import Customer, CustomerCar
from inventory.models.hold import Hold
from inventory.models.sku import Sku
from inventory.promising import held_from, refuse_withdrawn

MOST_SETS = 100


def hold_sets(
    *,
    customer: Customer,
    need: Need,
    what: str,
    until: datetime,
    sets: int = 1,
    shown: Sequence[Part] | None = None,
    other_choice: bool = False,
    pinned: bool = False,
    car: CustomerCar | None = None,
    why: str = "",
    said: Mapping[str, Any] | None = None,
    by: User,
    at: datetime,
) -> tuple[Hold, ...]:
    """Hold so many matched sets for a customer until a time, each a hold of its own.

    ``need`` is the question as the counter asked it, ``shown`` the lots that it named of one set
    (`parts_of`); without them the best there is. If they have gone it is refused, unless another
    choice will do. ``pinned``: the customer was told the week, so no later choice moves it.
    ``said`` is kept with the hold: use, market, class, verdict and reasons. All of it or nothing.

    Raises NotThatManySets, NotUntilThen, AnothersCar, NoSet, NotAsShown, Faulty,
    ApprovalWithdrawn.
    """
    refuse_sets(sets)
    purpose = Purpose(
        customer=customer, car=car, what=what, why=why, until=until, pinned=pinned
    )  # fmt: skip
    refuse_purpose(purpose, at=at)
    with transaction.atomic():
        known = held_from(at)
        lock_shelf(asked_skus([need]), by=by, at=at)
        made: list[Hold] = []
        for number in range(sets):
            first = shown if number == 0 else None
            try:
                chosen = choose_set(need, shown=first, other_choice=other_choice, at=at)
            except NoSet as refused:
                raise NoSet(refused.reason, found=number, asked=sets) from None
            made.append(hold_chosen(purpose, need, chosen, said or {}, by=by, at=at))
        refuse_withdrawn(made, at=known)
    return tuple(made)


def hold_chosen(
    purpose: Purpose,
    need: Need,
    chosen: Chosen,
    said: Mapping[str, Any],
    *,
    by: User,
    at: datetime,
) -> Hold:
    """Hold a set that was chosen under locks, with what was asked and answered."""
    kept = answers.frozen(said, need, chosen.answer)
    whole = replace(purpose, recipe=recipes.kept(need.recipe), answer=kept)
    return write_hold(whole, chosen.tyres, chosen.companions, by=by, at=at)


def hold_pieces(
    *,
    customer: Customer,
    sku: Sku,
    quantity: int,
    until: datetime,
    shown: Sequence[Part] | None = None,
    other_choice: bool = False,
    site_id: int | None = None,
    pinned: bool = False,
    car: CustomerCar | None = None,
    what: str = "",
    why: str = "",
    said: Mapping[str, Any] | None = None,
    by: User,
    at: datetime,
) -> Hold:
    """Hold so many pieces of one SKU, the oldest unless lots are named.

    Raises NoneAsked, NotWhole, TooMany, NotUntilThen, AnothersCar, NotEnough, NotAsShown, Faulty,
    ApprovalWithdrawn.
    """
    some(quantity)
    purpose = Purpose(
        customer=customer,
        car=car,
        what=what or f"{quantity} of {sku}",
        why=why,
        until=until,
        pinned=pinned,
        answer=said or {},
    )
    refuse_purpose(purpose, at=at)
    with transaction.atomic():
        known = held_from(at)
        lock_shelf([sku.pk], by=by, at=at)
        parts = choose_pieces(
            sku, quantity, site_id=site_id, shown=shown, other_choice=other_choice, at=at
        )
        made = write_hold(purpose, parts, by=by, at=at)
        refuse_withdrawn([made], at=known)
    return made


def refuse_sets(sets: object) -> int:
    """The number of sets, or NotThatManySets."""
    if isinstance(sets, bool) or not isinstance(sets, int) or not 1 <= sets <= MOST_SETS:
        raise NotThatManySets(sets, MOST_SETS)
    return sets
