"""What a figure in a size can be, and how it is printed. Ranges are common practice, no source."""

from __future__ import annotations

from inventory.markings.size.model import BELTED, BIAS, RADIAL
from inventory.markings.size.rimmarks import rim_marks

CONSTRUCTION = {"R": RADIAL, "D": BIAS, "B": BELTED}

WIDTH_EXPECTED = "a width in steps of 5 mm that tyres are made in"
ASPECT_EXPECTED = "a profile (two figures in steps of 5, or 78 or 82)"
INCHES_EXPECTED = "a section width in inches (such as 5.60)"
INCH_RIM_EXPECTED = "a rim diameter in inches (8 to 24, or a half code such as 16.5)"


def whole(value: float) -> float:
    """The same number, as an int where it is whole."""
    return int(value) if value == int(value) else value


def width_mm(figures: str, least: int, most: int) -> int | None:
    """A nominal width in mm, in steps of 5; None where tyres are not made so."""
    width = int(figures)
    return width if least <= width <= most and width % 5 == 0 else None


def aspect(figures: str) -> int | None:
    """A profile in per cent: steps of 5 from 25 to 95, and the 78 and 82 of some series."""
    percent = int(figures)
    return percent if 25 <= percent <= 95 and (percent % 5 == 0 or percent in (78, 82)) else None


def width_in(figures: str, least: float = 2.0, most: float = 14.0) -> float | None:
    """A width in inches; three or four figures without a point are hundredths (560 is 5.60)."""
    width = float(figures) if "." in figures else int(figures) / 100
    if "." not in figures:  # 250 and less is a width in mm
        least = max(least, 2.5)
    return whole(width) if least <= width <= most else None


def rim_in(figures: str) -> float | None:
    """A rim code in inches that rims are made in, 24.5 at most."""
    mark = f"{float(figures):g}"
    return whole(float(mark)) if mark in rim_marks() and float(mark) < 25 else None


def rim_mm(figures: str) -> int | None:
    """A millimetre rim mark: the 315 to 415 series, 400, and 330, 355, 380."""
    return int(figures) if len(figures) == 3 and figures in rim_marks() else None


def inches(width: float) -> str:
    """A width as sizes print it: two decimals."""
    return f"{width:.2f}"
