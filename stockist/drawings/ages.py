"""The house's tyres by site and age, as bars in one scale. Pure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

WIDTH, ROW, LEFT, RIGHT, HIGH = 560.0, 34.0, 86.0, 552.0, 20.0


@dataclass(frozen=True, slots=True)
class Piece:
    """One band of one site; ``shade`` counts from 0, the youngest."""

    x: float
    y: float
    width: float
    shade: int


@dataclass(frozen=True, slots=True)
class Name:
    y: float
    words: str


@dataclass(frozen=True, slots=True)
class Ages:
    pieces: tuple[Piece, ...]
    names: tuple[Name, ...]
    height: float
    words: str


def ages(sites: Mapping[str, Sequence[int]], bands: Sequence[str]) -> Ages | None:
    """The picture of pieces by site and band, or None where there are none."""
    most = max((sum(counts) for counts in sites.values()), default=0)
    if not most:
        return None
    pieces, names, told = [], [], []
    for n, (site, counts) in enumerate(sites.items()):
        x, y = LEFT, 8 + n * ROW
        for shade, count in enumerate(counts):
            width = round((RIGHT - LEFT) * count / most, 1)
            if count:
                pieces.append(Piece(round(x, 1), y, max(width, 1.0), shade))
            x += width
        names.append(Name(y + 15, site))
        said = ", ".join(f"{c} {band}" for c, band in zip(counts, bands, strict=True) if c)
        told.append(f"{site}: {said}")
    return Ages(tuple(pieces), tuple(names), 8 + len(sites) * ROW, "; ".join(told))
