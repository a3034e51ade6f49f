"""The delivery note drawn: what left, of which lot and week, what it suits, on what evidence."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from reportlab.lib import colors
from reportlab.lib.units import mm
from reportlab.platypus import Flowable, KeepTogether, Spacer, Table, TableStyle

from stockist.papers.note import DeliveryNote, NoteLine, NoteSet
from stockist.papers.sheet import HEAD, SMALL, STRONG, TITLE, WIDTH, Foot, addressed, printed, words

COLUMNS = ("Tyres", "What", "Place", "Lot", "Date code", "Mark", "Approvals")
WIDTHS = tuple(part * WIDTH for part in (0.08, 0.34, 0.1, 0.14, 0.11, 0.09, 0.14))
AGAINST = "It was sent against advice, with the owner's word. What speaks against it:"
RULED = TableStyle(
    [
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("LINEBELOW", (0, 0), (-1, -1), 0.4, colors.black),
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("TOPPADDING", (0, 0), (-1, -1), 2),
    ]
)


def drawn(note: DeliveryNote) -> bytes:
    """The note as PDF; the same note gives the same bytes."""
    foot = Foot(f"{note.shop} · delivery note {note.number}")
    return printed(f"Delivery note {note.number}", foot, lambda: _story(note))


def _story(note: DeliveryNote) -> Iterable[Flowable]:
    yield words(f"Delivery note {note.number}", TITLE)
    yield _head(note)
    for one in note.sets:
        yield from _set(one)
    if note.word_why:
        yield words("Why it was sent all the same", HEAD)
        yield words(note.word_why)
    yield words("Before they are fitted", HEAD)
    yield from (words(caution) for caution in note.cautions)


def _head(note: DeliveryNote) -> Flowable:
    parcels = "1 parcel" if note.parcels == 1 else f"{note.parcels} parcels"
    about = [
        note.shop,
        f"left on {note.left_on.isoformat()}",
        f"order {note.order}" + (f", yours: {note.reference}" if note.reference else ""),
        ", ".join(part for part in (parcels, note.carrier) if part),
    ]
    return addressed(note.to, about)


def _set(one: NoteSet) -> Iterable[Flowable]:
    yield Spacer(0, 3 * mm)
    yield KeepTogether([words(one.what, HEAD), *(words(line) for line in one.said[:1])])
    rows: list[list[Any]] = [[words(name, SMALL) for name in COLUMNS]]
    rows += [_row(line) for line in one.lines]
    yield Table(rows, colWidths=WIDTHS, style=RULED, repeatRows=1, hAlign="LEFT")
    yield from (words(line) for line in one.said[1:])
    if one.against:
        yield words(AGAINST, STRONG)
        yield from (words(line) for line in one.against)
    if one.approvals:
        yield words("What its approvals rest on", STRONG)
        yield from (words(line, SMALL) for line in one.approvals)


def _row(line: NoteLine) -> list[Flowable | list[Flowable]]:
    about = [line.sku, f"made in {line.made_in}" if line.made_in else "", _condition(line)]
    what: list[Flowable] = [words(line.title)]
    what.append(words(", ".join(part for part in about if part), SMALL))
    return [
        words(str(line.quantity), STRONG),
        what,
        words(line.for_place),
        words(line.lot),
        words(line.date_code or "none"),
        words(line.mark or "none"),
        words(", ".join(line.approvals) or "none on record", SMALL),
    ]


def _condition(line: NoteLine) -> str:
    return "" if line.condition == "new" else line.condition.replace("_", " ")
