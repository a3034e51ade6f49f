"""How a pick list stands: what is still to be picked, what is missing, and its state after that."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from inventory.models.hold import HoldState
from inventory.models.pick import PickLine, PickLineState, PickList, PickListState


@dataclass(frozen=True, slots=True)
class Missing:
    """So many tyres of a line that were not found, and that nothing stands in for."""

    line: PickLine
    quantity: int

    @property
    def words(self) -> str:
        """What is missing, of which set."""
        where = f"{self.line.for_place}, " if self.line.for_place else ""
        return (
            f"{self.quantity} of {self.line.lot.sku.code} ({where}lot {self.line.lot}) missing "
            f"for {self.line.hold.what}"
        )


@dataclass(frozen=True, slots=True)
class Standing:
    """A list line by line in walking order; lines of sets that were left out are not among them."""

    lines: tuple[PickLine, ...]
    missing: tuple[Missing, ...]

    @property
    def to_pick(self) -> tuple[PickLine, ...]:
        """What is still to be fetched, in walking order."""
        return tuple(line for line in self.lines if line.state == PickLineState.OPEN)

    @property
    def done(self) -> tuple[PickLine, ...]:
        """What was picked, or was short."""
        return tuple(line for line in self.lines if line.state != PickLineState.OPEN)

    @property
    def still_to_do(self) -> list[str]:
        """Why it cannot be packed, a few words each; empty when it can."""
        words = [f"{line.quantity} of {line.lot} to be picked" for line in self.to_pick]
        return words + [one.words for one in self.missing]

    @property
    def tyres(self) -> int:
        return sum(line.quantity for line in self.lines if line.state != PickLineState.SHORT) + sum(
            line.taken for line in self.lines if line.state == PickLineState.SHORT
        )

    @property
    def taken(self) -> int:
        return sum(line.taken for line in self.lines)


def standing(listed: PickList) -> Standing:
    """How a list stands. One query."""
    rows = listed.lines.select_related(
        *("lot__sku", "place__site", "hold__order_line", "taken_lot", "taken_place", "picked_by"),
    ).order_by("place__site__code", "place__walk", "place__code", "pk")
    lines = [
        line
        for line in rows
        if line.state != PickLineState.BACK and line.hold.state in (HoldState.OPEN, HoldState.SENT)
    ]
    return Standing(tuple(lines), tuple(_missing(lines)))


def _missing(lines: Sequence[PickLine]) -> Iterable[Missing]:
    instead: Counter[int] = Counter()
    for line in lines:
        if line.instead_of_id is not None:
            instead[line.instead_of_id] += line.quantity
    for line in lines:
        if line.state == PickLineState.SHORT:
            quantity = line.quantity - line.taken - instead[line.pk]
            if quantity > 0:
                yield Missing(line, quantity)


def settle_state(listed: PickList) -> Standing:
    """Give a locked list the state that follows from its lines; how it stands."""
    stands = standing(listed)
    state = PickListState.OPEN if stands.still_to_do else PickListState.PICKED
    if listed.state != state:
        listed.state = state
        listed.save(update_fields=["state"])
    return stands
