"""The only maker of postings, ledger lines and balances."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import UTC, datetime, timedelta
from typing import NamedTuple

from django.contrib.auth.models import User
from django.db import DEFAULT_DB_ALIAS
from django.utils import timezone

from inventory.ground.entries.alone import refuse_faulty
from inventory.ground.prepared import prepared_cursor
from inventory.ground.refusal import Refusal
from inventory.ledger.moves import MOST, Move, looked_over
from inventory.models.lot import Lot
from inventory.models.place import Place
from inventory.models.posting import Posting, PostingKind

__all__ = ["Move", "NoSuchStock", "NotThatMany", "SayWhy", "post"]

# A moment comes as a number: to read it as text takes a quarter of the time of the whole answer.
_CALL = """
SELECT posting_id, (extract(epoch FROM recorded) * 1000000)::bigint, refused, on_hand, held
FROM ledger_post(%s::text, %s::timestamptz, %s::integer, %s::text, %s::bigint, %s::text,
    %s::bigint[], %s::bigint[], %s::integer[], %s::integer[], %s::integer)
"""
_COLUMNS = ["id", "kind", "at", "recorded_at", "recorded_by_id", "document", "corrects_id", "note"]
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


class NotThatMany(Refusal):
    """More tyres were asked for than are there, or than are free.

    `on_hand`, `held` and `free` say what was there, `lot_id` and `place_id` where.
    """

    def __init__(self, move: Move, on_hand: int, held: int) -> None:
        self.lot_id, self.place_id = move.lot_id, move.place_id
        self.on_hand, self.held, self.free = on_hand, held, on_hand - held
        lot = Lot.objects.values_list("code", flat=True).get(pk=move.lot_id)
        place = Place.objects.values_list("code", flat=True).get(pk=move.place_id)
        super().__init__(_why_not(move, on_hand, held, lot, place), field="quantity")


class NoSuchStock(Refusal):
    """A lot or a place that is not there."""

    status = 404
    sentence = "That lot or that place is not there. Nothing was changed."


class SayWhy(Refusal):
    """A correction that gives no reason."""

    status = 400

    def __init__(self) -> None:
        super().__init__("Say why the earlier posting was wrong.", field="note")


def post(
    *,
    kind: PostingKind | str,
    lines: Sequence[Move],
    by: User,
    at: datetime,
    document: str = "",
    corrects: Posting | None = None,
    note: str = "",
) -> Posting:
    """Book one thing that happened: a posting with its ledger lines, and the balances after it.

    One call to the database that is all or nothing by itself. A line may be of any site. `at` is
    when it was true. Refuses, with nothing changed: `NothingToPost`, `NotWhole`, `TooMany`,
    `NamedTwice`, `SayWhy`, `Faulty` (words too long), `NoSuchStock`, and `NotThatMany` where a
    balance would fall below nought or below what is held. A deadlock or a lock not had goes on as
    `OperationalError`: `ground.retry` does it again from the outside.
    """
    moves = looked_over(lines)
    if timezone.is_naive(at):
        raise ValueError("A posting is true at a moment with a time zone.")
    if corrects is not None and not note.strip():
        raise SayWhy
    posting = _said(PostingKind(kind), at, by, document, corrects, note)
    if document or note:
        refuse_faulty(posting, ["document", "note"])
    answer = _written(posting, moves)
    if answer.refused is not None:
        raise _refusal(moves[answer.refused - 1], answer)
    posting.pk = answer.posting_id
    posting.recorded_at = _EPOCH + timedelta(microseconds=answer.recorded or 0)
    return posting


def _said(
    kind: PostingKind, at: datetime, by: User, document: str, corrects: Posting | None, note: str
) -> Posting:
    """The posting as it is asked for, made as rows are that were read: in half the time."""
    about = None if corrects is None else corrects.pk
    row = (None, kind, at, None, by.pk, document, about, note)
    return Posting.from_db(DEFAULT_DB_ALIAS, _COLUMNS, row)


class _Answer(NamedTuple):
    posting_id: int | None  # this and the next are there unless refused
    recorded: int | None  # in microseconds since 1970
    refused: int | None  # the number of the move, from 1
    on_hand: int | None
    held: int | None


def _written(posting: Posting, moves: Sequence[Move]) -> _Answer:
    head = (
        str(posting.kind),
        posting.at,
        posting.recorded_by_id,
        posting.document,
        posting.corrects_id,
        posting.note,
    )
    columns = zip(*((m.lot_id, m.place_id, m.on_hand, m.held) for m in moves), strict=True)
    with prepared_cursor() as cursor:
        cursor.execute(_CALL, [*head, *map(_array, columns), MOST])
        return _Answer(*cursor.fetchone())


def _array(numbers: Iterable[int]) -> str:
    # A list would be looked through for the widest of its numbers first, four times a posting.
    return f"{{{','.join(map(str, numbers))}}}"


def _refusal(move: Move, answer: _Answer) -> Refusal:
    if answer.on_hand is None or answer.held is None:
        return NoSuchStock()
    return NotThatMany(move, answer.on_hand, answer.held)


def _why_not(move: Move, on_hand: int, held: int, lot: str, place: str) -> str:
    end = "Nothing was changed."
    if on_hand + move.on_hand > MOST:
        return f"Lot {lot} in {place} would come to more than {MOST:,} tyres: look again. {end}"
    if held + move.held < 0:
        return f"{held} of lot {lot} in {place} are held, not {-move.held}. {end}"
    asked = max(-move.on_hand, 0) + max(move.held, 0)
    there = f"{on_hand} of lot {lot} are in {place}" if on_hand else f"No lot {lot} is in {place}"
    spoken = f", {held} of them held, so {on_hand - held} are free" if held else ""
    return f"{there}{spoken}; {asked} were asked for. {end}"
