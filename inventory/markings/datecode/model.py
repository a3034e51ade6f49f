"""A date code as read: the week, its days with their doubt, and every reading it may have."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, timedelta

from inventory.markings.datecode.age import Age, age_between
from inventory.markings.datecode.weeks import first_day_of_week, week_index, weeks_in_year
from inventory.markings.errors import UnreadableMarking, shorten

__all__ = ["NO_DATE", "DateCode", "UnreadableDateCode", "dated", "undecided"]

_WEEK = timedelta(weeks=1)


class UnreadableDateCode(UnreadableMarking):
    """A date code, or tyre identification number, that cannot be read; says why and what to do.

    Has ``text``, ``position``, ``expected`` and ``near`` as every unreadable marking, and ``why``:
    the sentence or two that explain it.
    """

    def __init__(
        self, text: str, position: int, expected: str, near: str | None = None, why: str = ""
    ) -> None:
        super().__init__(text, position, expected, near)
        self.why = why
        self.args = (text, position, expected, near, why)  # so that it can be pickled

    def __str__(self) -> str:
        if not self.why:
            return super().__str__()
        asked = f" Did you mean {self.near}?" if self.near else ""
        return f"“{shorten(self.text)}” is no date code to go by: {self.why}{asked}"


@dataclass(frozen=True, slots=True, kw_only=True)
class DateCode:
    """When a tyre was made, as far as its sidewall tells.

    ``week`` and ``year`` are what is marked; ``year`` is None where the decade is not known (three
    figures) and where there is no date. ``first_day`` and ``last_day`` are the week by the US rule
    (None without a year), ``earliest`` and ``latest`` the same with the doubt: a week either side
    unless the plant's calendar is known, and over all candidates where the decade is unknown.
    ``week_index`` counts weeks on over the years. ``candidates`` lists every reading where there
    are several; where the first of them is the one taken (four figures, two readings), the fields
    here are that one's. ``canonical`` is WWYY, or WWY where the decade is unknown. ``plant``,
    ``size_code`` and ``maker_code`` are the groups of a whole identification number, ``form`` says
    which form was read, ``warnings`` are sentences for the person.
    """

    text: str
    form: str
    canonical: str = ""
    has_date: bool = True
    week: int | None = None
    year: int | None = None
    first_day: date | None = None
    last_day: date | None = None
    earliest: date | None = None
    latest: date | None = None
    week_index: int | None = None
    decade_known: bool = False
    plant: str | None = None
    size_code: str | None = None
    maker_code: str | None = None
    warnings: tuple[str, ...] = ()
    candidates: tuple[DateCode, ...] = field(default=(), repr=False)

    def __str__(self) -> str:
        return self.canonical or "no date"

    @property
    def words(self) -> str:
        """The week and its year, or every year that it may be of, to read out."""
        if self.week is None:
            return "no date"
        years = [self.year] if self.year else [code.year for code in self.candidates]
        return f"week {self.week:02} of {' or '.join(str(year) for year in years)}"

    def age_on(self, day: date, *, at_least: bool = False) -> Age | None:
        """The age on a day; None where the year is not known.

        Counted from the last day of the week, for "not older than"; with ``at_least`` from its
        first day (common practice, no source).
        """
        made = self.first_day if at_least else self.last_day
        return None if made is None else age_between(made, day)


NO_DATE = DateCode(text="", form="no date", has_date=False)


def dated(text: str, form: str, week: int, year: int, *, calendar_known: bool) -> DateCode:
    """The code of one week of a known year.

    A 53rd week in a year of 52 is kept with a warning, and its doubt stays whatever is known.
    """
    first = first_day_of_week(year, week)
    last = first + _WEEK - timedelta(days=1)
    odd = week > weeks_in_year(year)
    doubt = timedelta() if calendar_known and not odd else _WEEK
    return DateCode(
        text=text,
        form=form,
        canonical=f"{week:02}{year % 100:02}",
        week=week,
        year=year,
        first_day=first,
        last_day=last,
        earliest=first - doubt,
        latest=last + doubt,
        week_index=week_index(first),
        decade_known=True,
        warnings=(_no_53rd(year),) if odd else (),
    )


def undecided(text: str, form: str, canonical: str, candidates: tuple[DateCode, ...]) -> DateCode:
    """A code of one week whose decade is not known: a bare three-figure code."""
    listed = " or ".join(str(code.year) for code in candidates)
    doubts = (warning for code in candidates for warning in code.warnings)
    return DateCode(
        text=text,
        form=form,
        canonical=canonical,
        week=candidates[0].week,
        earliest=min(code.earliest for code in candidates if code.earliest),
        latest=max(code.latest for code in candidates if code.latest),
        warnings=(f"Three figures do not tell the decade: {listed}.", *doubts),
        candidates=candidates,
    )


def _no_53rd(year: int) -> str:
    return (
        f"{year} had 52 weeks by the US rule; week 53 is kept as marked "
        "(a plant may keep its own calendar)."
    )
