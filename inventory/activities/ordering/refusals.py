"""Why an order is not taken or changed, a sentence each."""

from __future__ import annotations

from collections.abc import Sequence

from inventory.ground.refusal import Refusal
from inventory.models.customer import Customer
from inventory.models.hold import Hold
from inventory.models.quote import Quote
from inventory.models.sale import Order, OrderLine

UNCHANGED = "Nothing was changed."


class NothingOrdered(Refusal):
    """An order asks for something."""

    status = 400
    sentence = f"Say what is ordered: sets, pieces, a hold or a quote. {UNCHANGED}"


class NamedTwice(Refusal):
    """One hold or quote is named twice in one order."""

    status = 400

    def __init__(self, number: str) -> None:
        super().__init__(f"{number} is named twice. {UNCHANGED}", field="asks")


class AnothersHold(Refusal):
    """The hold is for another customer."""

    def __init__(self, hold: Hold, customer: Customer) -> None:
        super().__init__(
            f"{hold.number} is for {hold.customer}, not for {customer}. {UNCHANGED}", field="hold"
        )


class AnothersQuote(Refusal):
    """The quote was given to another customer."""

    def __init__(self, quote: Quote, customer: Customer) -> None:
        super().__init__(
            f"{quote.number} was given to {quote.customer}, not to {customer}. {UNCHANGED}",
            field="quote",
        )


class MoreThanQuoted(Refusal):
    """More sets than the quote is for."""

    def __init__(self, quote: Quote, sets: int) -> None:
        super().__init__(
            f"{quote.number} is for {quote.sets}, not for {sets}: order the rest beside it. "
            f"{UNCHANGED}",
            field="sets",
        )


class NotApprovedAnyMore(Refusal):
    """An approval that the answer rested on has been withdrawn since."""

    def __init__(self, words: Sequence[str]) -> None:
        super().__init__(
            f"Since the customer was told, this has changed. {' '.join(words)} Tell them; if they "
            f"want it all the same, say so on the order. {UNCHANGED}",
            field="knowing",
        )


class LineIsCancelled(Refusal):
    """A cancelled line stays as it is."""

    def __init__(self, line: OrderLine) -> None:
        super().__init__(
            f"Line {line.position} of {line.order.number} was cancelled: add another. {UNCHANGED}",
            field="line",
        )


class LessThanSent(Refusal):
    """Fewer than have left."""

    def __init__(self, line: OrderLine, quantity: int) -> None:
        super().__init__(
            f"{line.sent} of line {line.position} have left already: it cannot be for {quantity}. "
            f"{UNCHANGED}",
            field="quantity",
        )


class AllIsHeld(Refusal):
    """There is nothing more to hold."""

    def __init__(self, line: OrderLine) -> None:
        super().__init__(
            f"All that is still to be sent of line {line.position} is held. {UNCHANGED}",
            field="line",
        )


class PartHasLeft(Refusal):
    """What has left is not cancelled."""

    def __init__(self, order: Order) -> None:
        super().__init__(
            f"Part of {order.number} has left: close it instead, which gives up the rest. "
            f"{UNCHANGED}",
            field="order",
        )


class NothingHasLeft(Refusal):
    """An order of which nothing was sent is cancelled, not closed."""

    def __init__(self, order: Order) -> None:
        super().__init__(
            f"Nothing of {order.number} has left: cancel it instead. {UNCHANGED}", field="order"
        )


class SayWhy(Refusal):
    """Giving up an order, or a part of it, has a reason."""

    status = 400

    def __init__(self) -> None:
        super().__init__(f"Say why it is not wanted any more. {UNCHANGED}", field="why")
