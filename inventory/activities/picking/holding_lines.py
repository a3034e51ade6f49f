"""What a hold is of: its lines follow its tyres from place to place, and from lot to lot."""

from __future__ import annotations

from dataclasses import dataclass

from inventory.models.hold import Hold, HoldLine


@dataclass(frozen=True, slots=True)
class Spot:
    """Where some tyres of a hold are: which lot, in which place, for which place on the car."""

    lot_id: int
    place_id: int
    for_place: str


def less(hold: Hold, spot: Spot, quantity: int) -> bool:
    """So many fewer there; whether the customer was told their week."""
    line = HoldLine.objects.get(
        hold=hold, lot_id=spot.lot_id, place_id=spot.place_id, for_place=spot.for_place
    )
    if line.quantity == quantity:
        line.delete()
    else:
        line.quantity -= quantity
        line.save(update_fields=["quantity"])
    return line.pinned


def more(hold: Hold, spot: Spot, quantity: int, *, pinned: bool) -> None:
    """So many more there. A week that was promised for some of a line is promised for all of it."""
    line, made = HoldLine.objects.get_or_create(
        hold=hold,
        lot_id=spot.lot_id,
        place_id=spot.place_id,
        for_place=spot.for_place,
        defaults={"quantity": quantity, "pinned": pinned},
    )
    if not made:
        line.quantity += quantity
        line.pinned = line.pinned or pinned
        line.save(update_fields=["quantity", "pinned"])


def shifted(hold: Hold, source: Spot, target: Spot, quantity: int) -> None:
    """So many are there now instead of here."""
    pinned = less(hold, source, quantity)
    more(hold, target, quantity, pinned=pinned)
