"""How fast a tyre may run: by its symbol, the letter inside its size, and its maker's word."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from fitments.rules.values import Number, Tyre
from inventory.markings import Size
from inventory.markings.service import (
    UNKNOWN_TOP_SPEED,
    TopSpeed,
    UnknownSpeedSymbol,
    top_speed,
    top_speed_of,
)


@dataclass(frozen=True, slots=True)
class Reach:
    """How fast a tyre may run: to ``kmh``, or over ``over`` without an upper figure, or neither."""

    kmh: Number | None
    over: Number | None
    words: str

    def reaches(self, speed: Number) -> bool | None:
        if self.kmh is not None:
            return speed <= self.kmh
        return True if self.over is not None and speed <= self.over else None

    def is_at_least(self, least: TopSpeed) -> bool | None:
        """Whether it is no less than a symbol asks; None where neither figure tells."""
        if least.kmh is not None:
            return self.reaches(least.kmh)
        if least.over_kmh is None:
            return None
        if self.kmh is not None:
            return self.kmh > least.over_kmh
        return True if self.over is not None and self.over >= least.over_kmh else None


def symbol_speed(tyre: Tyre) -> TopSpeed:
    """What is marked: the service description's symbol, else the letter inside the size."""
    if tyre.speed:
        try:
            return top_speed(tyre.speed)
        except UnknownSpeedSymbol:
            return UNKNOWN_TOP_SPEED
    return top_speed_of(tyre.size) if tyre.size else UNKNOWN_TOP_SPEED


def reach(tyre: Tyre) -> Reach:
    """Marked and stated by the maker: the lower, where both give a figure."""
    return _reach(tyre.size, tyre.speed, tyre.top_speed_kmh)


@lru_cache(maxsize=20_000, typed=True)  # a tyre is asked at every car
def _reach(size: Size | None, speed: str, stated: int | None) -> Reach:
    tyre = Tyre(code="", size=size, speed=speed)
    marked = symbol_speed(tyre)
    if stated is not None and (marked.kmh is None or stated < marked.kmh):
        return Reach(stated, None, f"{stated} km/h by its maker's statement")
    symbol = tyre.speed or (tyre.size.speed or tyre.size.speed_in_size if tyre.size else None)
    if marked.kmh is not None:
        return Reach(marked.kmh, None, f"{marked.kmh} km/h (marked {symbol})")
    if marked.over_kmh is not None:
        words = f"over {marked.over_kmh} km/h, with no upper figure (marked {symbol})"
        return Reach(None, marked.over_kmh, words)
    if symbol:
        return Reach(None, None, f"not to be told from {symbol} in this kind of size")
    return Reach(None, None, "not marked on it and not stated by its maker")


def service_symbol(tyre: Tyre) -> str:
    """The symbol of the service description; empty where there is none."""
    if tyre.speed or tyre.size is None or not tyre.size.speed:
        return tyre.speed
    return f"({tyre.size.speed})" if tyre.size.bracketed else tyre.size.speed
