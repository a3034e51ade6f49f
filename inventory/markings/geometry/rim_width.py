"""The rim widths that a tyre may stand on."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from inventory.markings.geometry.dimension import MAKERS_FIGURE, GeometryError, NotDerivable
from inventory.markings.geometry.nominal import nominal
from inventory.markings.geometry.width import WIDEST_RIM_IN
from inventory.markings.size import Size

__all__ = ["RimWidths", "permitted_rim_widths"]

_BELOW, _ABOVE = Decimal("0.5"), Decimal(1)
_COMMON = "half an inch below to one inch above the measuring rim: common practice, no source"


@dataclass(frozen=True, slots=True, kw_only=True)
class RimWidths:
    """The rim widths, in inches, that a tyre may stand on; ``measuring_in`` None where not known.

    ``basis`` is "stated" (the maker's own range) or "formula": then the range is common practice,
    and the maker's own and the wheel's marking govern.
    """

    min_in: float
    max_in: float
    measuring_in: float | None
    basis: str
    source: str

    def allows(self, width_in: float) -> bool:
        """Whether a rim of this width is within the range, ends included."""
        return self.min_in <= width_in <= self.max_in


def permitted_rim_widths(size: Size, *, stated_in: tuple[float, float] | None = None) -> RimWidths:
    """The rim widths in inches that a tyre may stand on.

    A stated range (narrowest, widest) is the maker's and is taken. Otherwise half an inch below to
    one inch above the measuring rim: common practice, no source, and often less than the maker
    allows. Raises NotDerivable where the measuring rim is not known, GeometryError for a range
    that cannot be.
    """
    if stated_in is not None:
        return _stated(*stated_in)
    readings = size.candidates if len(size.possible_constructions) > 1 else ()
    sections = [nominal(reading) for reading in readings or (size,)]
    measuring = {section.measuring_rim_in if section else None for section in sections}
    rim = measuring.pop()
    if rim is None or measuring:
        raise NotDerivable(
            f"The rim widths for {size} do not follow from its mark: state the maker's range."
        )
    return RimWidths(
        min_in=float(rim - _BELOW),
        max_in=float(rim + _ABOVE),
        measuring_in=float(rim),
        basis="formula",
        source=_COMMON,
    )


def _stated(low: float, high: float) -> RimWidths:
    if not 0 < low <= high <= WIDEST_RIM_IN:
        raise GeometryError(f"{low:g} to {high:g} in is not a range of rim widths.")
    return RimWidths(
        min_in=low, max_in=high, measuring_in=None, basis="stated", source=MAKERS_FIGURE
    )
