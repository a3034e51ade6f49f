"""When a car was built: a day, a month, a year, or between two days. Pure.

People say "June 1964" far more often than a day. What a span is asked decides whether one answer
will do, or whether a change of size falls inside it and two are owed.
"""

from __future__ import annotations

import calendar
import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

MONTHS = {
    name.lower(): number
    for number in range(1, 13)
    for name in (calendar.month_name[number], calendar.month_abbr[number])
} | {"sept": 9}
FIRST_YEAR, LAST_YEAR = 1880, 2100


class UnreadableDay(ValueError):
    """A text that says no day, month or year; ``str()`` tells the person what would."""

    def __init__(self, text: str, why: str = "") -> None:
        self.text = text
        said = why or "a day (1964-06-12 or 12 June 1964), a month (June 1964) or a year is wanted"
        super().__init__(f"“{text[:40]}” does not say when the car was built: {said}.")


@dataclass(frozen=True, slots=True, order=True)
class Span:
    """From one day to another, both inclusive."""

    first: date
    last: date

    def __post_init__(self) -> None:
        if self.last < self.first:
            raise UnreadableDay(
                f"{self.first} to {self.last}", "the first day cannot come after the last"
            )

    @property
    def is_day(self) -> bool:
        return self.first == self.last

    def touches(self, first: date | None, last: date | None) -> bool:
        """Whether any day of this span lies between two days, open where None."""
        return (first is None or first <= self.last) and (last is None or last >= self.first)

    def within(self, first: date | None, last: date | None) -> bool:
        """Whether every day of this span lies between two days, open where None."""
        return (first is None or first <= self.first) and (last is None or last >= self.last)

    @property
    def words(self) -> str:
        """The span as people say it: 12 June 1964, June 1964, 1964, 1 March 1964 to 2 May 1965."""
        if self.is_day:
            return said(self.first)
        if self == whole_month(self.first.year, self.first.month):
            return f"{calendar.month_name[self.first.month]} {self.first.year}"
        if self == whole_year(self.first.year):
            return str(self.first.year)
        return f"{said(self.first)} to {said(self.last)}"

    @property
    def code(self) -> str:
        """The span as an address carries it: 1964-06-12, 1964-06, 1964, 1964-03-01/1965-05-02."""
        if self.is_day:
            return self.first.isoformat()
        if self == whole_month(self.first.year, self.first.month):
            return f"{self.first:%Y-%m}"
        if self == whole_year(self.first.year):
            return str(self.first.year)
        return f"{self.first.isoformat()}/{self.last.isoformat()}"


def said(day: date) -> str:
    """A day in words: 5 June 1964."""
    return f"{day.day} {calendar.month_name[day.month]} {day.year}"


def whole_year(year: int) -> Span:
    return Span(date(year, 1, 1), date(year, 12, 31))


def whole_month(year: int, month: int) -> Span:
    return Span(date(year, month, 1), date(year, month, calendar.monthrange(year, month)[1]))


_WORD_MONTH = "|".join(sorted(MONTHS, key=len, reverse=True))
_FORMS = (
    ("iso_span", r"(\d{4}-\d\d?-\d\d?)\s*/\s*(\d{4}-\d\d?-\d\d?)"),
    ("iso_day", r"(\d{4})-(\d\d?)-(\d\d?)"),
    ("iso_month", r"(\d{4})-(\d\d?)"),
    ("word_day", rf"(\d\d?)(?:st|nd|rd|th)?\s+({_WORD_MONTH})\.?,?\s+(\d{{4}})"),
    ("word_month", rf"({_WORD_MONTH})\.?,?\s+(\d{{4}})"),
    ("figure_month", r"(\d\d?)/(\d{4})"),
    ("year", r"(\d{4})"),
)
_READERS = [
    (name, re.compile(rf"(?<![\w/-]){form}(?![\w/-])", re.I | re.A)) for name, form in _FORMS
]


def _span(name: str, part: tuple[str, ...]) -> Span:
    """What a matched form says; raises ValueError for a day that does not exist."""
    if name == "iso_span":
        return Span(date.fromisoformat(part[0]), date.fromisoformat(part[1]))
    if name == "iso_day":
        day = date(*map(int, part))
        return Span(day, day)
    if name == "word_day":
        day = date(int(part[2]), MONTHS[part[1].lower()], int(part[0]))
        return Span(day, day)
    if name == "iso_month":
        return whole_month(int(part[0]), int(part[1]))
    if name == "word_month":
        return whole_month(int(part[1]), MONTHS[part[0].lower()])
    if name == "figure_month":
        return whole_month(int(part[1]), int(part[0]))
    return whole_year(int(part[0]))


def find_span(text: str) -> tuple[Span | None, str]:
    """The first day, month or year said in a text, and the text without it.

    A number that could be no year of a car is left in the text. Raises ``UnreadableDay`` for a day
    that no calendar has, such as 31 June.
    """
    for name, form in _READERS:
        for found in form.finditer(text):
            try:
                span = _span(name, found.groups())
            except UnreadableDay:
                raise
            except (ValueError, calendar.IllegalMonthError):
                if not name.endswith("day"):
                    continue
                raise UnreadableDay(found[0], "no calendar has that day") from None
            if FIRST_YEAR <= span.first.year <= span.last.year <= LAST_YEAR:
                rest = f"{text[: found.start()]} {text[found.end() :]}"
                return span, " ".join(rest.replace(",", " ").split())
    return None, text.strip()


def read_span(text: str) -> Span:
    """When a car was built, as typed. Raises ``UnreadableDay`` with what would be understood."""
    if len(text) > 60:
        raise UnreadableDay(text)
    span, rest = find_span(text)
    if span is None or rest:
        raise UnreadableDay(text)
    return span


def parts_of(span: Span, edges: Iterable[tuple[date | None, date | None]]) -> list[Span]:
    """A span cut wherever one of some periods begins or ends inside it; in order, without gaps."""
    cuts = set()
    for first, last in edges:
        if first is not None and span.first < first <= span.last:
            cuts.add(first)
        if last is not None and span.first <= last < span.last:
            cuts.add(last + timedelta(days=1))
    starts = [span.first, *sorted(cuts)]
    ends = [cut - timedelta(days=1) for cut in starts[1:]] + [span.last]
    return [Span(start, end) for start, end in zip(starts, ends, strict=True)]
