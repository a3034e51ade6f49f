"""Opening stock: tyres that are here already, entered as lots and booked where they lie."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Unpack

from django.contrib.auth.models import User
from django.db import transaction
from django.utils import timezone

from inventory.activities import lots
from inventory.activities.lots import LotValues
from inventory.ground.entries import writing
from inventory.ground.entries.faults import Fault, Faulty
from inventory.ground.entries.finding import Key
from inventory.ground.entries.register import Entry, Register, Values, refuse
from inventory.ground.refusal import Refusal
from inventory.ground.violations import named_violation
from inventory.ledger.moves import some
from inventory.ledger.post import Move, post
from inventory.models.lot import Block, BlockReason, Lot
from inventory.models.place import Place
from inventory.models.posting import Posting, PostingKind

_LONGEST_DOCUMENT = 60


class LotRegister(Register[Lot]):
    """New lots by their code, each with the tyres that lie in one place or in several.

    A row is what is said of a lot (``LotValues``) with ``place`` and ``quantity``, and, where it
    may not be sold, the reason in ``blocked``; ``note`` is kept with the block and the posting.
    Rows of one code are one lot in several places, and have to say the same of it.
    """

    parts = frozenset({"place", "quantity", "blocked", "note"})

    def completed(self, given: Values) -> tuple[Values, list[Fault]]:
        """A mark that is None was not looked for."""
        return {
            name: value
            for name, value in given.items()
            if value is not None or not name.startswith("mark")
        }, []

    def plan(self, rows: Sequence[Values], *, lock: bool = False) -> list[Entry[Lot]]:
        """What entering these rows would do, and every fault of every row; nothing is written."""
        keys = [self.finder.key_of(row) for row in rows]
        first: dict[Key, Values] = {}
        for key, row in zip(keys, rows, strict=True):
            first.setdefault(key, row)
        planned = dict(zip(first, super().plan(list(first.values()), lock=lock), strict=True))
        entries = [
            self._of(row, first[key], planned[key]) for key, row in zip(keys, rows, strict=True)
        ]
        lies: dict[tuple[Key, object], Entry[Lot]] = {}
        for key, entry in zip(keys, entries, strict=True):
            if lies.setdefault((key, entry.given.get("place")), entry) is not entry:
                entry.faults.append(Fault("place", "This lot is said to lie there already."))
        return entries

    def _of(self, row: Values, first: Values, planned: Entry[Lot]) -> Entry[Lot]:
        """The entry of a row: the planned one of its lot, or another place of the same lot."""
        entry = planned if row is first else Entry(planned.row, row, planned.before)
        if self._said(row) != self._said(first):
            words = f"An earlier row says other things of lot {planned.row.code}."
            entry.faults.append(Fault("code", words))
        if not entry.is_new:
            entry.faults.append(Fault("code", _there_already(planned.row)))
        entry.faults.extend(_part_faults(row))
        return entry

    def _said(self, row: Values) -> dict[str, object]:
        return {name: value for name, value in row.items() if name not in self.parts}

    def write(self, entries: Sequence[Entry[Lot]], *, by: User, at: datetime) -> None:
        """Write the lots, and one posting for each with a line for every place."""
        refuse(entries)
        self.booked(entries, by=by, at=at)

    def booked(
        self, entries: Sequence[Entry[Lot]], *, by: User, at: datetime
    ) -> dict[str, Posting]:
        """The same; the postings by the codes of the lots."""
        by_lot: dict[int, list[Entry[Lot]]] = {}
        for entry in entries:
            by_lot.setdefault(id(entry.row), []).append(entry)
        write_lots([some_of[0].row for some_of in by_lot.values()], by=by, at=at)
        _place_blocks(entries, by=by, at=at)
        return {some_of[0].row.code: _posted(some_of, by=by, at=at) for some_of in by_lot.values()}


LOTS = LotRegister(Lot, key=("code",), derive=lots.derive)


class NotYetReceived(Refusal):
    """A lot is said to be here before the day on which it comes."""

    def __init__(self, lot: Lot) -> None:
        super().__init__(
            f"Lot {lot.code} is received on {lot.received_on.isoformat()} only. "
            "Nothing was changed.",
            field="received_on",
        )


@dataclass(frozen=True, slots=True)
class Opened:
    """What came of it. ``warnings``: what a person should know of the date code as it was read."""

    lot: Lot
    posting: Posting
    warnings: tuple[str, ...]


def open_lot(
    *,
    place: Place,
    quantity: int,
    by: User,
    at: datetime,
    blocked: str = "",
    note: str = "",
    **values: Unpack[LotValues],
) -> Opened:
    """Enter a new lot with so many tyres in one place.

    Raises Faulty with every reason (a date code that cannot be read, a code that is there
    already, an owner without a name), NotYetReceived.
    """
    row = {**values, "place": place, "quantity": quantity, "blocked": blocked, "note": note}
    with transaction.atomic():
        entries = LOTS.plan([row])
        refuse(entries)
        (posting,) = LOTS.booked(entries, by=by, at=at).values()
    lot = entries[0].row
    warnings = lots.read(lot.date_code, lot.received_on).warnings
    return Opened(lot, posting, warnings)


def make_lot(*, by: User, at: datetime, **values: Unpack[LotValues]) -> Lot:
    """Enter a lot without tyres: one that tyres are about to be booked into.

    Raises Faulty, NotYetReceived.
    """
    return make_lots([values], by=by, at=at)[0]


def make_lots(rows: Sequence[LotValues], *, by: User, at: datetime) -> list[Lot]:
    """Enter several lots without tyres, all of them or none. Raises Faulty, NotYetReceived."""
    with transaction.atomic():
        entries = super(LotRegister, LOTS).plan(rows)
        for entry in entries:
            if not entry.is_new:
                raise Faulty([Fault("code", _there_already(entry.row))])
        refuse(entries)
        write_lots([entry.row for entry in entries], by=by, at=at)
    return [entry.row for entry in entries]


def write_lots(rows: Sequence[Lot], *, by: User, at: datetime) -> None:
    """Insert lots that were planned."""
    today = timezone.localtime(at).date()
    for lot in rows:
        if lot.received_on > today:
            raise NotYetReceived(lot)
        lot.recorded_by, lot.recorded_at = by, at
    with named_violation():
        writing.insert(Lot, rows, by=by, at=at)


def _part_faults(row: Values) -> Iterator[Fault]:
    if row.get("place") is None:
        yield Fault("place", "Say in which place it lies.")
    try:
        some(row.get("quantity"))
    except Refusal as error:
        yield Fault("quantity", error.sentence)
    reason = row.get("blocked") or ""
    if reason and reason not in BlockReason.values:
        yield Fault("blocked", f"“{reason}” is no reason to block a lot.")


def _there_already(lot: Lot) -> str:
    return (
        f"Lot {lot.code} is there already, and a lot never changes: give this one another code, "
        "or book a correction."
    )


def _place_blocks(entries: Sequence[Entry[Lot]], *, by: User, at: datetime) -> None:
    wanted = {(e.row.pk, e.given["blocked"]): e for e in entries if e.given.get("blocked")}
    Block.objects.bulk_create(
        Block(
            lot=entry.row,
            reason=reason,
            note=entry.given.get("note") or "",
            placed_by=by,
            placed_at=at,
        )
        for (_, reason), entry in wanted.items()
    )


def _posted(entries: Sequence[Entry[Lot]], *, by: User, at: datetime) -> Posting:
    lot = entries[0].row
    notes = dict.fromkeys(entry.given.get("note") or "" for entry in entries)
    return post(
        kind=PostingKind.OPENING,
        lines=[Move(lot.pk, e.given["place"].pk, e.given["quantity"]) for e in entries],
        by=by,
        at=at,
        document=lot.delivery[:_LONGEST_DOCUMENT],
        note=" ".join(note for note in notes if note)[:500],
    )
