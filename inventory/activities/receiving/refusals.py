"""Why something is not done with a delivery."""

from __future__ import annotations

from inventory.ground.refusal import Refusal
from inventory.models.delivery import Delivery, DeliveryLine
from inventory.models.place import Place
from inventory.models.purchase import PurchaseOrder


class BookedAlready(Refusal):
    """The delivery was booked in, or given up, before."""

    def __init__(self, delivery: Delivery) -> None:
        when = f"{delivery.ended_at:%H:%M on %Y-%m-%d}" if delivery.ended_at else ""
        super().__init__(
            f"{delivery.number} was {delivery.get_state_display()} by {delivery.ended_by} at "
            f"{when}. Nothing was changed.",
            field="delivery",
        )


class NoteBookedAlready(Refusal):
    """A delivery note is booked once."""

    def __init__(self, earlier: Delivery | None = None, field: str | None = None) -> None:
        where = f" as {earlier.number}, {earlier.get_state_display()}" if earlier else ""
        super().__init__(
            f"This supplier's delivery note of that number is there already{where}. "
            "Nothing was changed: go on with that one.",
            field=field or "note_number",
        )


class InOtherHands(Refusal):
    """Somebody else has the delivery in hand."""

    def __init__(self, delivery: Delivery) -> None:
        super().__init__(
            f"{delivery.at_work_by} has {delivery.number} in hand now: take it up first. "
            "Nothing was changed.",
            field="delivery",
        )


class NotFromThem(Refusal):
    """The order is not one of the supplier's."""

    status = 400

    def __init__(self, order: PurchaseOrder, supplier: object) -> None:
        super().__init__(
            f"{order.number} is an order to {order.supplier}, not to {supplier}. "
            "Nothing was changed.",
            field="order",
        )


class NotWaitedFor(Refusal):
    """The order is a draft, or has ended: nothing of it can come."""

    def __init__(self, order: PurchaseOrder) -> None:
        super().__init__(
            f"{order.number} is {order.get_state_display()}: nothing of it is waited for. Book the "
            "delivery without an order, or against another one. Nothing was changed.",
            field="order",
        )


class OrderChanged(Refusal):
    """The order was changed while its delivery was being booked."""

    status = 412

    def __init__(self, order: PurchaseOrder) -> None:
        super().__init__(
            f"{order.number} has been changed while this delivery was being booked in. Nothing "
            "was booked: look at what is over and what is wanting now, and finish it again.",
            field="order",
        )


class NotThatKindOfPlace(Refusal):
    """Goods come into goods in, and what is wrong into quarantine of the same site."""

    status = 400

    def __init__(self, place: Place, wanted: str, field: str) -> None:
        super().__init__(
            f"{place.code} is {place.get_kind_display()}, at {place.site}: a place for {wanted} "
            "is wanted. Nothing was changed.",
            field=field,
        )


class NoQuarantine(Refusal):
    """There is no place to put what is wrong."""

    def __init__(self, place: Place) -> None:
        super().__init__(
            f"{place.site} has no quarantine: enter a place for it first. Nothing was changed.",
            field="quarantine",
        )


class NothingRead(Refusal):
    """A delivery without lines is not booked."""

    status = 400
    sentence = "Nothing of this delivery has been read yet. Nothing was booked."


class StruckOutAlready(Refusal):
    """The line is no longer there."""

    status = 404

    def __init__(self) -> None:
        super().__init__("This line was taken out already. Nothing was changed.", field="line")


class ReadAlready(Refusal):
    """A delivery of which something was read is not given up in silence."""

    def __init__(self, line: DeliveryLine | None = None) -> None:
        super().__init__("Say why the booking is given up.", field="why")
