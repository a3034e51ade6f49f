"""A short pick: what is missing is said, and the rest is chosen again."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction

from inventory.activities.picking.choosing_again import choose_again
from inventory.activities.picking.holding_lines import Spot, less, shifted
from inventory.activities.picking.inhand import PICKING, locked, open_hold, open_line
from inventory.activities.picking.matching import Key, Shelf, shelf_of
from inventory.activities.picking.refusals import NotShort, SayWhy
from inventory.activities.picking.standing import Missing, settle_state, standing
from inventory.activities.picking.taking import STEP, mark_picked
from inventory.ledger.lapse import lock_free
from inventory.ledger.moves import whole
from inventory.ledger.post import Move, post
from inventory.models.hold import Hold
from inventory.models.pick import Confirmed, PickLine, PickLineState, PickList
from inventory.models.posting import PostingKind


@dataclass(frozen=True, slots=True)
class ShortPick:
    """What came of a short pick: the line, what stands in for the rest, what is missing now."""

    line: PickLine
    instead: tuple[PickLine, ...]
    missing: tuple[Missing, ...]

    @property
    def words(self) -> str:
        """The outcome in a sentence or two."""
        gone = self.line.quantity - self.line.taken
        said = [f"{gone} of lot {self.line.lot} were not in {self.line.place}."]
        said += [f"Take {one.quantity} of {one.lot} from {one.place}." for one in self.instead]
        if self.missing:
            said.append(f"Nothing matches: {'; '.join(one.words for one in self.missing)}.")
        return " ".join(said)


def short(
    *,
    pick_list: PickList,
    line: PickLine,
    found: int,
    why: str,
    confirmed: Confirmed | str = Confirmed.HAND,
    by: User,
    at: datetime,
) -> ShortPick:
    """Take what was found of a line, fewer than asked for, and choose the rest again.

    What was not found leaves the books of that place, with what was free of the lot there: nobody
    is promised what is not to be seen, until it is counted. In place of it come free tyres with
    which the set matches as it was promised, put on the list as lines of their own; lines of the
    set that are not picked yet may change for it, but for a week that the customer was told. Where
    nothing matches, the list says what is missing, until the set is left out.

    Raises what ``pick`` does, NotShort and SayWhy.
    """
    with transaction.atomic():
        listed = locked(pick_list, at_step=PICKING, wanted=STEP)
        told = open_line(listed, line)
        hold = open_hold(told)
        if not 0 <= whole(found) < told.quantity:
            raise NotShort(told, found)
        if not why.strip():
            raise SayWhy("fewer were found")
        shelf = _locked_shelf(hold, told, listed, by, at)
        _book(told, found, shelf, listed, why, by, at)
        spot = Spot(told.lot_id, told.place_id, told.for_place)
        if found:
            shifted(hold, spot, Spot(told.lot_id, listed.to_place_id, told.for_place), found)
        pinned = less(hold, spot, told.quantity - found)
        state = PickLineState.SHORT
        mark_picked(told, confirmed=confirmed, why=why, state=state, taken=found, by=by, at=at)
        gone = _gone(listed, told)
        after = shelf_of(
            hold, site_id=listed.to_place.site_id, at=at, keys=_keys(shelf, told, listed)
        )
        instead = choose_again(hold, gone, after, pinned=pinned, by=by, at=at)
        stands = settle_state(listed)
    missing = tuple(one for one in stands.missing if one.line.hold_id == told.hold_id)
    return ShortPick(told, tuple(instead), missing)


def _gone(listed: PickList, line: PickLine) -> list[Missing]:
    """What is missing of a set, the line in hand first; of pieces and companions this line's."""
    missing = [one for one in standing(listed).missing if one.line.hold_id == line.hold_id]
    mine = [one for one in missing if one.line.pk == line.pk]
    if not line.for_place:
        return mine
    return mine + [one for one in missing if one.line.pk != line.pk and one.line.for_place]


def _locked_shelf(hold: Hold, line: PickLine, listed: PickList, by: User, at: datetime) -> Shelf:
    """The shelf as it stays until this is done: locked first, read after that."""
    site = listed.to_place.site_id
    keys = _keys(shelf_of(hold, site_id=site, at=at), line, listed)
    lock_free(keys, by=by, at=at)
    return shelf_of(hold, site_id=site, at=at, keys=keys)


def _keys(shelf: Shelf, line: PickLine, listed: PickList) -> set[Key]:
    return {*shelf.lots, (line.lot_id, line.place_id), (line.lot_id, listed.to_place_id)}


def _book(
    line: PickLine,
    found: int,
    shelf: Shelf,
    listed: PickList,
    why: str,
    by: User,
    at: datetime,
) -> None:
    key = (line.lot_id, line.place_id)
    gone = line.quantity - found
    if found:
        moves = [Move(*key, -found, -found), Move(line.lot_id, listed.to_place_id, found, found)]
        post(kind=PostingKind.PICK, lines=moves, by=by, at=at, document=listed.number)
    missing = Move(*key, -gone - shelf.lots[key].free, -gone)
    post(
        kind=PostingKind.MISSING,
        lines=[missing],
        by=by,
        at=at,
        document=listed.number,
        note=why,
    )
