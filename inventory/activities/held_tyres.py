"""Moving tyres that are held: their holds go with them when all that lies there goes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from inventory.activities.holding.ending import refuse_picked
from inventory.activities.picking.holding_lines import Spot, shifted
from inventory.ground.refusal import Refusal
from inventory.ledger.held import Held
from inventory.ledger.locks import Pair
from inventory.models.hold import Hold, HoldLine
from inventory.models.place import Place, PlaceKind

HELD_MAY_LIE = (PlaceKind.STORAGE, PlaceKind.GOODS_IN, PlaceKind.IN_TRANSIT)


@dataclass(frozen=True, slots=True)
class Follows:
    """One line of a hold that goes along, and where to."""

    line: HoldLine
    target: Place


class HeldTyresStay(Refusal):
    """Some are to be moved, and nobody said whose."""

    def __init__(self, lines: Sequence[HoldLine], free: int) -> None:
        first = lines[0]
        held = sum(line.quantity for line in lines)
        super().__init__(
            f"{held} of lot {first.lot.code} in {first.place} are held ({_named(lines)}), and "
            f"{free} are free: move no more than those, or all of them to one place, and the holds "
            "go with them. Nothing was changed.",
            field="quantity",
        )


class NotForHeldTyres(Refusal):
    """Held tyres lie where they can be promised from, or are on the way."""

    def __init__(self, lines: Sequence[HoldLine], target: Place) -> None:
        super().__init__(
            f"{target.code} is {target.get_kind_display()}: tyres that are held do not go there "
            f"({_named(lines)}). Release what is held first. Nothing was changed.",
            field="target",
        )


def following(
    held: Held, changes: Mapping[Pair, int], targets: Mapping[Pair, Sequence[Place]]
) -> list[Follows]:
    """The hold lines that go along where so many leave their places.

    ``changes`` by balance, ``targets`` by the balance that tyres are taken from. Free tyres go
    first; held ones go when everything goes, to one place. Raises HeldTyresStay, NotForHeldTyres,
    IsBeingPicked.
    """
    found: list[Follows] = []
    for pair, places in sorted(targets.items()):
        out, balance, lines = -changes.get(pair, 0), held.balances[pair], held.at(pair)
        if not lines or out <= balance.free or out > balance.on_hand:
            continue  # none of the held ones, or more than there are: the ledger says so
        if out < balance.on_hand or len({place.pk for place in places}) > 1:
            raise HeldTyresStay(lines, balance.free)
        if places[0].kind not in HELD_MAY_LIE:
            raise NotForHeldTyres(lines, places[0])
        refuse_picked([line.hold for line in lines])
        found += [Follows(line, places[0]) for line in lines]
    return found


def shift(follows: Iterable[Follows]) -> None:
    """The lines of the holds say where their tyres are now."""
    for one in follows:
        line = one.line
        here = Spot(line.lot_id, line.place_id, line.for_place)
        there = Spot(line.lot_id, one.target.pk, line.for_place)
        shifted(line.hold, here, there, line.quantity)


def _named(lines: Sequence[HoldLine]) -> str:
    holds: list[Hold] = list({line.hold_id: line.hold for line in lines}.values())
    told = [f"{hold.number} for {hold.customer}" for hold in holds[:3]]
    more = f" and {len(holds) - 3} more" if len(holds) > 3 else ""
    return ", ".join(told) + more
