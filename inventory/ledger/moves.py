"""What a posting is made of: moves, looked over before anything is locked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from inventory.ground.refusal import Refusal

MOST = 1_000_000
"""No line and no balance is larger: past it a number is a slip of the finger."""


@dataclass(frozen=True, slots=True)
class Move:
    """So many tyres of one lot more (or fewer) in one place, and so many more (or fewer) held."""

    lot_id: int
    place_id: int
    on_hand: int = 0
    held: int = 0


class NothingToPost(Refusal):
    """A posting without lines, or with a line of nought."""

    status = 400
    sentence = "There is nothing to book: no tyres were named. Nothing was changed."


class NotWhole(Refusal):
    """A quantity that is not a whole number."""

    status = 400

    def __init__(self, quantity: object) -> None:
        super().__init__(
            f"{str(quantity)[:40]} is not a whole number of tyres. Nothing was changed.",
            field="quantity",
        )


class TooMany(Refusal):
    """A quantity that no stockist has."""

    status = 400

    def __init__(self, quantity: int) -> None:
        super().__init__(
            f"{quantity:,} tyres are more than this shop can book at once ({MOST:,}): "
            "look at the number again. Nothing was changed.",
            field="quantity",
        )


class NamedTwice(Refusal):
    """One lot in one place is named twice in one posting."""

    status = 400
    sentence = (
        "The same lot in the same place is named twice: put the two together. Nothing was changed."
    )


def looked_over(lines: Sequence[Move]) -> list[Move]:
    """The moves in the order in which balances are locked, or a refusal."""
    if not lines:
        raise NothingToPost
    for move in lines:
        for quantity in (move.on_hand, move.held):
            whole(quantity)
        if not (move.on_hand or move.held):
            raise NothingToPost
    ordered = sorted(lines, key=lambda move: (move.lot_id, move.place_id))
    if len({(move.lot_id, move.place_id) for move in ordered}) < len(ordered):
        raise NamedTwice
    return ordered


def whole(quantity: object) -> int:
    """A whole number that a shop can mean; `NotWhole` or `TooMany` for any other."""
    if isinstance(quantity, bool) or not isinstance(quantity, int):
        raise NotWhole(quantity)
    if abs(quantity) > MOST:
        raise TooMany(abs(quantity))
    return quantity


def some(quantity: object) -> int:
    """A whole number of one or more: what a person may ask to be moved or booked."""
    number = whole(quantity)
    if number < 1:
        raise NoneAsked(number)
    return number


class NoneAsked(Refusal):
    """Nought tyres, or fewer, were asked for."""

    status = 400

    def __init__(self, quantity: int) -> None:
        super().__init__(
            f"{quantity} tyres cannot be booked: say one or more. Nothing was changed.",
            field="quantity",
        )
