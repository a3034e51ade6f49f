"""A card for the scrutineer: what stands on each tyre of a set, and what the list says of it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from django.conf import settings

from fitments.models.organiser import CompetitionClass
from fitments.release.on_list import Listed, on_list
from fitments.rules.cautions import FITTING
from fitments.rules.values import Outcome
from inventory.models.hold import Hold, HoldLine
from inventory.models.sku import SkuKind
from inventory.release import LeavingSet, LeavingTyres

DECIDES = (
    "The list as it is on record with us; the organiser's own edition and the scrutineer decide."
)


@dataclass(frozen=True, slots=True)
class CardLine:
    """So many tyres of one lot on one place of the car, as they are marked."""

    quantity: int
    for_place: str
    pattern: str
    compound: str
    size: str
    mark: str
    date_code: str
    entries: tuple[str, ...]
    outcome: Outcome
    said: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Card:
    """A whole card. limits: what the edition says of age and buffing. nothing: no tyre is held."""

    shop: str
    organiser: str
    season: int
    edition: str
    run_in: str
    on: date
    known_at: datetime
    car: str
    held: str
    limits: tuple[str, ...]
    lines: tuple[CardLine, ...]
    cautions: tuple[str, ...]


def card_of(hold: Hold, ran: CompetitionClass, *, on: date, at: datetime) -> Card:
    """The card of a held (or sent) set for a class, for a meeting on a day, as known now.

    The number of queries does not grow with its lines.
    """
    rows = hold.lines.select_related("lot__sku__pattern__maker", "lot__sku__compound")
    lines = [one for one in rows.order_by("pk") if one.lot.sku.kind == SkuKind.TYRE]
    tyres = [LeavingTyres(one.lot.sku_id, one.lot_id, one.for_place, one.quantity) for one in lines]
    asked = LeavingSet(hold.pk, hold.what, None, tuple(tyres), hold.answer, at)
    told = {(one.lot_id, one.for_place): one for one in on_list(asked, ran, on=on, known_on=at)}
    return Card(
        shop=settings.SHOP_NAME,
        organiser=ran.organiser.name,
        season=ran.season,
        edition=ran.edition,
        run_in=ran.name,
        on=on,
        known_at=at,
        car=str(hold.car) if hold.car else "",
        held=hold.number,
        limits=tuple(_limits(ran)),
        lines=tuple(_line(one, told[one.lot_id, one.for_place]) for one in lines),
        cautions=(DECIDES, FITTING),
    )


def _limits(ran: CompetitionClass) -> list[str]:
    months = ran.age_limit_months
    age = f"Oldest tyre allowed: {months} months." if months else "No age limit is on record."
    buffing = {
        True: "Buffing is allowed.",
        False: "Buffing is not allowed.",
        None: "Whether buffing is allowed is not on record.",
    }
    return [age, buffing[ran.buffing_allowed]]


def _line(line: HoldLine, told: Listed) -> CardLine:
    lot, sku = line.lot, line.lot.sku
    return CardLine(
        quantity=line.quantity,
        for_place=line.for_place,
        pattern=str(sku.pattern) if sku.pattern else "",
        compound=sku.compound.code if sku.compound else "",
        size=sku.size_text,
        mark=" ".join(word for word in (lot.mark, lot.mark_issue) if word),
        date_code=lot.date_code,
        entries=told.entries,
        outcome=told.outcome,
        said=tuple(one.words for one in told.findings),
    )
