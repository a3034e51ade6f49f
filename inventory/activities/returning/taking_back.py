"""Goods come back: into their own lot or one made from it, booked in where they were put."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from django.contrib.auth.models import User
from django.db import transaction

from inventory.activities.returning.into_lots import IntoLots
from inventory.activities.returning.refusals import (
    AtSeveralSites,
    BeforeItLeft,
    MoreThanLeft,
    NoSuchReason,
    NotForReturns,
    NotOfThisDespatch,
    ToQuarantine,
)
from inventory.activities.returning.standing import returned_of
from inventory.ground.entries.alone import refuse_faulty
from inventory.ground.locking import locked_row
from inventory.ground.numbering import next_number
from inventory.ground.violations import named_violation
from inventory.ledger.moves import NothingToPost, some
from inventory.ledger.post import Move, post
from inventory.models.despatch import Despatch, DespatchLine
from inventory.models.lot import Condition
from inventory.models.place import Place, PlaceKind
from inventory.models.posting import PostingKind
from inventory.models.returned import Return, ReturnLine, ReturnReason

INTO = (PlaceKind.STORAGE, PlaceKind.GOODS_IN, PlaceKind.QUARANTINE)
UNSOUND = {ReturnReason.DAMAGED: "damaged", ReturnReason.FAULTY: "as faulty"}


@dataclass(frozen=True, slots=True)
class CameBack:
    """So many of one line of a despatch, as they came back, and where they were put.

    buffed_to_mm: how much is left of a buffed tyre; of no other.
    """

    line: DespatchLine
    quantity: int
    condition: Condition | str
    place: Place
    note: str = ""
    buffed_to_mm: Decimal | None = None


def take_back(
    *,
    despatch: Despatch,
    reason: ReturnReason | str,
    lines: Sequence[CameBack],
    note: str = "",
    by: User,
    at: datetime,
) -> Return:
    """Book in what came back of a despatch, all of it at one site.

    A tyre whose condition is as it left goes into its own lot, with its date code; any other into
    a lot made from it, and what was once fitted is never new again. Raises NoSuchReason,
    NothingToPost, NoneAsked, NotWhole, TooMany, NotForReturns, ToQuarantine, AtSeveralSites,
    BeforeItLeft, NotOfThisDespatch, MoreThanLeft, NoSuchCondition, NeverNewAgain, Faulty.
    """
    if reason not in ReturnReason.values:
        raise NoSuchReason(reason)
    if not lines:
        raise NothingToPost
    for came in lines:
        some(came.quantity)
        _refuse_place(came.place, ReturnReason(reason))
    _refuse_several_sites(lines)
    with transaction.atomic():
        # Whoever takes back of the same despatch waits here, and then sees what came before.
        held = locked_row(Despatch.objects.select_related("customer"), despatch.pk)
        if at < held.despatched_at:
            raise BeforeItLeft(held)
        told = _told_lines(held, lines)
        return _written(held, reason, lines, told, note, by=by, at=at)


def _refuse_place(place: Place, reason: ReturnReason) -> None:
    if place.kind not in INTO:
        raise NotForReturns(place)
    if reason in UNSOUND and place.kind != PlaceKind.QUARANTINE:
        raise ToQuarantine(place, UNSOUND[reason])


def _refuse_several_sites(lines: Sequence[CameBack]) -> None:
    sites = {came.place.site_id: str(came.place.site) for came in lines}
    if len(sites) > 1:
        raise AtSeveralSites(sorted(sites.values()))


def _told_lines(despatch: Despatch, lines: Sequence[CameBack]) -> dict[int, DespatchLine]:
    """The lines of the despatch by their key, after a look at how many of each are still out."""
    rows = {line.pk: line for line in despatch.lines.select_related("lot").order_by("pk")}
    came: Counter[int] = Counter()
    for one in lines:
        if one.line.pk not in rows:
            raise NotOfThisDespatch(despatch)
        came[one.line.pk] += one.quantity
    before = returned_of(despatch)
    for key, quantity in came.items():
        if quantity + before.get(key, 0) > rows[key].quantity:
            raise MoreThanLeft(rows[key], quantity, before.get(key, 0))
    return rows


def _written(
    despatch: Despatch,
    reason: ReturnReason | str,
    lines: Sequence[CameBack],
    told: dict[int, DespatchLine],
    note: str,
    *,
    by: User,
    at: datetime,
) -> Return:
    made = Return(
        pk=next_number(Return),  # the ledger and new lots are told of it first
        despatch=despatch,
        customer=despatch.customer,
        reason=reason,
        note=note.strip(),
        returned_at=at,
        returned_by=by,
    )
    refuse_faulty(made, ["note"])
    rows, moves = _rows(made, lines, told, by=by, at=at)
    booked = [Move(*key, quantity) for key, quantity in moves.items()]
    made.posting = post(kind=PostingKind.RETURN, lines=booked, by=by, at=at, document=made.number)
    with named_violation():
        made.save(force_insert=True)
        ReturnLine.objects.bulk_create(rows)
    return made


def _rows(
    made: Return,
    lines: Sequence[CameBack],
    told: dict[int, DespatchLine],
    *,
    by: User,
    at: datetime,
) -> tuple[list[ReturnLine], Counter[tuple[int, int]]]:
    into, rows = IntoLots(made, by=by, at=at), []
    moves: Counter[tuple[int, int]] = Counter()
    for came in lines:
        lot = into.lot_for(told[came.line.pk].lot, came.condition, came.buffed_to_mm)
        row = ReturnLine(
            came_back=made,
            despatch_line=told[came.line.pk],
            quantity=came.quantity,
            condition=came.condition,
            into_lot=lot,
            place=came.place,
            note=came.note.strip(),
        )
        refuse_faulty(row, ["note"])
        rows.append(row)
        moves[lot.pk, came.place.pk] += came.quantity
    return rows, moves
