"""Tyres put on a car, for the rules that look at several at once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import pairwise

from fitments.rules.values import Axle, Hand, Spot, Terms, Tyre


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """Every tyre of a car by axle, each kind once or as often as it is on, and the spare.

    ``tyres`` may name one SKU for a whole axle; ``spots`` are the places as far as they are known.
    """

    tyres: Mapping[Axle, tuple[Tyre, ...]]
    terms: Terms
    spots: Mapping[Axle, Spot] = field(default_factory=dict)
    spare: Tyre | None = None

    def on(self, axle: Axle) -> tuple[Tyre, ...]:
        return tuple(self.tyres.get(axle, ()))

    def spot(self, axle: Axle) -> Spot:
        return self.spots.get(axle) or Spot(axle=axle)


def pairs(tyres: tuple[Tyre, ...]) -> tuple[tuple[Tyre, Tyre], ...]:
    """Each tyre with the next: all alike when every pair is."""
    return tuple(pairwise(tyres))


def are_partners(one: Tyre, other: Tyre) -> bool:
    """A left and a right of one handed tyre."""
    handed = {one.hand, other.hand} == {Hand.LEFT, Hand.RIGHT}
    alike = (one.maker, one.pattern, one.size) == (other.maker, other.pattern, other.size)
    return handed and alike
