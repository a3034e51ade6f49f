"""What is not done with goods on consignment, and why."""

from __future__ import annotations

from datetime import date

from inventory.ground.refusal import Refusal
from inventory.models.consignment import Consignment
from inventory.models.lot import Lot
from inventory.models.place import Place
from inventory.models.supplier import Supplier


class NothingNamed(Refusal):
    """No tyres were named."""

    status = 400

    def __init__(self, field: str | None = None) -> None:
        super().__init__("Say which tyres, and how many. Nothing was changed.", field=field)


class DueAlready(Refusal):
    """They would be overdue at once."""

    status = 400

    def __init__(self, due_on: date) -> None:
        super().__init__(
            f"{due_on.isoformat()} is past: say by which day they are bought or given back. "
            "Nothing was changed.",
            field="due_on",
        )


class NotWhereGoodsCome(Refusal):
    """Goods are taken into a storage place or into goods in."""

    status = 400

    def __init__(self, place: Place) -> None:
        super().__init__(
            f"{place.code} is for {place.get_kind_display()}: goods on consignment are taken into "
            "goods in or a storage place. Nothing was changed.",
            field="place",
        )


class NotTheirs(Refusal):
    """The lot is not that supplier's."""

    status = 400

    def __init__(self, lot: Lot, supplier: Supplier | None) -> None:
        whose = f"{supplier}'s" if supplier else "on consignment"
        super().__init__(f"Lot {lot.code} is not {whose}. Nothing was changed.", field="lot")


class AgreedAlready(Refusal):
    """The lot is part of a consignment."""

    def __init__(self, lot: Lot, number: str) -> None:
        super().__init__(
            f"Lot {lot.code} is part of {number} already. Nothing was changed.", field="lot"
        )


class NoneLies(Refusal):
    """None of the lot is here."""

    def __init__(self, lot: Lot) -> None:
        super().__init__(
            f"No tyre of lot {lot.code} is here: there is nothing to agree. Nothing was changed.",
            field="lot",
        )


class NotPartOfIt(Refusal):
    """The lot belongs to another consignment, or to nobody's."""

    status = 400

    def __init__(self, row: Consignment, lot: Lot) -> None:
        super().__init__(
            f"Lot {lot.code} is not part of {row.number}. Nothing was changed.", field="lot"
        )
