"""Why a quote is not given, taken up or withdrawn, a sentence each."""

from __future__ import annotations

from datetime import date

from inventory.ground.refusal import Refusal
from inventory.models.quote import Quote

UNCHANGED = "Nothing was changed."


class NotGoodUntilThen(Refusal):
    """A quote is good until a day to come, and not for years."""

    status = 400

    def __init__(self, day: date, most_days: int) -> None:
        super().__init__(
            f"A quote cannot be good until {day:%d.%m.%Y}: name today or a day to come, within "
            f"{most_days} days. {UNCHANGED}",
            field="good_until",
        )


class QuoteHasEnded(Refusal):
    """It was taken up or withdrawn."""

    def __init__(self, quote: Quote) -> None:
        when = f" on {quote.ended_at:%d.%m.%Y} by {quote.ended_by}" if quote.ended_at else ""
        why = f": {quote.ended_why}" if quote.ended_why else ""
        super().__init__(
            f"{quote.number} was {quote.get_state_display()}{when}{why}. {UNCHANGED}",
            field="quote",
        )


class QuoteRanOut(Refusal):
    """Its day is over."""

    def __init__(self, quote: Quote) -> None:
        super().__init__(
            f"{quote.number} was good until {quote.good_until:%d.%m.%Y}: ask again and give "
            f"another. {UNCHANGED}",
            field="quote",
        )


class SayWhyWithdrawn(Refusal):
    """A quote is withdrawn for a reason."""

    status = 400

    def __init__(self) -> None:
        super().__init__(f"Say why the quote is withdrawn. {UNCHANGED}", field="why")
