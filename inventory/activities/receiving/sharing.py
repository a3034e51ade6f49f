"""What a delivery's lines fill of its order: pure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Came:
    """A delivery line: the order line it is for, or None; how many; whether they are right."""

    line: int
    order_line: int | None
    quantity: int
    right: bool


@dataclass(frozen=True, slots=True)
class Share:
    """Of one delivery line: how many are kept, are over, or put so many of the order in doubt."""

    kept: int = 0
    over: int = 0
    disputes: int = 0


def shared(
    came: Iterable[Came], room: Mapping[int, int]
) -> tuple[dict[int, Share], dict[int, int]]:
    """How each line fills the order, in the order in which they were read, and the room left.

    What is right fills the order first; what is right and finds no room is over. What is wrong puts
    in doubt as many as are then still to come. Without an order line everything right is kept.
    """
    left = dict(room)
    shares: dict[int, Share] = {}
    for one in sorted(came, key=lambda each: (not each.right, each.line)):
        fills = one.quantity
        if one.order_line is not None:
            fills = min(one.quantity, left.get(one.order_line, 0))
            left[one.order_line] = left.get(one.order_line, 0) - fills
        if one.right:
            shares[one.line] = Share(kept=fills, over=one.quantity - fills)
        else:
            shares[one.line] = Share(disputes=fills if one.order_line is not None else 0)
    return shares, left
