"""Why a transfer is not sent, booked in or ended, a sentence each."""

from __future__ import annotations

from inventory.ground.refusal import Refusal
from inventory.models.lot import Lot
from inventory.models.place import Place, Site
from inventory.models.transfer import Transfer
from inventory.models.write_off import WriteOff

UNCHANGED = "Nothing was changed."
_SHOWN = 60


class NowhereOnTheWay(Refusal):
    """There is no place in transit at the site that sends."""

    def __init__(self, site: Site) -> None:
        super().__init__(
            f"{site} has no place in transit: enter one first. {UNCHANGED}", field="from_site"
        )


class NotThere(Refusal):
    """Something is loaded that is not at the site that sends, or unloaded at another site."""

    status = 400

    def __init__(self, place: Place, site: Site, field: str) -> None:
        super().__init__(
            f"{place.code} is at {place.site}, not at {site}. {UNCHANGED}", field=field
        )


class NotUnloadedThere(Refusal):
    """Tyres are unloaded where they are kept, not where they only pass."""

    status = 400

    def __init__(self, place: Place) -> None:
        super().__init__(
            f"{place.code} is {place.get_kind_display()}: name a rack, a place of goods in, or "
            f"quarantine. {UNCHANGED}",
            field="place",
        )


class ArrivedAlready(Refusal):
    """The transfer has ended."""

    def __init__(self, transfer: Transfer) -> None:
        done = "booked in" if transfer.state == "arrived" else "ended short"
        super().__init__(
            f"{transfer.number} was {done} by {transfer.ended_by}. {UNCHANGED}", field="transfer"
        )


class InOtherHands(Refusal):
    """Somebody else is booking the transfer in."""

    def __init__(self, transfer: Transfer) -> None:
        since = f"{transfer.at_work_at:%d.%m.%Y, %H:%M} (UTC)" if transfer.at_work_at else "then"
        super().__init__(
            f"{transfer.at_work_by} is booking {transfer.number} in, last at {since}: take it up "
            f"if you go on with it. {UNCHANGED}",
            field="transfer",
        )


class NotArriving(Refusal):
    """Nobody has begun to book it in, so there is nothing to take up."""

    def __init__(self, transfer: Transfer) -> None:
        super().__init__(
            f"Nobody has begun to book {transfer.number} in: scan the first tyre. {UNCHANGED}",
            field="transfer",
        )


class NotWanted(Refusal):
    """A scan that is no tyre of the transfer: what was read, and what is wanted."""

    status = 400

    def __init__(self, transfer: Transfer, text: str, told: str) -> None:
        shown = text if len(text) <= _SHOWN else f"{text[:_SHOWN]}…"
        shown = shown.replace("\x1d", " ")
        super().__init__(
            f"“{shown}” was read, and the label of a lot on {transfer.number} is wanted. "
            f"{told} {UNCHANGED}",
            field="scanned",
        )


class SeveralLots(Refusal):
    """The label of a SKU of which several lots are on the way."""

    def __init__(self, transfer: Transfer, codes: str) -> None:
        super().__init__(
            f"Several lots of it are on {transfer.number} ({codes}): scan the label of the lot. "
            f"{UNCHANGED}",
            field="scanned",
        )


class NotOnThisTransfer(Refusal):
    """Another lot, or more of a lot, than is still on the way; what to do about it is said."""

    def __init__(self, transfer: Transfer, lot: Lot, left: int, sent: int, advice: str) -> None:
        if sent == 0:
            what = f"Lot {lot.code} is not on {transfer.number}."
        elif left == 0:
            what = (
                f"None of lot {lot.code} is on the way on {transfer.number} any more: it is over."
            )
        else:
            what = (
                f"{left} of lot {lot.code} are on the way on {transfer.number}: no more can arrive."
            )
        field = "scanned" if left == 0 else "quantity"
        super().__init__(f"{what} {advice} {UNCHANGED}", field=field)


class AskedAlready(Refusal):
    """What is missing waits for another person already."""

    def __init__(self, transfer: Transfer, row: WriteOff) -> None:
        super().__init__(
            f"{row.number} waits for another person to pass or refuse what is missing of "
            f"{transfer.number}. {UNCHANGED}",
            field="transfer",
        )


class SayWhereItIs(Refusal):
    """What was left behind lies in a place of the site that sent it, and only that does."""

    status = 400

    def __init__(self, site: Site, *, left_behind: bool) -> None:
        words = (
            f"Say in which place of {site} the tyres were left behind."
            if left_behind
            else "Only what was left behind lies in a place: leave the place empty, or say so."
        )
        super().__init__(f"{words} {UNCHANGED}", field="found_in")
