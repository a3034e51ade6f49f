"""Rule 8, period: was there such a pattern, and such a size, when the car was built?

That a pattern is remade, and when this tyre was moulded, are further facts. A racing period follows
specification and papers; dates only suggest it.
"""

from __future__ import annotations

from datetime import date

from fitments.rules.listed import listed_as
from fitments.rules.racing_periods import SCHEMES, period_suggestions
from fitments.rules.values import DaySpan, Finding, Spot, Standing, Terms, Tyre, Use
from fitments.rules.voice import Findings, Voice
from fitments.rules.words import span

RULE = "period"
SAYS = Voice(RULE, "the years of the pattern, as its maker gives them", "pattern")
SIZE = Voice(RULE, "the sizes listed for the car", "size")
RACING = Voice(RULE, "FIA Appendix K art 3.2 and FIVA, as quoted elsewhere", "racing")
DATES = "the years of the pattern, from its maker's lists"


def judge_period(tyre: Tyre, spot: Spot, terms: Terms) -> Findings:
    return (
        *judge_pattern(tyre, spot, terms),
        *judge_listing(tyre, spot, terms),
        *judge_racing(tyre, spot, terms),
    )


def judge_pattern(tyre: Tyre, spot: Spot, terms: Terms) -> Findings:
    """The part about the pattern's years."""
    return (_pattern(tyre, spot),)


def judge_listing(tyre: Tyre, spot: Spot, terms: Terms) -> Findings:
    """The part about the size."""
    return (_size(tyre, spot),)


def judge_racing(tyre: Tyre, spot: Spot, terms: Terms) -> Findings:
    """The part about the car's racing period, which hangs on no tyre."""
    raced = terms.use is Use.TRACK or spot.competition
    return (_racing(spot),) if raced else ()


def _pattern(tyre: Tyre, spot: Spot) -> Finding:
    name = tyre.pattern or "the pattern"
    further = _further(tyre)
    if tyre.introduced is None:
        return SAYS.cannot_tell(f"When {name} came in is not on record.{further}", DATES)
    came = f"{name[:1].upper()}{name[1:]} came in {tyre.introduced}"
    if spot.built is None or not spot.built.known:
        return SAYS.cannot_tell(
            f"{came}; when the car was built is not known.{further}",
            "the day of building, from the chassis number or the car's papers",
        )
    return _against(tyre, spot.built, came, further)


def _against(tyre: Tyre, built: DaySpan, came: str, further: str) -> Finding:
    car = f"the car was built {span(built)}"
    first, last = years(built)
    introduced = tyre.introduced or 0
    if last is not None and introduced > last:
        return SAYS.refuses(f"{came}; {car}: there was no such tyre yet.{further}")
    if first is None or introduced > first:
        return SAYS.cannot_tell(f"{came}; {car}, before or after.{further}", "the day of building")
    if introduced == first:
        return SAYS.warns(f"{came}; {car}, in the same year.{further}", DATES)
    again = tyre.remade_since is not None and tyre.remade_since <= first
    if tyre.withdrawn is not None and (last is None or tyre.withdrawn < last) and not again:
        return SAYS.warns(f"{came} and went in {tyre.withdrawn}; {car}.{further}")
    return SAYS.suits(f"{came}; {car}: there was such a tyre.{further}")


def years(built: DaySpan) -> tuple[int | None, int | None]:
    """The first and the last year in which it may have been built, as far as they are known."""
    return (
        built.first.year if built.first else None,
        built.last.year if built.last else None,
    )


def _further(tyre: Tyre) -> str:
    """What is remade, and when this one was moulded: said, and not judged."""
    said = []
    if tyre.remade_since is not None:
        said.append(f" It has been remade since {tyre.remade_since}.")
    if tyre.moulded_in is not None:
        said.append(f" This one was moulded in {tyre.moulded_in}.")
    return "".join(said)


def _size(tyre: Tyre, spot: Spot) -> Finding:
    fitted = [each for each in listed_as(tyre, spot).sure if each.standing is Standing.FITTED_NEW]
    if fitted:
        return SIZE.suits(f"{fitted[0].size} is the size the car was built with.")
    return SIZE.cannot_tell(
        "Nothing on record says that this size was current when the car was built.",
        "tyre makers' lists of the time",
    )


def _racing(spot: Spot) -> Finding:
    look_at = "the car's own papers: the scheme, the period and their number"
    if spot.racing is not None and not spot.racing.scheme:
        words = f"The car's papers say period {spot.racing.period}, and not by which scheme."
        return RACING.cannot_tell(f"{words} A letter means nothing without one.", look_at)
    if spot.racing is not None:
        says = f"The car's papers say period {spot.racing.period} of {spot.racing.scheme}"
        return RACING.suits(f"{says}; what that period may run, the organiser's list says.")
    day = _one_day(spot.built)
    suggested = suggested_words(day) if day else ""
    return RACING.cannot_tell(f"The car's racing period is not on record.{suggested}", look_at)


def _one_day(built: DaySpan | None) -> date | None:
    return built.first if built and built.first == built.last else None


def suggested_words(day: date) -> str:
    """What a day suggests in each scheme, as a sentence that says it only suggests."""
    told = []
    for scheme in SCHEMES:
        letters = dict.fromkeys(each.letter for each in period_suggestions(scheme, None, day))
        if letters:
            told.append(f"{' or '.join(letters)} of {scheme}")
    if not told:
        return ""
    return f" Its date only suggests {' and '.join(told)}; specification and papers decide."
