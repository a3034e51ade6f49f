"""Why customers' tyres are not taken in, kept longer or handed back as asked."""

from __future__ import annotations

from datetime import date

from inventory.ground.refusal import Refusal
from inventory.models.customer import Customer
from inventory.models.place import Place
from inventory.models.storage import Storage

YEARS = 5
"""Nobody says until when so far ahead: past it a year is a slip of the finger."""


class NothingBrought(Refusal):
    """No tyres were named."""

    status = 400

    def __init__(self) -> None:
        super().__init__("Say which tyres were brought. Nothing was taken in.", field="tyres")


class NotAPlaceToKeep(Refusal):
    """A place where tyres only wait, or are on their way."""

    status = 400

    def __init__(self, place: Place) -> None:
        super().__init__(
            f"{place.code} is for {place.get_kind_display()}: tyres are kept in a storage place. "
            "Nothing was taken in.",
            field="place",
        )


class DueBeforeToday(Refusal):
    """They would be overdue at once."""

    status = 400

    def __init__(self, due_on: date) -> None:
        super().__init__(
            f"{due_on.isoformat()} is past: say until when they are kept. Nothing was changed.",
            field="due_on",
        )


class YearsAhead(Refusal):
    """A day that nobody plans for."""

    status = 400

    def __init__(self, due_on: date) -> None:
        super().__init__(
            f"{due_on.isoformat()} is more than {YEARS} years ahead: look at the year again. "
            "Nothing was changed.",
            field="due_on",
        )


class NotTheirCar(Refusal):
    """The car is somebody else's."""

    status = 400

    def __init__(self, customer: Customer) -> None:
        super().__init__(f"That car is not one of {customer}'s. Nothing was taken in.", field="car")


class SayWhyPutOff(Refusal):
    """Kept longer, and nobody said why."""

    status = 400

    def __init__(self) -> None:
        super().__init__("Say why they are kept longer. Nothing was changed.", field="why")


class NotLater(Refusal):
    """They are kept until that day as it is."""

    status = 400

    def __init__(self, row: Storage) -> None:
        super().__init__(
            f"{row.number} is due back on {row.due_on.isoformat()} as it is: say a later day. "
            "Nothing was changed.",
            field="due_on",
        )


class HandedBackAlready(Refusal):
    """Somebody handed them back before."""

    def __init__(self, row: Storage) -> None:
        super().__init__(
            f"{row.number} was handed to {row.handed_to} by {row.ended_by}. Nothing was changed."
        )


class MovedMeanwhile(Refusal):
    """Somebody booked some of its tyres while they were handed back."""

    def __init__(self, row: Storage) -> None:
        super().__init__(
            f"Tyres of {row.number} were booked by somebody else at this moment: look where they "
            "lie now, and hand them back again. Nothing was changed."
        )
