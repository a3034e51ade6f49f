"""Why something is not done with a purchase order."""

from __future__ import annotations

from collections.abc import Sequence

from inventory.ground.refusal import Refusal
from inventory.models.purchase import PurchaseLine, PurchaseOrder


class OrderHasEnded(Refusal):
    """The purchase order is closed or cancelled."""

    def __init__(self, order: PurchaseOrder) -> None:
        day = order.ended_at.date().isoformat() if order.ended_at else ""
        super().__init__(
            f"{order.number} was {order.get_state_display()} on {day} by {order.ended_by}: "
            f"{order.ended_why}. Nothing was changed.",
            field="order",
        )


class NotADraft(Refusal):
    """Only a draft can still be changed in this way."""

    def __init__(self, order: PurchaseOrder) -> None:
        super().__init__(
            f"{order.number} is {order.get_state_display()}: the supplier has it. "
            "Nothing was changed.",
            field="order",
        )


class NotSentYet(Refusal):
    """A draft is nothing that a supplier delivers on."""

    def __init__(self, order: PurchaseOrder) -> None:
        super().__init__(
            f"{order.number} is a draft: send it first, or delete its lines. Nothing was changed.",
            field="order",
        )


class ChangedSince(Refusal):
    """Somebody changed the order, or received some of it, since it was looked at."""

    status = 412

    def __init__(self, order: PurchaseOrder) -> None:
        super().__init__(
            f"{order.number} has been changed, or some of it received, since you opened it. "
            "Nothing was changed: open it again and look at what is new.",
            field="order",
        )


class NothingOrdered(Refusal):
    """An order without lines is not sent."""

    status = 400

    def __init__(self, order: PurchaseOrder) -> None:
        super().__init__(f"{order.number} has no lines yet: say what is ordered.", field="order")


class NotOnTheirTerms(Refusal):
    """The supplier's terms ask for more, for other packs, or for an earlier day."""

    status = 422

    def __init__(self, order: PurchaseOrder, why: Sequence[str]) -> None:
        self.why = tuple(why)
        super().__init__(
            f"{order.number} is not on the supplier's terms: {' '.join(why)} "
            "Change it, or say with whom it was agreed. Nothing was sent.",
            field="agreed",
        )


class FewerThanCame(Refusal):
    """An order line cannot be for fewer than have come."""

    def __init__(self, line: PurchaseLine) -> None:
        came = line.quantity - line.to_come
        super().__init__(
            f"{came} of {line.sku} have come on {line.order.number} or are in dispute: it cannot "
            "be for fewer. Nothing was changed.",
            field="quantity",
        )


class NoSuchLine(Refusal):
    """The SKU is not on the order."""

    status = 404

    def __init__(self, order: PurchaseOrder, sku: object) -> None:
        super().__init__(f"{sku} is not on {order.number}. Nothing was changed.", field="sku")


class SomeHasCome(Refusal):
    """An order of which some has come is not cancelled."""

    def __init__(self, order: PurchaseOrder) -> None:
        super().__init__(
            f"Some of {order.number} has come: give up the rest of it instead. "
            "Nothing was changed.",
            field="order",
        )


class NothingLeft(Refusal):
    """Nothing of the order is still to come."""

    def __init__(self, order: PurchaseOrder) -> None:
        super().__init__(
            f"Nothing of {order.number} is still to come. Nothing was changed.", field="order"
        )


class SayWhyEnded(Refusal):
    """An order is ended for a reason."""

    status = 400

    def __init__(self) -> None:
        super().__init__("Say why it ends.", field="why")


class OtherSupplier(Refusal):
    """A batch is of one supplier."""

    status = 400

    def __init__(self, batch: object, supplier: object) -> None:
        super().__init__(
            f"Batch {batch} is not one of {supplier}. Nothing was changed.", field="batch"
        )
