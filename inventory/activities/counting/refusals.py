"""What is not done while counting, and why."""

from __future__ import annotations

from inventory.ground.refusal import Refusal
from inventory.models.count import Count
from inventory.models.lot import Lot
from inventory.models.place import Place


class BeingCounted(Refusal):
    """Somebody is counting the same thing."""

    def __init__(self, count: Count | None = None, field: str | None = None) -> None:
        if count is None:
            words = "Somebody has just begun to count the same"
        else:
            words = f"{count.at_work_by} is counting the same, {count.number}"
        super().__init__(f"{words}: take it up, or wait for it. Nothing was begun.", field=field)


class AtItsEnd(Refusal):
    """The count is over, or it waits to be posted."""

    def __init__(self, count: Count) -> None:
        who = f" by {count.ended_by}" if count.ended_by_id else ""
        super().__init__(
            f"{count.number} is {count.get_state_display()}{who}: nothing more can be counted. "
            "Nothing was changed."
        )


class InOtherHands(Refusal):
    """Somebody else counts."""

    def __init__(self, count: Count) -> None:
        super().__init__(
            f"{count.at_work_by} has {count.number} in hand: take it up first. Nothing was changed."
        )


class OutsideThisCount(Refusal):
    """A tyre of another SKU, or in another place, than is counted."""

    def __init__(self, count: Count, lot: Lot, place: Place) -> None:
        wanted = f"what lies in {count.place}" if count.place else f"{count.sku} at {count.site}"
        super().__init__(
            f"{count.number} counts {wanted}: lot {lot.code} of {lot.sku} in {place.code} is not "
            "part of it. Nothing was changed.",
            field="lot",
        )


class NotToCountAgain(Refusal):
    """In the second round only what disagreed is counted."""

    def __init__(self, count: Count, lot: Lot, place: Place) -> None:
        super().__init__(
            f"Lot {lot.code} in {place.code} agreed the first time: it is not counted again. "
            "Nothing was changed.",
            field="lot",
        )


class NotToPost(Refusal):
    """The count does not wait to be posted."""

    def __init__(self, count: Count) -> None:
        super().__init__(
            f"{count.number} is {count.get_state_display()}: there is nothing to post. "
            "Nothing was changed."
        )
