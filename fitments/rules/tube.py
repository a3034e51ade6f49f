"""Rule 6, tube: must, may, or must not, by the tyre and by the wheel as it stands."""

from __future__ import annotations

from collections.abc import Callable

from fitments.rules.values import Finding, RimKind, Spot, Terms, TubeType, Tyre
from fitments.rules.voice import Findings, Voice

RULE = "tube"
SAYS = Voice(RULE)
RIM = "the rim: spokes through it, and safety humps beside the bead seats"


def judge_tube(tyre: Tyre, spot: Spot, terms: Terms) -> Findings:
    return (_BY_TYRE[tyre.tube](spot),)


def _unknown(spot: Spot) -> Finding:
    return SAYS.cannot_tell(
        "Whether the tyre wants a tube is not on record.",
        "the words TUBELESS or TUBE TYPE on the sidewall",
    )


def _tube_type(spot: Spot) -> Finding:
    """A tube always; the only question is whether the wheel takes one."""
    if spot.tubed:
        return SAYS.suits("Tube-type: it must have a tube, and the wheel is run with one.")
    if spot.rim_kind is RimKind.SPOKED:
        return SAYS.suits("Tube-type on a spoked wheel: it must have a tube.")
    told = "is run without one" if spot.tubed is False else "may be run without one"
    return SAYS.warns(
        f"Tube-type: it must have a tube; the wheel {told}.",
        "the wheel's valve hole, and that nothing sharp inside the rim can chafe a tube",
    )


def _tubeless(spot: Spot) -> Finding:
    """Tubeless, and its maker allows a tube."""
    if spot.rim_kind is RimKind.HUMPLESS:
        return SAYS.warns(
            "Tubeless on a rim without safety humps: a tube is needed for the air, but a tube does "
            "not hold the bead on such a rim.",
            "what the wheel's and the tyre's makers say of this rim",
        )
    if spot.rim_kind is RimKind.SPOKED:
        if spot.tubed is False:
            return SAYS.suits(
                "Tubeless on a spoked wheel that is set down as sealed and run without a tube: a "
                "tube may be fitted."
            )
        return SAYS.suits(
            "Tubeless on a spoked wheel: it must have a tube, as air leaks past the spokes; its "
            "maker allows one."
        )
    if spot.rim_kind is RimKind.UNKNOWN:
        return SAYS.cannot_tell(
            "Tubeless, a tube allowed; whether the rim needs one is not known.", RIM
        )
    return SAYS.suits("Tubeless on a rim with safety humps: a tube may be fitted, and need not be.")


def _no_tube(spot: Spot) -> Finding:
    """Tubeless, and its maker refuses a tube: the wheel must hold air, and the bead, by itself."""
    if spot.tubed:
        return SAYS.refuses("The wheel is run with a tube, and the tyre's maker refuses one.")
    if spot.rim_kind is RimKind.HUMPLESS:
        return SAYS.refuses(
            "The tyre's maker refuses a tube, and without one the rim has no safety humps to hold "
            "the bead."
        )
    if spot.rim_kind is RimKind.SPOKED:
        if spot.tubed is False:
            return SAYS.warns(
                "The tyre's maker refuses a tube: only as long as the spoked wheel is sealed.",
                "the sealing of the spokes",
            )
        return SAYS.refuses("A spoked wheel needs a tube, and the tyre's maker refuses one.")
    if spot.rim_kind is RimKind.UNKNOWN or spot.tubed is None:
        return SAYS.cannot_tell(
            "The tyre's maker refuses a tube; whether the wheel does without is not known.", RIM
        )
    return SAYS.suits("Tubeless, a tube refused, and the wheel is run without one.")


_BY_TYRE: dict[TubeType, Callable[[Spot], Finding]] = {
    TubeType.UNKNOWN: _unknown,
    TubeType.TUBE_TYPE: _tube_type,
    TubeType.TUBELESS: _tubeless,
    TubeType.NO_TUBE: _no_tube,
}
