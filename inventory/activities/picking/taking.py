"""Tyres taken off the rack for a line: the lot that was asked for, or another that matches."""

from __future__ import annotations

from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction

from inventory.activities.picking.holding_lines import Spot, shifted
from inventory.activities.picking.inhand import PICKING, locked, open_hold, open_line
from inventory.activities.picking.matching import Part, faults_in, parts_of, shelf_of, without
from inventory.activities.picking.refusals import (
    LotIsBlocked,
    MoreThanAsked,
    NotMatching,
    NotToBeTaken,
    SayWhy,
    TooOldForThem,
    WeekWasPromised,
)
from inventory.activities.picking.standing import settle_state
from inventory.ground.entries.alone import refuse_faulty
from inventory.ledger.lapse import let_lapsed_go
from inventory.ledger.moves import some
from inventory.ledger.post import Move, post
from inventory.models.hold import Hold, HoldLine
from inventory.models.lot import Block, Lot
from inventory.models.pick import Confirmed, PickLine, PickLineState, PickList
from inventory.models.place import Place
from inventory.models.posting import PostingKind
from inventory.release import age_limit_of

STEP = "only a list that is being picked can be picked from"


def pick(
    *,
    pick_list: PickList,
    line: PickLine,
    confirmed: Confirmed | str = Confirmed.HAND,
    quantity: int | None = None,
    by: User,
    at: datetime,
) -> PickLine:
    """Take what a line asks for: its tyres are in the place for despatch now, and held there.

    Fewer than asked for may be taken at a time; the rest stays on the list. Raises OrderIsClosed,
    ListHasEnded, NotAtThisStep, LineOfAnotherList, LineIsDone, HoldIsOver, MoreThanAsked,
    LotIsBlocked, NoneAsked, NotWhole, NotThatMany.
    """
    with transaction.atomic():
        listed = locked(pick_list, at_step=PICKING, wanted=STEP)
        told = open_line(listed, line)
        hold = open_hold(told)
        taken = _of_the_line(told, quantity)
        refuse_blocked([told.lot])
        here, there = (told.lot_id, told.place_id), (told.lot_id, listed.to_place_id)
        lines = [Move(*here, -taken, -taken), Move(*there, taken, taken)]
        post(kind=PostingKind.PICK, lines=lines, by=by, at=at, document=listed.number)
        shifted(hold, Spot(*here, told.for_place), Spot(*there, told.for_place), taken)
        split(told, taken)
        mark_picked(told, confirmed=confirmed, by=by, at=at)
        settle_state(listed)
    return told


def take_other(
    *,
    pick_list: PickList,
    line: PickLine,
    lot: Lot,
    place: Place,
    why: str,
    confirmed: Confirmed | str = Confirmed.HAND,
    quantity: int | None = None,
    by: User,
    at: datetime,
) -> PickLine:
    """Take free tyres of another lot, or of the same lot in another place, for a line.

    The set has to match as it was promised, and a week that the customer was told stays. What was
    held for the line is free again. Raises what `pick` does, and SayWhy, NotToBeTaken,
    NotMatching, WeekWasPromised, TooOldForThem.
    """
    with transaction.atomic():
        listed = locked(pick_list, at_step=PICKING, wanted=STEP)
        told = open_line(listed, line)
        hold = open_hold(told)
        taken = _of_the_line(told, quantity)
        another = lot.pk != told.lot_id
        if another and not why.strip():
            raise SayWhy("another lot is taken")
        refuse_blocked([lot])
        touched = [(told.lot_id, told.place_id), (lot.pk, place.pk), (lot.pk, listed.to_place_id)]
        let_lapsed_go(touched, by=by, at=at)
        _refuse_other(hold, told, lot, place, taken, listed, at)
        source, target = (lot.pk, place.pk), (lot.pk, listed.to_place_id)
        lines = [Move(told.lot_id, told.place_id, 0, -taken)]
        lines += [Move(*source, -taken, 0), Move(*target, taken, taken)]
        post(kind=PostingKind.PICK, lines=lines, by=by, at=at, document=listed.number, note=why)
        asked = Spot(told.lot_id, told.place_id, told.for_place)
        shifted(hold, asked, Spot(*target, told.for_place), taken)
        split(told, taken)
        told.taken_lot = lot if another else None
        told.taken_place = place
        mark_picked(told, confirmed=confirmed, why=why, by=by, at=at)
        settle_state(listed)
    return told


