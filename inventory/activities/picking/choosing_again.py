"""What was not found is chosen again: held, and put on the list as lines of their own."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

from django.contrib.auth.models import User

from inventory.activities.picking.holding_lines import Spot, less, more
from inventory.activities.picking.matching import Gone, Key, Part, Shelf, parts_of, without
from inventory.activities.picking.standing import Missing
from inventory.activities.picking.standing_in import stand_ins
from inventory.ledger.post import Move, post
from inventory.models.hold import Hold, HoldLine
from inventory.models.pick import PickLine, PickLineState
from inventory.models.posting import PostingKind


def choose_again(
    hold: Hold, gone: Sequence[Missing], shelf: Shelf, *, pinned: bool, by: User, at: datetime
) -> list[PickLine]:
    """Choose what stands in for tyres of a hold that were not found, all that is missing of it.

    The balances of the shelf are locked. ``pinned``: the customer was told the week, so only tyres
    of that week will do.
    """
    wanted = [Gone(one.line.for_place, one.line.lot.sku_id, one.quantity) for one in gone]
    stay = parts_of(hold)
    if pinned:
        shelf = _of_their_weeks(shelf, gone)
    found, moved = stand_ins(shelf, stay, wanted), list[Part]()
    if not found and any(part.for_place for part in wanted) and not pinned:
        moved = _may_move(hold, gone[0].line)
        stay = _without_all(stay, moved)
        anew = [Gone(one.for_place, shelf.lots[one.key].sku_id, one.quantity) for one in moved]
        found = stand_ins(shelf, stay, [*wanted, *anew], given_up=moved) if moved else []
    if not found:
        return []
    return _held(hold, gone, found, moved, pinned=pinned, by=by, at=at)


def _of_their_weeks(shelf: Shelf, gone: Sequence[Missing]) -> Shelf:
    """The shelf with nothing to be had of other weeks; what the hold has of them stays on it."""
    told = {(one.line.lot.sku_id, one.line.lot.date_code) for one in gone}
    lots = {
        key: lot if (lot.sku_id, lot.date_code) in told else replace(lot, on_hand=lot.held)
        for key, lot in shelf.lots.items()
    }
    return replace(shelf, lots=lots)


def _may_move(hold: Hold, line: PickLine) -> list[Part]:
    """What of the set is not picked yet and may be of other lots for all the customer knows."""
    pinned = HoldLine.objects.filter(hold=hold, pinned=True)
    told = set(pinned.values_list("for_place", "lot_id", "place_id"))
    rows = PickLine.objects.filter(
        pick_list=line.pick_list_id, hold=hold, state=PickLineState.OPEN
    ).exclude(for_place="")
    total: Counter[tuple[str, Key]] = Counter()
    for row in rows.order_by("pk"):
        if (row.for_place, row.lot_id, row.place_id) not in told:
            total[row.for_place, (row.lot_id, row.place_id)] += row.quantity
    return [Part(for_place, key, quantity) for (for_place, key), quantity in total.items()]


def _without_all(parts: Sequence[Part], gone: Sequence[Part]) -> list[Part]:
    left = list(parts)
    for part in gone:
        left = without(left, part)
    return left


def _held(
    hold: Hold,
    gone: Sequence[Missing],
    found: Sequence[Part],
    moved: Sequence[Part],
    *,
    pinned: bool,
    by: User,
    at: datetime,
) -> list[PickLine]:
    """Hold what was chosen, let go of what it replaces, and change the list accordingly."""
    change: Counter[tuple[str, Key]] = Counter()
    for part in found:
        change[part.for_place, part.key] += part.quantity
    for part in moved:
        change[part.for_place, part.key] -= part.quantity
    _book(change, gone[0].line, by, at)
    wanting = {one.line: one.quantity for one in gone}
    fresh = []
    for (for_place, key), quantity in change.items():
        spot = Spot(*key, for_place)
        if quantity < 0:
            less(hold, spot, -quantity)
            _fewer_to_pick(hold, gone[0].line, spot, -quantity)
        elif quantity > 0:
            more(hold, spot, quantity, pinned=pinned)
            fresh += _to_pick(hold, gone[0].line.pick_list_id, spot, quantity, wanting)
    return fresh


def _book(change: Counter[tuple[str, Key]], line: PickLine, by: User, at: datetime) -> None:
    by_key: Counter[Key] = Counter()
    for (_, key), quantity in change.items():
        by_key[key] += quantity
    moves = [Move(*key, 0, quantity) for key, quantity in by_key.items() if quantity]
    if moves:
        number = line.pick_list.number
        note = f"instead of lot {line.lot}, which was short"
        post(kind=PostingKind.HOLD, lines=moves, by=by, at=at, document=number, note=note)


def _to_pick(
    hold: Hold, listed: int, spot: Spot, quantity: int, wanting: dict[PickLine, int]
) -> list[PickLine]:
    """Lines for so many of a spot, each instead of a line that still wants some of its axle."""
    made = []
    for line, wants in wanting.items():
        taken = min(wants, quantity) if line.for_place == spot.for_place else 0
        if taken:
            wanting[line] -= taken
            quantity -= taken
            made.append(_line(hold, listed, spot, taken, line))
    return [*made, _line(hold, listed, spot, quantity, None)] if quantity else made


def _line(
    hold: Hold, listed: int, spot: Spot, quantity: int, instead_of: PickLine | None
) -> PickLine:
    made = PickLine.objects.create(
        pick_list_id=listed,
        hold=hold,
        lot_id=spot.lot_id,
        place_id=spot.place_id,
        for_place=spot.for_place,
        quantity=quantity,
        instead_of=instead_of,
    )
    return PickLine.objects.select_related("lot", "place").get(pk=made.pk)


def _fewer_to_pick(hold: Hold, line: PickLine, spot: Spot, quantity: int) -> None:
    """Take so many off the open lines of a spot: nobody has fetched them."""
    rows = PickLine.objects.filter(
        pick_list=line.pick_list_id,
        hold=hold,
        lot=spot.lot_id,
        place=spot.place_id,
        for_place=spot.for_place,
        state=PickLineState.OPEN,
    ).order_by("-pk")
    for row in rows:
        if row.quantity <= quantity:
            quantity -= row.quantity
            row.delete()
        else:
            row.quantity -= quantity
            quantity = 0
            row.save(update_fields=["quantity"])
        if not quantity:
            return
