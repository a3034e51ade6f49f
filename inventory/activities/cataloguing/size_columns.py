"""A size as typed, turned into the columns in which it is searched."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from functools import lru_cache
from types import MappingProxyType
from typing import Any

from inventory.markings import Size, read_size, rim_of, search_keys
from inventory.markings.geometry import NotDerivable, overall_diameter, section_width
from inventory.markings.service import top_speed_of

_TENTH = Decimal("0.1")
_LONGEST_BASIS = 120

NO_SIZE: Mapping[str, Any] = MappingProxyType(
    {
        "size": "",
        "family": "",
        "width_mm": None,
        "aspect": None,
        "construction": "",
        "rim_mm": None,
        "bead": "",
        "overall_mm": None,
        "overall_basis": "",
        "section_mm": None,
        "load_index": None,
        "load_index_dual": None,
        "speed": "",
        "speed_in_size": "",
        "top_speed_kmh": None,
        "size_keys": (),
    }
)


@lru_cache(maxsize=8192)
def size_columns(text: str, stated_overall_mm: Decimal | None = None) -> Mapping[str, Any]:
    """The columns of a SKU that follow from its size as typed, all of them, in mm and km/h.

    A letter that is open-ended (VR, ZR) gives no top speed. The overall diameter is the one that
    the maker states, else from a table or by the formula; null where it does not follow. Raises
    UnreadableMarking; GeometryError for a stated diameter that cannot be.
    """
    size = read_size(text)
    rim = rim_of(size)
    overall, basis = _overall(size, stated_overall_mm)
    return MappingProxyType(
        {
            "size": size.canonical,
            "family": size.family,
            "width_mm": size.width_mm,
            "aspect": size.aspect,
            "construction": size.construction or "",
            "rim_mm": rim.diameter_mm,
            "bead": rim.bead,
            "overall_mm": overall,
            "overall_basis": basis,
            "section_mm": _section(size),
            "load_index": size.load_index,
            "load_index_dual": size.load_index_dual,
            "speed": _speed(size),
            "speed_in_size": size.speed_in_size or "",
            "top_speed_kmh": top_speed_of(size).kmh,
            "size_keys": tuple(sorted(search_keys(size))),
        }
    )


def _overall(size: Size, stated: Decimal | None) -> tuple[Decimal | None, str]:
    try:
        found = overall_diameter(size, stated_mm=stated)
    except NotDerivable:
        return None, ""
    return _tenth(found.value_mm), f"{found.basis}: {found.source}"[:_LONGEST_BASIS]


def _section(size: Size) -> Decimal | None:
    try:
        return _tenth(section_width(size).value_mm)
    except NotDerivable:
        return None


def _speed(size: Size) -> str:
    # (Y) is "over 300 km/h", Y is 300: the brackets are part of the mark
    return f"({size.speed})" if size.bracketed and size.speed == "Y" else size.speed or ""


def _tenth(value_mm: float) -> Decimal:
    return Decimal(str(value_mm)).quantize(_TENTH)
