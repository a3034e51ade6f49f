"""A whole tyre identification number: plant symbols, maker's codes and date, by its length.

Since 2015: plant 3, maker's code 6, date 4 (13 symbols); retreads plant 3, date 4 (7), 80 FR 19553.
Before: plant 2, size 2, up to four more, date 3 or 4 (nhtsa.gov/node/67611; lengths from memory).
All but the date may stand on the other sidewall (FMVSS 139 S5.5.1, from memory).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from inventory.markings.datecode.figures import Reader
from inventory.markings.datecode.model import NO_DATE, DateCode, UnreadableDateCode
from inventory.markings.datecode.typed import EXPECTED, Typed, letter_warnings, to_figures

__all__ = ["read_number"]

NEW, RETREAD, OLDER, PARTIAL = (
    "identification number of 13 symbols",
    "retread identification number",
    "older identification number",
    "identification number without its date",
)
_NO_DATE_HERE = "No date in this part of the number: look on the other sidewall."


@dataclass(frozen=True, slots=True)
class _Split:
    """One way of parting the symbols: what stands before the date, and the date's figures."""

    form: str
    head: str
    tail: str
    figures: str

    def named(self, code: DateCode) -> DateCode:
        return _with_groups(code, self.form, self.head)

    def warnings(self) -> tuple[str, ...]:
        return letter_warnings(self.head, read=False) + letter_warnings(self.tail, read=True)


def read_number(typed: Typed, reader: Reader) -> DateCode:
    """The number as read; every reading is kept where its length leaves several."""
    splits = list(_splits(typed))
    readings: list[DateCode] = []
    refusals: list[UnreadableDateCode] = []
    for split in splits:
        try:
            readings.append(_dated(split, reader))
        except UnreadableDateCode as refusal:
            refusals.append(refusal)
    if readings:
        return _first_of(readings)
    if refusals:
        raise refusals[0]
    return _without_date(typed)


def _dated(split: _Split, reader: Reader) -> DateCode:
    if len(split.figures) == 3:
        code = reader.three(split.figures)
    elif split.form == OLDER:
        code = reader.four(split.figures)
    else:  # such numbers are younger than the 1970s
        code = reader.week_and_year(split.figures)
    return replace(
        split.named(code),
        form=split.form,
        candidates=tuple(split.named(each) for each in code.candidates),
        warnings=code.warnings + split.warnings(),
    )


def _first_of(readings: list[DateCode]) -> DateCode:
    """The first reading, four figures before three, with all the others beside it."""
    first, *others = readings
    if not others:
        return first
    return replace(first, candidates=(replace(first, candidates=()), *others[0].candidates))


def _splits(typed: Typed) -> Iterator[_Split]:
    """The ways of parting that the length, and the spaces where there are any, allow."""
    symbols, last = typed.symbols, typed.groups[-1]
    spaced = len(typed.groups) > 1 and len(last) in (3, 4) and to_figures(last) is not None
    for length in (4, 3):
        if spaced and length != len(last):
            continue
        head, tail = symbols[:-length], symbols[-length:]
        form = _form(len(head), length)
        figures = to_figures(tail)
        if form and figures and (spaced or tail.isdigit()):
            yield _Split(form, head, tail, figures)


def _form(head: int, date: int) -> str | None:
    if date == 4 and head in (3, 9):
        return RETREAD if head == 3 else NEW
    return OLDER if 4 <= head <= 8 else None


def _with_groups(code: DateCode, form: str, head: str) -> DateCode:
    if form == NEW or len(head) == 9:
        return replace(code, plant=head[:3], maker_code=head[3:])
    if form == RETREAD:
        return replace(code, plant=head)
    return replace(code, plant=head[:2], size_code=head[2:4], maker_code=head[4:] or None)


def _without_date(typed: Typed) -> DateCode:
    symbols = typed.symbols
    letters = sum(symbol.isalpha() for symbol in symbols)
    likely = typed.marked or 2 <= letters < len(symbols)
    if not 4 <= len(symbols) <= 9 or not likely:
        place = max(typed.text.upper().find(typed.groups[0][0]), 0)
        raise UnreadableDateCode(typed.text, place, EXPECTED)
    code = replace(
        NO_DATE,
        text=typed.text,
        form=PARTIAL,
        warnings=(_NO_DATE_HERE, *letter_warnings(symbols, read=False)),
    )
    return _with_groups(code, PARTIAL, symbols)
