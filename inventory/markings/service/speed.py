"""Top speeds: of a speed symbol in a service description, and of a letter inside the size.

The two are different fields. The service description's symbol is a figure in a published table.
A letter inside the size is older: S and H inside a radial size have a figure, V and Z there are
open-ended, and inside any other size the letters did not mean the same speeds.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from inventory.markings.size.model import BELTED, BIAS, RADIAL, Size
from inventory.markings.tables import rows
from inventory.markings.units import Measured, to_kmh

__all__ = [
    "UNKNOWN_TOP_SPEED",
    "ServiceDescriptionError",
    "TopSpeed",
    "UnknownSpeedSymbol",
    "top_speed",
    "top_speed_of",
]

IN_SERVICE, IN_SIZE = "service description", "inside the size"
_RADIAL_WORDS = {"SR": "S", "HR": "H", "VR": "V", "ZR": "Z"}
_OPEN_ENDED_INSIDE = {"Z"}


class ServiceDescriptionError(ValueError):
    """A load index, speed symbol or speed outside the published tables; a sentence for people."""


class UnknownSpeedSymbol(ServiceDescriptionError):
    """No table has this speed symbol."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TopSpeed:
    """How fast a marked tyre may run.

    ``kmh`` is the top speed in km/h where the mark gives one. Where ``open_ended``, ``over_kmh`` is
    the speed that the mark promises and there is no upper figure: never use it as a top speed.
    ``known`` is false where the mark, or its absence, does not tell; then both are None.
    """

    kmh: int | None
    over_kmh: int | None
    open_ended: bool
    known: bool
    words: str
    source: str

    def reaches(self, speed: Measured) -> bool | None:
        """Whether the tyre may run at ``speed`` (km/h, or with a unit); None: cannot tell."""
        wanted = to_kmh(speed)
        if self.kmh is not None:
            return wanted <= self.kmh
        if self.over_kmh is not None and wanted <= self.over_kmh:
            return True
        return None


UNKNOWN_TOP_SPEED = TopSpeed(
    kmh=None,
    over_kmh=None,
    open_ended=False,
    known=False,
    words="cannot tell: no speed symbol is marked, ask the tyre's maker",
    source="",
)


def top_speed(symbol: str, *, in_size: bool = False, construction: str | None = None) -> TopSpeed:
    """The top speed that a symbol stands for; UN R30 and R54, from memory (see the table).

    ``symbol`` is a service description's ("H", "(Y)"), or, with ``in_size``, the letter inside a
    size of ``construction`` ("radial", "bias", "bias-belted", None where the text does not say).
    "SR", "HR", "VR" and "ZR" are read as the letter inside a radial size, and so is "Z", which
    stands nowhere else. Raises UnknownSpeedSymbol.
    """
    mark = symbol.strip().upper()
    if mark in _RADIAL_WORDS:
        mark, in_size, construction = _RADIAL_WORDS[mark], True, RADIAL
    if in_size:
        return _inside(mark, construction)
    if mark in _OPEN_ENDED_INSIDE:
        return _inside(mark, RADIAL)
    found = _table().get((IN_SERVICE, mark))
    if found is None:
        raise UnknownSpeedSymbol(_no_such(symbol))
    return found


def top_speed_of(size: Size) -> TopSpeed:
    """The top speed of a size as read: the service description governs over the letter inside."""
    if size.speed:
        return top_speed("(Y)" if size.bracketed and size.speed == "Y" else size.speed)
    if size.speed_in_size:
        return top_speed(size.speed_in_size, in_size=True, construction=size.construction)
    return UNKNOWN_TOP_SPEED


def _inside(letter: str, construction: str | None) -> TopSpeed:
    if construction == RADIAL and (IN_SIZE, letter) in _table():
        return _table()[IN_SIZE, letter]
    kind = {
        BIAS: "a cross-ply size",
        BELTED: "a belted cross-ply size",
        RADIAL: "a radial size",
    }.get(construction or "", "a size that does not say how the tyre is built")
    return TopSpeed(
        kmh=None,
        over_kmh=None,
        open_ended=False,
        known=False,
        words=f"cannot tell: {letter} inside {kind} has no settled figure, ask the tyre's maker",
        source="from memory, unconfirmed",
    )


@cache
def _table() -> dict[tuple[str, str], TopSpeed]:
    return {(row["kind"], row["symbol"]): _read(row) for row in rows("speed_symbol")}


def _read(row: dict[str, str]) -> TopSpeed:
    kmh = int(row["kmh"]) if row["kmh"] else None
    over = int(row["over_kmh"]) if row["over_kmh"] else None
    words = f"{kmh} km/h" if kmh else f"over {over} km/h: no upper figure, ask the tyre's maker"
    return TopSpeed(
        kmh=kmh,
        over_kmh=over,
        open_ended=over is not None,
        known=True,
        words=words,
        source=row["source"],
    )


def _no_such(symbol: str) -> str:
    shown = symbol if len(symbol) <= 12 else symbol[:11] + "…"
    known = ", ".join(mark for kind, mark in _table() if kind == IN_SERVICE)
    return f"{shown!r} is no speed symbol. Those in use, slowest first, are {known}."
