"""Why goods are not taken back as told, a sentence each."""

from __future__ import annotations

from collections.abc import Sequence

from django.utils import timezone

from inventory.ground.refusal import Refusal
from inventory.models.despatch import Despatch, DespatchLine
from inventory.models.lot import Condition, Lot
from inventory.models.place import Place
from inventory.models.returned import ReturnReason

UNCHANGED = "Nothing was changed."


class NoSuchReason(Refusal):
    """A reason that is not on the list."""

    status = 400

    def __init__(self, reason: object) -> None:
        super().__init__(
            f"“{str(reason)[:40]}” is no reason for a return: there are "
            f"{', '.join(ReturnReason.labels)}. {UNCHANGED}",
            field="reason",
        )


class NoSuchCondition(Refusal):
    """A condition that is not on the list."""

    status = 400

    def __init__(self, condition: object) -> None:
        super().__init__(
            f"“{str(condition)[:40]}” is no condition of a tyre: there are "
            f"{', '.join(Condition.labels)}. {UNCHANGED}",
            field="condition",
        )


class NotOfThisDespatch(Refusal):
    """A line that left with another despatch."""

    status = 404

    def __init__(self, despatch: Despatch) -> None:
        super().__init__(
            f"That line did not leave with {despatch.number}: look on the delivery note for the "
            f"one that it left with. {UNCHANGED}",
            field="line",
        )


class MoreThanLeft(Refusal):
    """More are said to have come back than are still out."""

    def __init__(self, line: DespatchLine, came: int, before: int) -> None:
        back = f", and {before} came back before" if before else ""
        super().__init__(
            f"{line.quantity} of lot {line.lot} left{back}: {came} cannot have come back. "
            f"{UNCHANGED}",
            field="quantity",
        )


class NeverNewAgain(Refusal):
    """What was not new when it left does not become so on the way."""

    def __init__(self, lot: Lot) -> None:
        super().__init__(
            f"Lot {lot} left as {lot.get_condition_display()}: its tyres do not come back new. "
            f"{UNCHANGED}",
            field="condition",
        )


class NotForReturns(Refusal):
    """Tyres that come back go to the racks, to goods in or to quarantine."""

    status = 400

    def __init__(self, place: Place) -> None:
        super().__init__(
            f"{place.code} is {place.get_kind_display()}: name a place in the racks, in goods in "
            f"or in quarantine. {UNCHANGED}",
            field="place",
        )


class ToQuarantine(Refusal):
    """What may be unsound is kept apart."""

    def __init__(self, place: Place, reason: str) -> None:
        super().__init__(
            f"Tyres that came back {reason} go to quarantine until somebody has looked at them; "
            f"{place.code} is {place.get_kind_display()}. {UNCHANGED}",
            field="place",
        )


class AtSeveralSites(Refusal):
    """One return arrives at one site."""

    status = 400

    def __init__(self, sites: Sequence[str]) -> None:
        super().__init__(
            f"A return arrives at one site, and these places are at {' and '.join(sites)}: book "
            f"them as two returns. {UNCHANGED}",
            field="place",
        )


class BeforeItLeft(Refusal):
    """Nothing comes back before it has left."""

    status = 400

    def __init__(self, despatch: Despatch) -> None:
        left = timezone.localtime(despatch.despatched_at)
        super().__init__(
            f"{despatch.number} left at {left:%H:%M on %Y-%m-%d}: it cannot have come back before. "
            f"{UNCHANGED}",
            field="at",
        )
