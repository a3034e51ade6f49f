"""Why a van is not taken out, loaded or unloaded, a sentence each."""

from __future__ import annotations

from inventory.ground.refusal import Refusal
from inventory.models.outing import Outing
from inventory.models.place import Place, Site

UNCHANGED = "Nothing was changed."


class NotAVan(Refusal):
    """A building goes to no meeting."""

    status = 400

    def __init__(self, site: Site) -> None:
        super().__init__(f"{site} is no van: a mobile site is wanted. {UNCHANGED}", field="van")


class OutAlready(Refusal):
    """A van is at one meeting at a time."""

    def __init__(self, outing: Outing) -> None:
        super().__init__(
            f"{outing.van} is out already, for {outing.meeting} ({outing.number}): unload it "
            f"first. {UNCHANGED}",
            field="van",
        )


class BackAlready(Refusal):
    """The outing has ended."""

    def __init__(self, outing: Outing) -> None:
        super().__init__(
            f"{outing.van} was unloaded by {outing.ended_by}: {outing.number} has ended. "
            f"{UNCHANGED}",
            field="outing",
        )


class NotOfThisVan(Refusal):
    """A place in which nothing of this van's is loaded or unloaded."""

    status = 400

    def __init__(self, place: Place, site: Site, kinds: str) -> None:
        super().__init__(
            f"{place.code} is {place.get_kind_display()} at {place.site}: name {kinds} of {site}. "
            f"{UNCHANGED}",
            field="into",
        )


class SayWhere(Refusal):
    """What came back lies somewhere."""

    status = 400

    def __init__(self, site: Site) -> None:
        super().__init__(
            f"Say into which place of {site} the tyres were unloaded. {UNCHANGED}", field="into"
        )


class NothingInIt(Refusal):
    """A lot is said to have come back that the van did not have."""

    def __init__(self, codes: str) -> None:
        super().__init__(
            f"By the books the van does not have lot {codes}. Put those tyres into quarantine, "
            f"unload the rest, and count them. {UNCHANGED}",
            field="came",
        )