def _of_the_line(line: PickLine, quantity: int | None) -> int:
    if quantity is None:
        return line.quantity
    if some(quantity) > line.quantity:
        raise MoreThanAsked(line, quantity)
    return quantity


def refuse_blocked(lots: list[Lot]) -> None:
    """Raise LotIsBlocked for the first of these lots that a block stands on."""
    blocks = Block.objects.filter(lot__in=lots, lifted_at__isnull=True).select_related("lot")
    standing = list(blocks.order_by("lot__code", "pk"))
    if standing:
        first = standing[0].lot
        mine = [block for block in standing if block.lot_id == first.pk]
        raise LotIsBlocked(first, [block.get_reason_display() for block in mine])


def _refuse_other(
    hold: Hold,
    line: PickLine,
    lot: Lot,
    place: Place,
    taken: int,
    listed: PickList,
    at: datetime,
) -> None:
    if place.site_id != listed.to_place.site_id:
        raise NotToBeTaken(lot, f"{place.code} is at another site, {place.site}")
    shelf = shelf_of(hold, site_id=place.site_id, at=at)
    key = (lot.pk, place.pk)
    lies = shelf.lots.get(key)
    if lies is None or ((not hold.recipe or not line.for_place) and lot.sku_id != line.lot.sku_id):
        raise NotToBeTaken(lot, f"none of it that would do lies in {place.code}")
    if not lies.to_sell:
        why = f"it is not the house's own new stock in the racks ({place.get_kind_display()})"
        raise NotToBeTaken(lot, why)
    if lies.free < taken:
        raise NotToBeTaken(lot, f"{lies.free} of it are free in {place.code}, not {taken}")
    if _week_was_promised(hold, line) and lot.date_code != line.lot.date_code:
        raise WeekWasPromised(line, lot)
    if line.for_place and lot.pk != line.lot_id and not shelf.is_young(key):
        raise TooOldForThem(lot, age_limit_of(hold.answer) or 0)
    gone = Part(line.for_place, (line.lot_id, line.place_id), taken)
    faults = faults_in(shelf, [*without(parts_of(hold), gone), Part(line.for_place, key, taken)])
    if faults and lot.pk != line.lot_id:
        raise NotMatching(lot, faults)


def _week_was_promised(hold: Hold, line: PickLine) -> bool:
    return HoldLine.objects.filter(
        hold=hold,
        lot=line.lot_id,
        place=line.place_id,
        for_place=line.for_place,
        pinned=True,
    ).exists()


def split(line: PickLine, taken: int) -> None:
    """Let a line be of what was taken; the rest goes on as a line of its own."""
    rest = line.quantity - taken
    if rest:
        PickLine.objects.create(
            pick_list_id=line.pick_list_id,
            hold_id=line.hold_id,
            lot_id=line.lot_id,
            place_id=line.place_id,
            for_place=line.for_place,
            quantity=rest,
            instead_of_id=line.instead_of_id,
        )
        line.quantity = taken


def mark_picked(
    line: PickLine,
    *,
    confirmed: Confirmed | str,
    why: str = "",
    state: PickLineState = PickLineState.PICKED,
    taken: int | None = None,
    by: User,
    at: datetime,
) -> None:
    """Write down who took what of a line, when, and how that was confirmed."""
    line.state = state
    line.taken = line.quantity if taken is None else taken
    line.confirmed = Confirmed(confirmed)
    line.why, line.picked_at, line.picked_by = why.strip(), at, by
    refuse_faulty(line, ["why"])
    line.save(
        update_fields=[
            *("quantity", "state", "taken", "taken_lot", "taken_place", "confirmed", "why"),
            *("picked_at", "picked_by"),
        ]
    )
