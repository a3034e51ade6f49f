"""Why tyres are not held, or a hold is not changed, a sentence each."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from django.utils import timezone

from inventory.ground.refusal import Refusal
from inventory.models.customer import Customer, CustomerCar
from inventory.models.hold import Hold
from inventory.models.pick import PickList
from inventory.models.sku import Sku

UNCHANGED = "Nothing was changed."


class NotThatManySets(Refusal):
    """A number of sets that nobody asks for."""

    status = 400

    def __init__(self, sets: object, most: int) -> None:
        super().__init__(
            f"{str(sets)[:40]} is no number of sets: say 1 to {most}. {UNCHANGED}", field="sets"
        )


class NoSet(Refusal):
    """No complete set can be had, or not as many as were asked for."""

    def __init__(self, reason: str, *, found: int = 0, asked: int = 1) -> None:
        self.reason, self.found = reason, found
        start = (
            f"{found} of {asked} complete sets can be had"
            if found
            else "No complete set can be had"
        )
        why = f": {reason.rstrip('.')}." if reason else "."
        super().__init__(f"{start}{why} {UNCHANGED}")


class NotAsShown(Refusal):
    """The lots that the customer was shown have gone, or do not make the set any more."""

    def __init__(self, words: Sequence[str]) -> None:
        super().__init__(
            f"What was shown cannot be held any more: {' '.join(words)} Ask again, or say that "
            f"another choice will do. {UNCHANGED}",
            field="shown",
        )


class NotEnough(Refusal):
    """Fewer pieces can be promised than were asked for."""

    def __init__(self, sku: Sku, free: int, asked: int) -> None:
        self.free = free
        super().__init__(
            f"{free} of {sku} can be promised, not {asked}. {UNCHANGED}", field="quantity"
        )


class NotUntilThen(Refusal):
    """A hold runs out at a time to come, and not in years."""

    status = 400

    def __init__(self, until: datetime, most_days: int) -> None:
        super().__init__(
            f"A hold cannot run until {moment(until)}: name a time to come, within {most_days} "
            f"days. {UNCHANGED}",
            field="until",
        )


class NotLonger(Refusal):
    """Extending makes it longer; to make it shorter it is released."""

    status = 400

    def __init__(self, hold: Hold) -> None:
        until = moment(hold.until) if hold.until else ""
        super().__init__(
            f"{hold.number} runs until {until} already: name a later time, or release it. "
            f"{UNCHANGED}",
            field="until",
        )


class HoldRanOut(Refusal):
    """Its tyres are free for others from the moment it ran out."""

    def __init__(self, hold: Hold) -> None:
        until = moment(hold.until) if hold.until else ""
        super().__init__(
            f"{hold.number} for {hold.customer} ran out on {until}, and its tyres are free for "
            f"others: ask what can be had now and hold that. {UNCHANGED}",
            field="hold",
        )


class HoldHasEnded(Refusal):
    """It was released, broken or sent."""

    def __init__(self, hold: Hold) -> None:
        when = f" on {moment(hold.ended_at)} by {hold.ended_by}" if hold.ended_at else ""
        why = f": {hold.ended_why}" if hold.ended_why else ""
        super().__init__(
            f"{hold.number} ended{when}, it is {hold.get_state_display()}{why}. {UNCHANGED}",
            field="hold",
        )


class IsForAnOrder(Refusal):
    """What is held for an order runs as long as the order."""

    def __init__(self, hold: Hold) -> None:
        order = hold.order_line.order if hold.order_line else None
        number = order.number if order else ""
        super().__init__(
            f"{hold.number} is for {number} and does not run out. {UNCHANGED}", field="hold"
        )


class IsBeingPicked(Refusal):
    """The warehouse has it on a list."""

    def __init__(self, hold: Hold, listed: PickList) -> None:
        super().__init__(
            f"“{hold.what}” is on {listed.number}, {listed.get_state_display()}: leave it out "
            f"there, or cancel that list first. {UNCHANGED}",
            field="hold",
        )


class SayWhyLonger(Refusal):
    """A hold is extended for a reason."""

    status = 400

    def __init__(self) -> None:
        super().__init__(f"Say why it is held longer. {UNCHANGED}", field="why")


class SayWhyReleased(Refusal):
    """A hold is released for a reason."""

    status = 400

    def __init__(self) -> None:
        super().__init__(f"Say why it is released. {UNCHANGED}", field="why")


class AnothersCar(Refusal):
    """The car is another customer's."""

    status = 400

    def __init__(self, car: CustomerCar, customer: Customer) -> None:
        super().__init__(f"“{car}” is not a car of {customer}. {UNCHANGED}", field="car")


def moment(at: datetime) -> str:
    """A moment as it is said in the shop."""
    return f"{timezone.localtime(at):%d.%m.%Y %H:%M}"
