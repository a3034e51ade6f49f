"""What a scrutineer wants to see of a set: pattern, compound, edition of the list, date codes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from django.conf import settings
from django.utils import timezone

from fitments.lookup.approvals import approvals_for
from fitments.lookup.tyres import tyre_of, with_all
from fitments.models.organiser import CompetitionClass
from fitments.rules import cautions
from fitments.rules.matching import about, in_force, same_mark
from fitments.rules.values import ApprovalFact, Axle, Basis, Market, Spot, Terms, Tyre, Use
from inventory.markings import oldest_allowed_week
from inventory.models.hold import Hold, HoldLine
from inventory.models.lot import Condition
from inventory.models.sku import Sku, SkuKind


@dataclass(frozen=True, slots=True)
class CardLine:
    """So many tyres of one lot at one place; ``list_says`` and ``age_says`` are plain sentences."""

    place: str
    quantity: int
    tyre: str
    size: str
    compound: str
    date_code: str
    condition: str
    list_says: str
    age_says: str


@dataclass(frozen=True, slots=True)
class Card:
    """One set for one class of one edition. It says what is on record, and whose word counts."""

    shop: str
    hold: str
    organiser: str
    class_name: str
    season: int
    edition: str
    terms: str
    car: str
    on: date
    lines: tuple[CardLine, ...]
    cautions: tuple[str, ...]


def card_of(hold: Hold, row: CompetitionClass, *, at: datetime) -> Card:
    """The card of what is held, by the list as it is known at a moment. Six queries."""
    day = timezone.localdate(at)
    found = approvals_for(vehicle_lines=[], classes=[row.pk], in_force_on=day, known_on=at)
    facts = found.get(("class", row.pk), ())
    lines = hold.lines.select_related("lot").order_by("for_place", "lot__code", "pk")
    held = [line for line in lines if line.for_place]
    skus = with_all(Sku.objects.filter(pk__in={line.lot.sku_id for line in held}))
    known = {sku.pk: sku for sku in skus if sku.kind == SkuKind.TYRE}
    told = [
        _line(line, known[line.lot.sku_id], facts, row, day)
        for line in held
        if line.lot.sku_id in known
    ]
    return Card(
        settings.SHOP_NAME, hold.number, row.organiser.name, row.name, row.season, row.edition,
        _terms(row), str(hold.car or ""), day, tuple(told), tuple(cautions.ALL),
    )  # fmt: skip


def _line(
    line: HoldLine, sku: Sku, facts: Iterable[ApprovalFact], row: CompetitionClass, day: date
) -> CardLine:
    tyre = tyre_of(sku)
    return CardLine(
        line.for_place,
        line.quantity,
        " ".join(part for part in (sku.maker.name, tyre.pattern) if part),
        sku.size or sku.size_text,
        tyre.compound.code if tyre.compound else "none told",
        line.lot.date_code or "none",
        Condition(line.lot.condition).label,
        _list_says(facts, tyre, line.for_place, day),
        _age_says(line, row.age_limit_months, day),
    )


def _list_says(facts: Iterable[ApprovalFact], tyre: Tyre, place: str, day: date) -> str:
    axle = Axle(place) if place in list(Axle) else Axle.FRONT
    terms = Terms(use=Use.TRACK, market=Market.GB, on=day)
    mine = [f for f in about(facts, tyre, Spot(axle=axle)) if same_mark(f, tyre)]
    now = [fact for fact in mine if in_force(fact, terms)]
    if now:
        conditions = "; ".join(fact.conditions for fact in now if fact.conditions)
        basis = min((fact.basis for fact in now), key=list(Basis).index)
        return f"on the list: {', '.join(f.code for f in now)}, by {basis.words}" + (
            f", on condition: {conditions}" if conditions else ""
        )
    if mine:
        return f"not in force on this day: {', '.join(fact.code for fact in mine)}"
    return "not on the list as it is on record"


def _age_says(line: HoldLine, limit: int | None, day: date) -> str:
    if limit is None:
        return "no age limit on record"
    if line.lot.week_index is None:
        return f"no date code: whether it is under {limit} months cannot be told"
    oldest = oldest_allowed_week(limit_months=limit, on=day)
    return f"within {limit} months" if line.lot.week_index >= oldest else f"over {limit} months"


def _terms(row: CompetitionClass) -> str:
    buffing = {True: "buffing allowed", False: "buffing not allowed", None: "buffing: not said"}
    age = (
        f"age limit {row.age_limit_months} months" if row.age_limit_months else "no age limit said"
    )
    return f"{age}; {buffing[row.buffing_allowed]}"
