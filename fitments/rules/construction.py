"""Rule 5, construction, of one place; what it means across an axle and a car is judged of a set."""

from __future__ import annotations

from functools import lru_cache

from fitments.rules.listed import listed_as, replaced_by
from fitments.rules.mixing import SOURCE, could_be, is_temporary_spare
from fitments.rules.values import Finding, Spot, Terms, Tyre
from fitments.rules.voice import Findings, Voice
from fitments.rules.words import CONSTRUCTIONS, either

RULE = "construction"
SAYS = Voice(RULE, SOURCE)


def judge_construction(tyre: Tyre, spot: Spot, terms: Terms) -> Findings:
    return (_construction(tyre, spot),)


def named(tyre: Tyre) -> str:
    """The construction in words, "radial or cross-ply" where it is open."""
    return _named(could_be(tyre))


@lru_cache
def _named(possible: frozenset[str]) -> str:
    return either(CONSTRUCTIONS[each] for each in CONSTRUCTIONS if each in possible)


def _construction(tyre: Tyre, spot: Spot) -> Finding:
    if is_temporary_spare(tyre):
        return SAYS.warns(
            f"A temporary spare ({named(tyre)}): for getting home only, by the car's handbook."
        )
    own = could_be(tyre)
    if len(own) > 1:
        return SAYS.cannot_tell(
            f"The size does not say how the tyre is built: {named(tyre)}.",
            "the word RADIAL on the sidewall, or the tyre maker's data",
        )
    return _known(tyre, spot)


def _known(tyre: Tyre, spot: Spot) -> Finding:
    built = named(tyre)
    if listed_as(tyre, spot).sure:
        return SAYS.suits(f"{built.capitalize()}, as listed for this axle.")
    replaced = replaced_by(tyre, spot)
    if replaced is None:
        return SAYS.warns(
            f"{built.capitalize()}; what the car was built for is not known. Never two "
            "constructions on one axle, and never radials in front of any other.",
            "what is on the other wheels, and the car's handbook",
        )
    before = Tyre(code="", size=replaced.size)
    if could_be(tyre) == could_be(before):
        return SAYS.suits(f"{built.capitalize()}, as is {replaced.size}, which it replaces.")
    other = named(before)
    return SAYS.warns(
        f"{built.capitalize()} in place of {other} ({replaced.size}): for the whole car, never for "
        "a part of it, and the pressures of the handbook are not for it."
    )
