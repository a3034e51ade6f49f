"""The figures of a date code alone: four, three, or day, week and one year figure."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

from inventory.markings.datecode.model import DateCode, UnreadableDateCode, dated, undecided

__all__ = ["Reader"]

FOUR, THREE, DAY_FIRST = "four figures", "three figures", "day, week and year figure"

_EXPECTED = "week and year as moulded, such as 0825"
_FOUR_SINCE = 1999  # 64 FR 36807 of 8 July 1999: four figures in place of three
_NUMBERS_SINCE = 1971  # tyre identification numbers in force
_THREE_UNTIL = (2000, 26)  # four figures mandatory from 2 July 2000, week 27 (from memory)
_DAYS = "1234567"


@dataclass(frozen=True, slots=True)
class Reader:
    """Reads figures for one typed text, on one day.

    ``text`` is what was typed, for messages; ``calendar_known`` tells that the plant is known to
    keep the US calendar.
    """

    text: str
    today: date
    calendar_known: bool

    def four(self, figures: str) -> DateCode:
        """Week and two year figures; with the 1970s reading kept beside it where there is one."""
        made = self.week_and_year(figures)
        other = self.day_first(figures)
        return made if other is None else replace(made, candidates=(made, other))

    def week_and_year(self, figures: str) -> DateCode:
        """Week and two year figures, the latest such year not after today, 1999 at the earliest."""
        week, short = int(figures[:2]), int(figures[2:])
        self._check_week(figures, week)
        latest = self.today.year - (self.today.year - short) % 100
        for year in range(latest, _FOUR_SINCE - 1, -100):
            made = self._dated(FOUR, week, year)
            if not self._to_come(made):
                return made
        year = latest if latest >= _FOUR_SINCE else latest + 100
        raise self.refused(
            figures,
            f"week {week:02} of {year} is still to come on {self._today()}."
            + self._three_hint(year - 100)
            + self._old_hint(figures),
        )

    def three(self, figures: str) -> DateCode:
        """Week and one year figure: every decade in which such codes were marked."""
        week, digit = int(figures[:2]), int(figures[2])
        self._check_week(figures, week)
        decades = (1970 + digit, 1980 + digit, 1990 + digit, 2000 + digit)
        made = tuple(
            self._dated(THREE, week, year)
            for year in decades
            if year >= _NUMBERS_SINCE and (year, week) <= _THREE_UNTIL
        )
        made = tuple(code for code in made if not self._to_come(code))
        if not made:
            raise self.refused(figures, f"every such week is still to come on {self._today()}.")
        return undecided(self.text, THREE, figures, made)

    def day_first(self, figures: str) -> DateCode | None:
        """Day, week and year figure, as some makers marked in the 1970s; None where it is none.

        A letter of 1973 (nhtsa.gov/node/67611) lets these be the last four symbols.
        """
        week, year = int(figures[1:3]), 1970 + int(figures[3])
        if figures[0] not in _DAYS or not 1 <= week <= 53 or year < _NUMBERS_SINCE:
            return None
        made = self._dated(DAY_FIRST, week, year)
        return None if self._to_come(made) else made

    def refused(self, figures: str, why: str, near: str | None = None) -> UnreadableDateCode:
        """The refusal for these figures, placed where they stand in the text."""
        place = max(self.text.rfind(figures), 0)
        return UnreadableDateCode(self.text, place, _EXPECTED, near, why)

    def _dated(self, form: str, week: int, year: int) -> DateCode:
        return dated(self.text, form, week, year, calendar_known=self.calendar_known)

    def _to_come(self, code: DateCode) -> bool:
        """By the US rule; a 53rd week that the year has not is judged with its doubt."""
        first = code.earliest if code.warnings else code.first_day
        return first is not None and first > self.today

    def _check_week(self, figures: str, week: int) -> None:
        if not 1 <= week <= 53:
            raise self.refused(
                figures,
                f"there is no week {week:02}, the weeks of a year are numbered 01 to 53."
                + self._old_hint(figures),
            )

    def _today(self) -> str:
        return f"{self.today.day} {self.today:%B %Y}"

    @staticmethod
    def _three_hint(year: int) -> str:
        if not _NUMBERS_SINCE <= year < _FOUR_SINCE:
            return ""
        return f" A tyre of {year} carries three figures, week and {year % 10}: give those."

    def _old_hint(self, figures: str) -> str:
        if len(figures) != 4 or self.day_first(figures) is None:
            return ""
        return (
            " If the tyre is of the 1970s and its number ends with day, week and year figure, "
            f"give the last three alone: {figures[1:]}."
        )
