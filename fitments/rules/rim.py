"""Rule 2, rim: diameter and bead seat exact, width within what the tyre permits."""

from __future__ import annotations

from functools import lru_cache

from fitments.rules import measures
from fitments.rules.values import Finding, Spot, Terms, Tyre
from fitments.rules.voice import Findings, Voice
from fitments.rules.words import inches, mm, number
from inventory.markings import Rim
from inventory.markings.size.rimmarks import rim_marks

RULE = "rim"
SAYS = Voice(RULE, "UN R30 2.21 (rim diameters) and old millimetre marks, from memory")
WIDTH = SAYS.on("width")


def judge_rim(tyre: Tyre, spot: Spot, terms: Terms) -> Findings:
    return (_diameter(tyre, spot), _width(tyre, spot))


def _diameter(tyre: Tyre, spot: Spot) -> Finding:
    theirs = measures.rim(tyre)
    if theirs is None:
        return SAYS.cannot_tell(
            f"The rim that {tyre} needs is not on record.", "the size on the tyre's sidewall"
        )
    if spot.rim_mm is None:
        return SAYS.cannot_tell(
            f"The tyre needs a rim of {rim_words(theirs.diameter_mm)}; the wheel's is not known.",
            "the size stamped on the wheel",
        )
    if theirs.diameter_mm != spot.rim_mm:
        return SAYS.refuses(
            f"The tyre needs a rim of {rim_words(theirs.diameter_mm)}, the wheel measures "
            f"{rim_words(spot.rim_mm)}: no tyre goes on a rim of another diameter."
        )
    return _bead(theirs, spot)


def _bead(theirs: Rim, spot: Spot) -> Finding:
    """The seats, once the diameters agree. A mark that is one rim only has that rim's seat."""
    ours, both = spot.bead or _only_seat(spot.rim_mm), rim_words(theirs.diameter_mm)
    tyres, wheels = set(theirs.bead.split(" or ")), set(ours.split(" or "))
    if theirs.bead and ours and tyres.isdisjoint(wheels):
        return SAYS.refuses(
            f"Tyre and wheel are both {both}, but the tyre's bead is made for a {theirs.bead} rim "
            f"and the wheel is {ours}: they never meet."
        )
    if theirs.bead == ours and len(tyres) == 1 and ours:
        return SAYS.suits(f"Tyre and wheel are both {both}, {ours} bead seat.")
    return SAYS.cannot_tell(
        f"Tyre and wheel are both {both}, but the bead seats are not both known (tyre: "
        f"{theirs.bead or 'not known'}; wheel: {ours or 'not known'}).",
        "the edge of the rim: hooked under (beaded edge), straight, or with a sloping seat",
    )


@lru_cache(maxsize=4096)
def rim_words(diameter_mm: int) -> str:
    """``15 in (381 mm)`` where an inch mark has that diameter, else ``390 mm``."""
    marks = (mark for mark in rim_marks().values() if mark.diameter_mm == diameter_mm)
    inch = next((mark.mark for mark in marks if mark.unit == "in"), None)
    return f"{inch} in ({mm(diameter_mm)})" if inch else mm(diameter_mm)


@lru_cache(maxsize=4096)
def _only_seat(rim_mm: int | None) -> str:
    """The seat of a wheel told by its diameter alone, where the table has one such rim."""
    seats = {mark.bead for mark in rim_marks().values() if mark.diameter_mm == rim_mm}
    return seats.pop() if len(seats) == 1 else ""


def _width(tyre: Tyre, spot: Spot) -> Finding:
    permitted = measures.rim_widths(tyre)
    if permitted is None:
        return WIDTH.cannot_tell(
            f"The rim widths that {tyre} permits are not on record.",
            "the tyre maker's table of rim widths",
        )
    says = WIDTH.on("width", permitted.source)
    told = f"{number(permitted.min_in, 2)} to {inches(permitted.max_in)}"
    if spot.width_in is None:
        return says.cannot_tell(
            f"The tyre takes a rim {told} wide; the wheel's width is not known.",
            "the wheel's width, measured between the flanges, inside",
        )
    within = permitted.allows(float(spot.width_in))
    if permitted.basis == "formula":
        return _usual(says, told, within, spot)
    if within:
        return says.suits(f"The wheel is {inches(spot.width_in)} wide; the tyre takes {told}.")
    return says.refuses(f"The wheel is {inches(spot.width_in)} wide; the tyre takes only {told}.")


def _usual(says: Voice, told: str, within: bool, spot: Spot) -> Finding:
    """Against the usual range of the size, where the maker's own is not on record."""
    look_at = "the tyre maker's table of rim widths"
    if within:
        return says.warns(
            f"The wheel is {inches(spot.width_in or 0)} wide, within the {told} usual for this "
            "size; the maker's own range is not on record.",
            look_at,
        )
    return says.cannot_tell(
        f"The wheel is {inches(spot.width_in or 0)} wide, outside the {told} usual for this size; "
        "only the tyre's maker can say whether it permits that.",
        look_at,
    )
