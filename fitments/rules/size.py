"""Rule 1, size: listed for this axle (or that written otherwise), approved, or an equivalent.

An equivalent is computed, and so never better than a caution.
"""

from __future__ import annotations

from functools import lru_cache

from fitments.rules.comparison import compare
from fitments.rules.listed import listed_as
from fitments.rules.matching import approved_by_maker
from fitments.rules.values import Finding, FittedSize, Spot, Standing, Terms, Tyre
from fitments.rules.voice import Findings, Voice
from fitments.rules.words import number, span
from inventory.markings import Size

RULE = "size"
SAYS = Voice(RULE)
TOLERANCE = "±2.5 to 3 % when a size is changed: common practice, no source"
LOOK_AT = "the size in the car's handbook or on its plate, and on the tyres it stands on"
_STANDS = {
    Standing.FITTED_NEW: "was fitted when new",
    Standing.APPROVED: "is approved by the car's maker",
    Standing.ACCEPTED: "is an accepted alternative",
}


def judge_size(tyre: Tyre, spot: Spot, terms: Terms) -> Findings:
    if tyre.size is None:
        return (SAYS.cannot_tell(f"The size of {tyre} is not on record.", "the sidewall"),)
    return (_listed(tyre, spot) or _approved(tyre, spot, terms) or _other(tyre, spot, terms),)


def _listed(tyre: Tyre, spot: Spot) -> Finding | None:
    listings = listed_as(tyre, spot)
    best = listings.best
    if best is None:
        return None
    says = SAYS.on("", best.source)
    written = _written(tyre, best)
    if best.standing is Standing.ON_CAR:
        return says.warns(
            f"{written} is on the car now; whether that is right is not on record.", LOOK_AT
        )
    if best in listings.sure:
        return says.suits(f"{written} {_STANDS[best.standing]}.")
    return says.cannot_tell(
        f"{written} {_STANDS[best.standing]} on cars built {span(best.built)}; when this car was "
        "built is not known closely enough.",
        "the day of building, from the chassis number or the car's papers",
    )


def _written(tyre: Tyre, listing: FittedSize) -> str:
    """The tyre's size, and the listed way of writing it where that is another."""
    ours, theirs = _plain(tyre), _bare(listing.size)
    return ours if ours == theirs else f"{ours} is {theirs} written otherwise, and that"


def _plain(tyre: Tyre) -> str:
    """The designation without the service description behind it."""
    return _bare(tyre.size) if tyre.size else tyre.code


@lru_cache(maxsize=4096)
def _bare(size: Size) -> str:
    text, index = str(size), size.load_index
    lead = next((lead for lead in (f" ({index}", f" {index}") if lead in text), None)
    return text if lead is None else text.rpartition(lead)[0]


def _approved(tyre: Tyre, spot: Spot, terms: Terms) -> Finding | None:
    fact = approved_by_maker(tyre, spot, terms)
    if fact is None:
        return None
    says = SAYS.on("", f"the register of approvals, {fact.code}")
    return says.suits(f"{_plain(tyre)} is approved by {fact.issuer} for {fact.scope}.")


def _other(tyre: Tyre, spot: Spot, terms: Terms) -> Finding:
    """Not listed: compared with what it would replace."""
    beside = compare(tyre, spot)
    ours, aside = _plain(tyre), _for_other_cars(tyre, spot)
    if beside.before is None and beside.replaced is None:
        words = f"What size belongs on this axle is not known, so {ours} cannot be compared."
        return SAYS.cannot_tell(f"{aside}{words}", LOOK_AT)
    if beside.percent is None:
        unknown = beside.name if beside.before is None else ours
        return SAYS.cannot_tell(
            f"{aside}{ours} is not listed for this axle, and what {unknown} measures is not known.",
            "the overall diameter in the tyre maker's data",
        )
    says, limit = SAYS.on("", TOLERANCE), number(terms.diameter_tolerance_percent)
    words = f"{aside}{ours} is not listed for this axle. {beside.words}."
    if abs(beside.percent) > terms.diameter_tolerance_percent:
        return says.refuses(f"{words} That is outside ±{limit} %.")
    return says.warns(
        f"{words} That is within ±{limit} %: an equivalent by computation, vouched for by nobody.",
        "the car's maker, or the tyre's, for leave to fit it",
    )


def _for_other_cars(tyre: Tyre, spot: Spot) -> str:
    """Where the size is listed, but for cars built at another time."""
    others = listed_as(tyre, spot).not_this
    if not others:
        return ""
    return f"{_plain(tyre)} belongs on cars built {span(others[0].built)}, not on this one. "
