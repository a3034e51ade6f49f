"""Why a step of a customer's complaint is not done, a sentence each."""

from __future__ import annotations

from django.utils import timezone

from inventory.ground.refusal import Refusal
from inventory.models.complaint import ComplaintOutcome, CustomerComplaint
from inventory.models.despatch import Despatch, DespatchLine
from inventory.models.lot import Lot

UNCHANGED = "Nothing was changed."


class MoreThanWereSent(Refusal):
    """A complaint about more tyres than left."""

    status = 400

    def __init__(self, line: DespatchLine, quantity: int) -> None:
        super().__init__(
            f"{line.quantity} of lot {line.lot} left with {line.despatch.number}: {quantity} of "
            f"them cannot be complained of. {UNCHANGED}",
            field="quantity",
        )


class SayWhatIsWrong(Refusal):
    """A complaint that does not say what it is about."""

    status = 400

    def __init__(self) -> None:
        super().__init__(f"Say what is wrong with the tyres. {UNCHANGED}", field="says")


class NotSentYet(Refusal):
    """Nobody complains of tyres before they leave."""

    status = 400

    def __init__(self, despatch: Despatch) -> None:
        left = timezone.localtime(despatch.despatched_at)
        super().__init__(
            f"{despatch.number} left at {left:%H:%M on %Y-%m-%d}: nobody had its tyres before. "
            f"{UNCHANGED}",
            field="at",
        )


class ClosedAlready(Refusal):
    """A complaint is closed once."""

    def __init__(self, complaint: CustomerComplaint) -> None:
        closed = complaint.closed_at
        day = timezone.localtime(closed).date().isoformat() if closed else ""
        super().__init__(
            f"{complaint.number} was closed on {day} by {complaint.closed_by}: "
            f"{complaint.get_outcome_display()}. {UNCHANGED}",
            field="complaint",
        )


class WithTheMakerAlready(Refusal):
    """A complaint is taken to the maker once."""

    def __init__(self, complaint: CustomerComplaint) -> None:
        sent = complaint.sent_on_at
        day = timezone.localtime(sent).date().isoformat() if sent else ""
        super().__init__(
            f"{complaint.number} was taken to {complaint.supplier} on {day} by "
            f"{complaint.sent_on_by}. {UNCHANGED}",
            field="complaint",
        )


class SayToWhom(Refusal):
    """Nobody knows from whom the lot came."""

    status = 400

    def __init__(self, lot: Lot) -> None:
        super().__init__(
            f"From whom lot {lot} came is not on record: say to which supplier the complaint "
            f"goes. {UNCHANGED}",
            field="supplier",
        )


class NoSuchOutcome(Refusal):
    """An outcome that is not on the list."""

    status = 400

    def __init__(self, outcome: object) -> None:
        super().__init__(
            f"“{str(outcome)[:40]}” closes nothing: there are "
            f"{', '.join(ComplaintOutcome.labels)}. {UNCHANGED}",
            field="outcome",
        )


class SayTheAnswer(Refusal):
    """A complaint is closed with the answer that the customer was given."""

    status = 400

    def __init__(self) -> None:
        super().__init__(f"Say what the customer was answered. {UNCHANGED}", field="answer")
