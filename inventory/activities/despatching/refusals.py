"""Why goods do not leave, a sentence each."""

from __future__ import annotations

from collections.abc import Sequence

from inventory.ground.refusal import Refusal
from inventory.models.pick import PickList

UNCHANGED = "Nothing was changed."


class MustStay(Refusal):
    """What nobody's word can let go."""

    def __init__(self, words: Sequence[str]) -> None:
        super().__init__(
            f"It may not leave: {' '.join(words)} Take it off the list. {UNCHANGED}",
            field="pick_list",
        )


class NeedsAWord(Refusal):
    """Against advice tyres leave with the owner's word only."""

    code = "needs-a-word"

    def __init__(self, listed: PickList, words: Sequence[str]) -> None:
        super().__init__(
            f"{listed.number} leaves with the owner's word only, with a reason: "
            f"{' '.join(words)} {UNCHANGED}",
            field="word_why",
        )


class NoWordNeeded(Refusal):
    """A word is given about something."""

    def __init__(self, listed: PickList) -> None:
        super().__init__(
            f"Nothing on {listed.number} needs anybody's word: it may leave as it is. {UNCHANGED}",
            field="word_why",
        )


class SayWhy(Refusal):
    """A word without a reason is worth nothing in a year's time."""

    status = 400

    def __init__(self) -> None:
        super().__init__(f"Say why they leave all the same. {UNCHANGED}", field="why")


class NotGathered(Refusal):
    """Tyres of a packed list are not where they were gathered."""

    def __init__(self, listed: PickList, words: Sequence[str]) -> None:
        super().__init__(
            f"Not all of {listed.number} is in {listed.to_place}: {'; '.join(words)}. Cancel the "
            f"list and pick again. {UNCHANGED}",
            field="pick_list",
        )


class BeyondTheOrder(Refusal):
    """More would leave than was ordered."""

    def __init__(self, field: str | None = None) -> None:
        super().__init__(
            f"More would leave than the order asks for: look at what was sent before. {UNCHANGED}",
            field=field or "pick_list",
        )


class LineWasCancelled(Refusal):
    """Nothing leaves for a line that the customer does not want any more."""

    def __init__(self, words: Sequence[str]) -> None:
        super().__init__(
            f"Cancelled since it was packed: {'; '.join(words)}. Cancel the list and pick the rest "
            f"again. {UNCHANGED}",
            field="pick_list",
        )
