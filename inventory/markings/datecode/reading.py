"""Reading a date code or a whole tyre identification number as typed."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from inventory.markings.datecode.figures import Reader
from inventory.markings.datecode.model import DateCode
from inventory.markings.datecode.number import read_number
from inventory.markings.datecode.typed import Typed, letter_warnings, near, plain, to_figures

__all__ = ["read_date_code"]

_TRIANGLE = (
    "A triangle after three figures is commonly taken for the 1990s (common practice, no source)."
)


def read_date_code(
    text: str, today: date, *, plant_calendar_known: bool = False, day_first: bool = False
) -> DateCode:
    """When a tyre was made, from its date code or whole identification number.

    ``text`` is three or four figures, or an identification number with or without "DOT", spaces
    and dashes, and with or without its date. ``today`` refuses codes of the future and settles the
    century. ``plant_calendar_known`` takes away the week of doubt either side: the plant is known
    to keep the US calendar. ``day_first`` says that four figures are day, week and one year figure
    of the 1970s; without it they are week and year, and the other reading is kept beside it.
    Raises UnreadableDateCode. Source: 49 CFR 574.5 (see ``weeks`` and ``number``).
    """
    typed = plain(text)
    reader = Reader(text, today, plant_calendar_known)
    figures = to_figures(typed.symbols) if len(typed.symbols) in (3, 4) else None
    if figures is None:
        code = _number(typed, reader)
    else:
        warnings = letter_warnings(typed.symbols, read=True)
        code = _figures(figures, reader, day_first=day_first)
        code = replace(code, warnings=code.warnings + warnings)
    if typed.triangle and not code.decade_known:
        code = replace(code, warnings=(*code.warnings, _TRIANGLE))
    return code


def _number(typed: Typed, reader: Reader) -> DateCode:
    symbols = typed.symbols
    if symbols.isdigit() and not typed.marked:
        raise reader.refused(
            symbols,
            f"{len(symbols)} figures are neither a date code (three or four) nor a number.",
            near(" ".join(typed.groups)),
        )
    return read_number(typed, reader)


def _figures(figures: str, reader: Reader, *, day_first: bool) -> DateCode:
    if len(figures) == 3:
        return reader.three(figures)
    if not day_first:
        return reader.four(figures)
    code = reader.day_first(figures)
    if code is None:
        raise reader.refused(figures, "it is not a day (1 to 7), a week and a year figure.")
    return code
