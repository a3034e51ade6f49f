"""Date codes moved with the calendar of a sheet, so that stock stays as old as it was told."""

from __future__ import annotations

import re
from datetime import date, timedelta

from inventory.ground.sheets.shifting import Shift
from inventory.markings.datecode import UnreadableDateCode, read_date_code, week_of

_FIGURES = re.compile(r"[0-9]{4}", re.ASCII)
_FIRST_YEAR = 1999  # four figures are week and year from then on; what is older keeps its age


def shifted_code(text: str, on: date, shift: Shift) -> str:
    """A date code of four figures moved by whole weeks; any other stays as it is.

    ``on`` is a day on which the code can be read, before the shift.
    """
    if not shift.weeks or not _FIGURES.fullmatch(text):
        return text
    try:
        code = read_date_code(text, on)
    except UnreadableDateCode:
        return text
    if code.first_day is None or code.year is None or code.year < _FIRST_YEAR:
        return text
    year, week = week_of(code.first_day + timedelta(weeks=shift.weeks))
    return f"{week:02}{year % 100:02}"
