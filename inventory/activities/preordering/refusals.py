"""Why nobody is queued for tyres that are to come, a sentence each."""

from __future__ import annotations

from datetime import date

from inventory.ground.refusal import Refusal
from inventory.models.expected import ExpectedDelivery
from inventory.models.preorder import PreOrder
from inventory.models.sale import OrderLine

UNCHANGED = "Nothing was changed."


class NothingToCountOn(Refusal):
    """No delivery that is expected has enough that nobody waits for."""

    def __init__(self, place: str, count: int) -> None:
        super().__init__(
            f"No delivery that is expected has {count} for the {place} that nobody waits for yet. "
            f"{UNCHANGED}",
            field="counts_on",
        )


class NotToCome(Refusal):
    """The delivery has arrived, or will not come."""

    def __init__(self, expected: ExpectedDelivery) -> None:
        super().__init__(
            f"{expected.sku} under {expected.reference}: {expected.get_state_display()}, so nobody "
            f"can wait for it. {UNCHANGED}",
            field="counts_on",
        )


class WaitedForAlready(Refusal):
    """All that comes is waited for."""

    def __init__(self, expected: ExpectedDelivery, left: int, asked: int) -> None:
        super().__init__(
            f"{expected.quantity} of {expected.sku} come under {expected.reference}, and "
            f"{left} of them are not waited for: {asked} are too many. {UNCHANGED}",
            field="counts_on",
        )


class NotTheSet(Refusal):
    """The deliveries named do not make one set."""

    status = 400

    def __init__(self, tyres: int, named: int) -> None:
        super().__init__(
            f"A set has {tyres} tyres of the SKUs asked for, and the deliveries named have {named} "
            f"of them. {UNCHANGED}",
            field="counts_on",
        )


class SoonerThanExpected(Refusal):
    """Nobody is promised tyres before they are expected."""

    def __init__(self, day: date) -> None:
        super().__init__(
            f"They are expected on {day:%d.%m.%Y}: promise that day or a later one. {UNCHANGED}",
            field="promised_on",
        )


class NotWaiting(Refusal):
    """It was served, withdrawn or missed."""

    def __init__(self, pre_order: PreOrder) -> None:
        when = f" on {pre_order.ended_at:%d.%m.%Y}" if pre_order.ended_at else ""
        super().__init__(
            f"{pre_order.number} waits no more: {pre_order.get_state_display()}{when}. {UNCHANGED}",
            field="pre_order",
        )


class HeldAlready(Refusal):
    """An order line for which enough is held or waited for."""

    def __init__(self, line: OrderLine) -> None:
        super().__init__(
            f"For line {line.position} of {line.order.number} enough is held or waited for. "
            f"{UNCHANGED}",
            field="order_line",
        )


class SayWhyWithdrawn(Refusal):
    """A place in the queue is given up for a reason."""

    status = 400

    def __init__(self) -> None:
        super().__init__(f"Say why they wait no more. {UNCHANGED}", field="why")
