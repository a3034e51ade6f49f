"""A tyre beside the size it would replace on this axle: diameter and width, with the numbers."""

from __future__ import annotations

from dataclasses import dataclass

from fitments.rules import measures
from fitments.rules.listed import replaced_by
from fitments.rules.values import FittedSize, Spot, Tyre
from fitments.rules.words import mm, percent
from inventory.markings.geometry import Dimension


@dataclass(frozen=True, slots=True)
class Comparison:
    """``own`` and ``before`` are overall diameters, None where not known; ``name`` is what was."""

    own: Dimension | None
    before: Dimension | None
    name: str
    replaced: FittedSize | None
    own_width: Dimension | None
    width_before: Dimension | None

    @property
    def percent(self) -> float | None:
        """By how much the diameter differs, in per cent of what it was, to two places."""
        if self.own is None or self.before is None:
            return None
        return round(100 * (self.own.value_mm / self.before.value_mm - 1), 2)

    @property
    def words(self) -> str:
        """``It measures 640 mm, 165 R 15 646 mm: −0.93 %, and 22 mm wider (189 against 167)``."""
        if self.own is None or self.before is None or self.percent is None:
            return "how the diameters compare is not known"
        return (
            f"It measures {mm(self.own.value_mm)}, {self.name} {mm(self.before.value_mm)}: "
            f"{percent(self.percent)}, {self._widths}"
        )

    @property
    def _widths(self) -> str:
        if self.own_width is None or self.width_before is None:
            return "widths not known"
        ours, theirs = self.own_width.value_mm, self.width_before.value_mm
        how = f"{mm(abs(ours - theirs))} {'wider' if ours > theirs else 'narrower'}"
        return f"and {how if ours != theirs else 'as wide'} ({mm(ours)} against {mm(theirs)})"


def compare(tyre: Tyre, spot: Spot) -> Comparison:
    """Against what was measured on the car, where somebody measured; else the listed size."""
    replaced = replaced_by(tyre, spot)
    measured = measures.measured(spot.reference_overall_mm)
    before = measured or (measures.fitted_overall(replaced) if replaced else None)
    return Comparison(
        own=measures.overall(tyre),
        before=before,
        name="what is replaced" if measured or replaced is None else str(replaced.size),
        replaced=replaced,
        own_width=measures.section(tyre),
        width_before=measures.fitted_section(replaced) if replaced else None,
    )
