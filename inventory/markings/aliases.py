"""One size written otherwise: keys that are equal when two marks name one size.

Answered from ``tables/aliases.csv`` (each row with its source) and from the old millimetre marks
of inch rims in ``tables/rims.csv``. Nothing is computed here: a size of the same diameter is
another size. Service description, letters inside the size and suffixes do not make another
size; the construction does, and T (temporary spare) does. An open construction or bead meets
each one that the mark leaves possible.
"""

from __future__ import annotations

from functools import cache

from inventory.markings.size import Size, read_size
from inventory.markings.size.inch import ULTRA_LOW_NAME
from inventory.markings.size.model import BEADED_EDGE, BELTED, BIAS, RADIAL, STRAIGHT_SIDE
from inventory.markings.size.rimmarks import rim_marks
from inventory.markings.tables import rows

__all__ = ["same_size", "search_keys", "size_key"]

_CODE = {RADIAL: "R", BIAS: "D", BELTED: "B", BEADED_EDGE: "BE", STRAIGHT_SIDE: "SS"}
_OPEN = "?"


def same_size(a: Size | str, b: Size | str) -> bool:
    """Whether two marks name one size: 165 R 15 and 165/80 R 15, a dual mark and its half.

    True exactly when the ``search_keys`` of the two have a key in common. Text is read with
    ``read_size`` (UnreadableMarking).
    """
    return not search_keys(_size(a)).isdisjoint(search_keys(_size(b)))


def size_key(size: Size) -> str:
    """The key of what the mark itself says (of a dual mark: its first half).

    It is one of the ``search_keys``; where the mark leaves construction or bead open, it ends
    in "?" and stands for the open mark.
    """
    codes = _codes(size)
    return _resolved(_stem(size), codes[0] if len(codes) == 1 else _OPEN)


def search_keys(size: Size) -> frozenset[str]:
    """Every key under which the size is to be found, the other half of a dual mark included."""
    keys = {size_key(size)}
    for half in (size, *size.alternatives):
        stem = _stem(half)
        keys.update(_resolved(stem, code) for code in _codes(half))
    return frozenset(keys)


def _size(given: Size | str) -> Size:
    return read_size(given) if isinstance(given, str) else given


def _codes(size: Size) -> tuple[str, ...]:
    """The codes of the constructions, for old pairs of the beads, that the mark leaves possible."""
    if size.possible_beads:
        return tuple(_CODE[bead] for bead in size.possible_beads)
    return tuple(_CODE[c] for c in size.possible_constructions or (RADIAL, BIAS, BELTED))


def _stem(size: Size) -> str:
    """Width, pair of figures or letter, then the rim: 165/80-15, T125/70-15, 20x54cm-13."""
    rim = f"{size.rim_in:g}" if size.rim_mm is None else f"{size.rim_mm}mm"
    if (mark := rim_marks().get(f"{size.rim_mm}")) and mark.names_inch:
        rim = mark.names_inch
    return f"{_pair(size) or _width(size)}-{rim}"


def _pair(size: Size) -> str | None:
    """The two figures of a size that states section and overall diameter."""
    for unit in ("mm", "cm", "in"):
        section, overall = getattr(size, f"section_{unit}"), getattr(size, f"overall_{unit}")
        if section is not None and overall is not None:
            return f"{section:g}x{overall:g}{unit}"
    return None


def _width(size: Size) -> str:
    if size.width_mm is not None:
        prefix = size.prefix if size.prefix and size.prefix not in _table("prefix") else ""
        return f"{prefix}{size.width_mm}" + (f"/{size.aspect}" if size.aspect else "")
    if size.width_in is not None:
        decimals = 1 if size.family == ULTRA_LOW_NAME else 2  # 6.5-13 is not 6.50-13
        return f"{size.width_in:.{decimals}f}{size.letter or ''}"
    if size.letter is not None:
        return f"{size.letter}{size.aspect}"
    return size.canonical.partition(" ")[0].partition("-")[0]  # 4.50/11.60-15: figures unnamed


def _resolved(stem: str, code: str) -> str:
    """The key, with the mark that the table has it written as in place of this one."""
    if code == "R":
        width, _, rest = stem.partition("/")
        profile, _, rim = rest.partition("-")
        if profile in _table("profile"):
            stem = f"{width}-{rim}"
    elif code == "D":
        stem = _table("cross-ply").get(stem, stem)
    return f"{stem} {code}"


@cache
def _table(kind: str) -> dict[str, str]:
    return {row["mark"]: row["same_as"] for row in rows("aliases") if row["kind"] == kind}
