"""Two sizes side by side: diameter, width, room, and the speed that is really driven."""

from __future__ import annotations

from dataclasses import dataclass

from inventory.markings.geometry.diameter import overall_diameter
from inventory.markings.geometry.dimension import Dimension, NotDerivable
from inventory.markings.geometry.speedometer import (
    SpeedometerCheck,
    SpeedometerRule,
    speedometer_check,
)
from inventory.markings.geometry.width import section_width
from inventory.markings.size import Size
from inventory.markings.units import Measured, to_kmh

__all__ = ["SizeComparison", "compare_sizes"]


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeComparison:
    """What changes when ``new`` stands where ``old`` stood. Differences are new less old.

    ``radius_mm`` is what the car is raised, and what the tyre comes nearer to the arch above it.
    ``each_side_mm`` is what it comes nearer on either side on the same rim and offset. Widths are
    None where one of them is not known. ``true_kmh`` is driven while the speedometer shows
    ``shown_kmh``. ``words`` says all of it.
    """

    old: str
    new: str
    old_diameter: Dimension
    new_diameter: Dimension
    diameter_mm: float
    diameter_percent: float
    radius_mm: float
    old_width: Dimension | None
    new_width: Dimension | None
    width_mm: float | None
    each_side_mm: float | None
    shown_kmh: float
    true_kmh: float
    speedometer: SpeedometerCheck
    words: tuple[str, ...]


def compare_sizes(
    old: Size,
    new: Size,
    *,
    shown_kmh: Measured = 100,
    over_read: float | None = None,
    rule: str = SpeedometerRule.UN_R39,
    old_stated_mm: Measured | None = None,
    new_stated_mm: Measured | None = None,
    old_rim_width_in: float | None = None,
    new_rim_width_in: float | None = None,
) -> SizeComparison:
    """What changes when ``new`` stands where ``old`` stood.

    Diameters stated by the makers, and the rims' widths, may be given for either. ``over_read`` is
    shown / true speed on the old tyre; without it ``true_kmh`` takes the speedometer to have read
    true there. Diameters are of new tyres as tabled or computed, so a worn or growing tyre differs.
    Raises NotDerivable (a diameter is not known: state it), GeometryError, WrongUnit.
    """
    before = overall_diameter(old, stated_mm=old_stated_mm)
    after = overall_diameter(new, stated_mm=new_stated_mm)
    widths = _width(old, old_rim_width_in), _width(new, new_rim_width_in)
    wider = None if None in widths else _difference(*widths)
    larger = round(after.value_mm - before.value_mm, 2)
    shown = to_kmh(shown_kmh)
    true = round(shown / (over_read or 1) * after.value_mm / before.value_mm, 1)
    check = speedometer_check(before.value_mm, after.value_mm, over_read, rule)
    percent = round(100 * (after.value_mm - before.value_mm) / before.value_mm, 2)
    return SizeComparison(
        old=str(old),
        new=str(new),
        old_diameter=before,
        new_diameter=after,
        diameter_mm=larger,
        diameter_percent=percent,
        radius_mm=round(larger / 2, 2),
        old_width=widths[0],
        new_width=widths[1],
        width_mm=wider,
        each_side_mm=None if wider is None else round(wider / 2, 2),
        shown_kmh=shown,
        true_kmh=true,
        speedometer=check,
        words=(*_room(larger, percent, wider), _speed(shown, true, over_read), check.words),
    )


def _width(size: Size, rim_width_in: float | None) -> Dimension | None:
    try:
        return section_width(size, rim_width_in)
    except NotDerivable:
        return None


def _difference(old: Dimension | None, new: Dimension | None) -> float | None:
    return round(new.value_mm - old.value_mm, 2) if old and new else None


def _room(larger: float, percent: float, wider: float | None) -> tuple[str, str]:
    """What the change means for the room around the tyre, in words."""
    if larger:
        word, way = ("larger", "raised") if larger > 0 else ("smaller", "lowered")
        up = (
            f"{abs(larger):g} mm {word} in diameter ({percent:+.2f} %): the car is {way} by "
            f"{abs(larger) / 2:g} mm, with as much {'less' if larger > 0 else 'more'} room above."
        )
    else:
        up = "The same overall diameter."
    if wider is None:
        return up, "How the widths compare cannot be told: state the makers' section widths."
    if not wider:
        return up, "The same section width."
    word, room = ("wider", "less") if wider > 0 else ("narrower", "more")
    return up, f"{abs(wider):g} mm {word}: {abs(wider) / 2:g} mm {room} room on each side."


def _speed(shown: float, true: float, over_read: float | None) -> str:
    given = "" if over_read else ", if the speedometer read true before"
    return f"At {shown:g} km/h shown, {true:g} km/h is driven{given}."
