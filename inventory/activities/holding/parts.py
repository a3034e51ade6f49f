"""What is named of a hold: so many of one lot in one place, for one place on the car."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from inventory.availability import SetAnswer
from inventory.ground.refusal import Refusal
from inventory.ledger.moves import some


@dataclass(frozen=True, slots=True, order=True)
class Part:
    """So many of a lot in a place. ``for_place`` is "front", "rear", "spare"; "" for the rest."""

    for_place: str
    lot_id: int
    place_id: int
    quantity: int


class NoSuchParts(Refusal):
    """Lots were named in a form that nobody could have been shown."""

    status = 400
    sentence = (
        "The lots that were shown cannot be read out of what was sent: open the answer again and "
        "hold from there. Nothing was changed."
    )


def parts_of(answer: SetAnswer) -> tuple[Part, ...]:
    """The lots of the best set as an answer names them: what a face shows and sends back."""
    return merged(
        Part(one.for_place, one.lot.lot_id, one.lot.place_id, one.quantity) for one in answer.chosen
    )


def merged(parts: Iterable[Part]) -> tuple[Part, ...]:
    """The parts with one for each lot, place and place on the car, in a fixed order.

    Raises NoneAsked, NotWhole and TooMany for a quantity that is none.
    """
    total: dict[tuple[str, int, int], int] = {}
    for part in parts:
        key = (part.for_place, part.lot_id, part.place_id)
        total[key] = total.get(key, 0) + some(part.quantity)
    return tuple(sorted(Part(*key, quantity) for key, quantity in total.items()))


def written(parts: Sequence[Part]) -> str:
    """The parts as a hidden field of a form carries them; `read` makes them of it again."""
    return ";".join(f"{one.for_place},{one.lot_id},{one.place_id},{one.quantity}" for one in parts)


def read(text: str) -> tuple[Part, ...]:
    """The parts that `written` wrote. Raises NoSuchParts."""
    try:
        rows = [row.rsplit(",", 3) for row in text.split(";") if row]
        return merged(
            Part(for_place, int(lot), int(place), int(quantity))
            for for_place, lot, place, quantity in rows
        )
    except ValueError:
        raise NoSuchParts from None
