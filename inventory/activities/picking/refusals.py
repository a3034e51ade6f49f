"""Why a step of picking is not done, a sentence each."""

from __future__ import annotations

from collections.abc import Sequence

from inventory.ground.refusal import Refusal
from inventory.models.hold import Hold
from inventory.models.lot import Lot
from inventory.models.pick import PickLine, PickList
from inventory.models.place import Place
from inventory.models.sale import Order

UNCHANGED = "Nothing was changed."


class OrderIsClosed(Refusal):
    """Nothing is picked or sent for an order that has ended."""

    def __init__(self, order: Order) -> None:
        day = order.ended_at.date().isoformat() if order.ended_at else ""
        super().__init__(
            f"{order.number} was closed on {day}: {order.get_state_display()}. {UNCHANGED}",
            field="order",
        )


class PickedAlready(Refusal):
    """An order is picked by one list at a time."""

    def __init__(self, listed: PickList) -> None:
        super().__init__(
            f"Order {listed.order_id} is on {listed.number} already, "
            f"{listed.get_state_display()}: go on with that one. {UNCHANGED}",
            field="order",
        )


class NotForDespatch(Refusal):
    """Tyres are gathered in a place for despatch."""

    status = 400

    def __init__(self, place: Place) -> None:
        super().__init__(
            f"{place.code} is {place.get_kind_display()}: name a place for despatch, where the "
            f"tyres are gathered. {UNCHANGED}",
            field="to_place",
        )


class NothingIsHeld(Refusal):
    """There is nothing to pick for an order."""

    def __init__(self, order: Order) -> None:
        super().__init__(
            f"Nothing is held for order {order.pk} that could be picked: hold its tyres first. "
            f"{UNCHANGED}",
            field="order",
        )


class HeldElsewhere(Refusal):
    """What is held lies at another site than where it is gathered."""

    def __init__(self, to_place: Place, holds: Sequence[Hold], sites: Sequence[str]) -> None:
        what = "; ".join(hold.what for hold in holds)
        super().__init__(
            f"{to_place.code} is at {to_place.site}; what is held lies at {', '.join(sites)} as "
            f"well ({what}): gather it there, or bring it over by a transfer first. {UNCHANGED}",
            field="to_place",
        )


class ListHasEnded(Refusal):
    """A pick list that was sent or cancelled stays as it is."""

    def __init__(self, listed: PickList) -> None:
        day = listed.ended_at.date().isoformat() if listed.ended_at else ""
        super().__init__(
            f"{listed.number} was {listed.get_state_display()} by {listed.ended_by} on {day}. "
            f"{UNCHANGED}",
            field="pick_list",
        )


class NotAtThisStep(Refusal):
    """The list is at another step than the one asked for."""

    def __init__(self, listed: PickList, wanted: str) -> None:
        super().__init__(
            f"{listed.number} is {listed.get_state_display()}, and {wanted}. {UNCHANGED}",
            field="pick_list",
        )


class LineIsDone(Refusal):
    """Somebody has picked the line, or was short of it."""

    def __init__(self, line: PickLine) -> None:
        when = line.picked_at.strftime("%H:%M on %d.%m.%Y") if line.picked_at else ""
        super().__init__(
            f"{line.lot} from {line.place} is {line.get_state_display()} already, by "
            f"{line.picked_by} at {when} (UTC). {UNCHANGED}",
            field="line",
        )


class LineOfAnotherList(Refusal):
    """The line is not on this list, or not on it any more."""

    status = 404

    def __init__(self, listed: PickList) -> None:
        super().__init__(
            f"That line is not on {listed.number} any more: look at the list again. {UNCHANGED}",
            field="line",
        )


class HoldIsOver(Refusal):
    """What was to be picked is not held any more."""

    def __init__(self, hold: Hold) -> None:
        why = f": {hold.ended_why}" if hold.ended_why else ""
        super().__init__(
            f"“{hold.what}” is not held any more, its hold is {hold.get_state_display()}{why}. "
            f"Leave it out of the list. {UNCHANGED}",
            field="line",
        )


class MoreThanAsked(Refusal):
    """More were named than the line asks for."""

    status = 400

    def __init__(self, line: PickLine, quantity: int) -> None:
        super().__init__(
            f"{quantity} are more than the {line.quantity} that are asked for of {line.lot} from "
            f"{line.place}. {UNCHANGED}",
            field="quantity",
        )


class NotShort(Refusal):
    """As many were found as were asked for, or a number that is none."""

    status = 400

    def __init__(self, line: PickLine, found: int) -> None:
        super().__init__(
            f"{found} found of {line.quantity} is not short: say a number from 0 to "
            f"{line.quantity - 1}, or pick the line. {UNCHANGED}",
            field="found",
        )


class SayWhy(Refusal):
    """Another lot, a short pick and giving up have a reason."""

    status = 400

    def __init__(self, what: str) -> None:
        super().__init__(f"Say why {what}. {UNCHANGED}", field="why")


class LotIsBlocked(Refusal):
    """A blocked lot does not leave, whoever holds it."""

    def __init__(self, lot: Lot, reasons: Sequence[str]) -> None:
        super().__init__(
            f"Lot {lot.code} is blocked: {', '.join(reasons)}. It cannot leave until the block is "
            f"lifted. {UNCHANGED}",
            field="lot",
        )


class NotMatching(Refusal):
    """With this lot the set would not be the one that was promised."""

    def __init__(self, lot: Lot, faults: Sequence[str]) -> None:
        super().__init__(
            f"With lot {lot.code} it is no matched set: {' '.join(faults)} {UNCHANGED}", field="lot"
        )


class TooOldForThem(Refusal):
    """The customer asked for tyres no older than so many months, and this lot is, today."""

    def __init__(self, lot: Lot, months: int) -> None:
        age = f"of {lot.date_code}" if lot.date_code else "without a date code"
        super().__init__(
            f"Lot {lot.code}, {age}, cannot be taken instead: the customer asked for tyres not "
            f"older than {months} months, counted to today. {UNCHANGED}",
            field="lot",
        )


class NotToBeTaken(Refusal):
    """The other lot may not be taken, whatever its date."""

    def __init__(self, lot: Lot, why: str) -> None:
        super().__init__(f"Lot {lot.code} cannot be taken instead: {why}. {UNCHANGED}", field="lot")


class WeekWasPromised(Refusal):
    """The customer was told the week, so no other week leaves for them."""

    def __init__(self, line: PickLine, lot: Lot) -> None:
        told, has = line.lot.date_code or "no date code", lot.date_code or "no date code"
        super().__init__(
            f"The customer was told {told}, and lot {lot.code} has {has}: ask the counter before "
            f"another week is taken. {UNCHANGED}",
            field="lot",
        )


class StillToDo(Refusal):
    """Not everything is picked."""

    def __init__(self, listed: PickList, words: Sequence[str]) -> None:
        super().__init__(
            f"{listed.number} is not ready: {'; '.join(words)}. {UNCHANGED}", field="pick_list"
        )


class NotThatManyParcels(Refusal):
    """A number of parcels that nobody packs."""

    status = 400

    def __init__(self, parcels: object, most: int) -> None:
        super().__init__(
            f"{str(parcels)[:40]} is no number of parcels: say 1 to {most}. {UNCHANGED}",
            field="parcels",
        )
