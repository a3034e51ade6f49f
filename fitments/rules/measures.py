"""What a tyre measures: the maker's figure, else the published table, else the formula, else None.

Every answer is None where nothing tells; nothing is raised, whatever figures were typed.
"""

from __future__ import annotations

from functools import lru_cache

from fitments.rules.values import FittedSize, Number, Tyre
from inventory.markings import Rim, Size, rim_of, search_keys
from inventory.markings.geometry import (
    Dimension,
    RimWidths,
    overall_diameter,
    permitted_rim_widths,
    section_width,
)
from inventory.markings.geometry.dimension import stated

_KEPT = 4096  # sizes come again and again: a catalogue has a few hundred
_keys = lru_cache(maxsize=_KEPT)(search_keys)


def tyre_keys(tyre: Tyre) -> frozenset[str]:
    """The keys of the tyre's size, read where they were not given."""
    return tyre.size_keys or (_keys(tyre.size) if tyre.size else frozenset())


def fitted_keys(fitted: FittedSize) -> frozenset[str]:
    return fitted.keys or _keys(fitted.size)


def rim(tyre: Tyre) -> Rim | None:
    """The rim the tyre stands on."""
    if tyre.rim_mm is not None:
        return Rim(tyre.rim_mm, str(tyre.rim_mm), tyre.bead)
    try:
        return rim_of(tyre.size) if tyre.size else None
    except ValueError:
        return None


def overall(tyre: Tyre) -> Dimension | None:
    return _overall(tyre.size, tyre.overall_mm)


def fitted_overall(fitted: FittedSize) -> Dimension | None:
    return _overall(fitted.size, fitted.overall_mm)


def section(tyre: Tyre) -> Dimension | None:
    return _section(tyre.size, tyre.section_mm)


def fitted_section(fitted: FittedSize) -> Dimension | None:
    return _section(fitted.size, fitted.section_mm)


def rim_widths(tyre: Tyre) -> RimWidths | None:
    """The maker's own range where it is stated in full, else the usual one for the size."""
    low, high = tyre.rim_width_min_in, tyre.rim_width_max_in
    own = None if low is None or high is None else (float(low), float(high))
    return _rim_widths(tyre.size, own) if tyre.size else None


def measured(figure: Number | None) -> Dimension | None:
    """A diameter that somebody measured on the car."""
    return _overall(None, figure)


@lru_cache(maxsize=_KEPT)
def _overall(size: Size | None, figure: Number | None) -> Dimension | None:
    try:
        if size is not None:
            return overall_diameter(size, stated_mm=figure)
        return stated(figure) if figure is not None else None
    except ValueError:
        return None


@lru_cache(maxsize=_KEPT)
def _section(size: Size | None, figure: Number | None) -> Dimension | None:
    try:
        if size is not None:
            return section_width(size, stated_mm=figure)
        return stated(figure) if figure is not None else None
    except ValueError:
        return None


@lru_cache(maxsize=_KEPT)
def _rim_widths(size: Size, own: tuple[float, float] | None) -> RimWidths | None:
    try:
        return permitted_rim_widths(size, stated_in=own)
    except ValueError:
        return None
