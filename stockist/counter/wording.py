"""Answers in the words and numbers that the pages and the terminal show. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from decimal import Decimal

from django.utils import timezone

from fitments.rules.registry import TITLES
from fitments.rules.values import Axle, Finding, Outcome, Weight
from inventory.activities.holding import parts, parts_of
from inventory.availability import ChosenLot, Figures, SetAnswer, ShelfLot
from inventory.markings import NotDerivable, overall_diameter, section_width
from inventory.models.sku import Sku
from stockist.counter.answer import OfferAnswer, PartAnswer
from stockist.counter.tags import Tag, tags_of
from stockist.drawings.outlines import Outlines, outlines
from stockist.drawings.ruler import Dated, Ruler, ruler

SIGNS = {"GBP": "£", "EUR": "€", "USD": "$"}
LEADING = 4
PLACES = (*Axle, "spare")


@dataclass(frozen=True, slots=True)
class Said:
    """A finding as it is shown: with the title of its rule and what it counts for."""

    title: str
    place: str
    outcome: Outcome
    words: str
    look_at: str
    source: str
    note: str
    rests: bool  # an approval, whose evidence is shown with it


@dataclass(frozen=True, slots=True)
class Title:
    """A SKU as a heading, with its code for the link."""

    code: str
    title: str


@dataclass(frozen=True, slots=True)
class OfferSaid:
    """One offer, ready to be shown."""

    skus: tuple[Title, ...]
    verdict: object
    tags: tuple[Tag, ...]
    leading: tuple[Said, ...]
    findings: tuple[Said, ...]
    sets: int
    sets_words: str
    tyres: int
    price: str
    why_fewer: str
    coming: str
    dates: tuple[str, ...]
    shelf: str
    ruler: Ruler | None
    outlines: Outlines | None
    listed: bool
    key: str
    shown: str
    code: str = ""
    why: str = ""
    told: bool = True


def plural(count: int, one: str, more: str = "") -> str:
    """``1 set``, ``2 sets``, ``no sets``."""
    return f"{count or 'no'} {one if count == 1 else more or one + 's'}"


def money(amount: Decimal | None, currency: str) -> str:
    """``£412.00``; an amount in a currency without a sign of its own comes with its code."""
    if amount is None:
        return ""
    sign = SIGNS.get(currency)
    return f"{sign}{amount:,.2f}" if sign else f"{amount:,.2f} {currency}"


def title_of(sku: Sku) -> str:
    """What people call it: maker, pattern, size; mark, hand and sidewall where they tell."""
    parts = [sku.maker.name, sku.pattern.name if sku.pattern else sku.name, sku.size]
    if sku.compound:
        parts.append(sku.compound.code)
    if sku.mark:
        parts.append(f"{sku.mark} {sku.mark_issue}".strip())
    if sku.hand:
        parts.append(sku.get_hand_display())
    if sku.sidewall != "black":
        band = f" {sku.band_mm} mm" if sku.band_mm else ""
        parts.append(f"{sku.get_sidewall_display()}{band}")
    return " ".join(part for part in parts if part)


def finding_said(finding: Finding) -> Said:
    note = ""
    if finding.counts is Weight.NOTE:
        note = "said, and not counted here"
    elif finding.counts is Weight.CAUTION and finding.outcome > Outcome.CAUTION:
        note = "counts as a caution here"
    return Said(
        TITLES.get(finding.rule, finding.rule),
        finding.place,
        finding.outcome,
        finding.words,
        finding.look_at,
        finding.source,
        note,
        finding.rule == "approval" and finding.point in ("maker", "list"),
    )


def leading(findings: Sequence[Finding]) -> list[Finding]:
    """The few reasons shown at once: what decides first, then approval, size, load and speed.

    What an approval rests on is shown whether it counts here or not.
    """
    order = ("approval", "size", "load", "speed", "tube", "period")

    def place(one: Finding) -> tuple[int, int]:
        weight = -(one.counted or Outcome.SUITS)
        return weight, order.index(one.rule) if one.rule in order else len(order)

    worth = [one for one in findings if one.counted is not None or one.point in ("maker", "list")]
    first: dict[tuple[str, Outcome], Finding] = {}
    for one in sorted(worth, key=place):
        first.setdefault((one.rule, one.outcome), one)
    return list(first.values())[:LEADING]


def distinct(findings: Iterable[Finding]) -> list[Finding]:
    """Every finding once; where front and rear say the same, no place is named."""
    seen: dict[tuple[str, str], Finding] = {}
    for one in findings:
        key = (one.rule, one.words)
        twice = key in seen and seen[key].place != one.place
        seen[key] = replace(seen[key], place="") if twice else seen.get(key, one)
    return list(seen.values())


def offer_said(answer: OfferAnswer, part: PartAnswer, at: datetime, key: str = "") -> OfferSaid:
    """An offer in words; ``key`` makes noting that it was asked for harmless to repeat."""
    findings = distinct(answer.verdict.findings)
    sets = answer.sets
    return OfferSaid(
        skus=tuple(Title(sku.code, title_of(sku)) for sku in answer.skus),
        verdict=answer.verdict,
        tags=tags_of(answer, part),
        leading=tuple(map(finding_said, leading(findings))),
        findings=tuple(map(finding_said, findings)),
        sets=answer.in_stock,
        sets_words=plural(answer.in_stock, "set"),
        tyres=sum(quantity for _, quantity in pieces_wanted(sets)) if sets else 4,
        price=price_said(sets),
        why_fewer=sets.reason if sets else "Only one axle of this pattern is in the catalogue.",
        coming=coming_said(answer.figures, timezone.localdate(at)),
        dates=tuple(lot_said(one) for one in sets.chosen) if sets else (),
        shelf=shelf_said(answer.figures),
        ruler=ruler_of(sets, answer.lots, timezone.localdate(at)),
        outlines=outlines_of(answer, part),
        listed=answer.offer.listed,
        key=key,
        shown=shown_of(sets),
    )


def pieces_wanted(sets: SetAnswer) -> list[tuple[str, int]]:
    """How many tyres a set takes, by place; a set of four where none could be chosen."""
    return [(one.for_place, one.quantity) for one in sets.chosen] or [("set", 4)]


def shown_of(sets: SetAnswer | None) -> str:
    """The lots that are named, as a form sends them back."""
    return parts.written(parts_of(sets)) if sets else ""


def price_said(sets: SetAnswer | None) -> str:
    if sets is None:
        return ""
    if sets.price.amount is None:
        return sets.price.reason
    musts = [one for one in sets.companions if one.need == "must" and one.per_set]
    kinds = " and ".join(sorted({f"{one.kind.replace('_', ' ')}s" for one in musts}))
    extra = f" with {kinds}" if kinds else ""
    return f"{money(sets.price.amount, sets.price.currency)} the set{extra}"


def lot_said(chosen: ChosenLot) -> str:
    """``2 x 1423 (2 years 3 months), A-04-2, front``; the axle only where a set has several."""
    lot = chosen.lot
    code = f"{lot.date_code}" if lot.date_code else "no date code"
    age = f" ({lot.age})" if lot.age else ""
    axle = f", {chosen.for_place}" if chosen.for_place in PLACES else ""
    return f"{chosen.quantity} × {code}{age}, {lot.place}{axle}"


def shelf_said(figures: Sequence[Figures]) -> str:
    parts = []
    for one in figures:
        counts = [f"{plural(one.in_the_racks, 'tyre')} in the racks"]
        if one.spoken_for:
            counts.append(f"{one.spoken_for} held")
        if one.put_aside:
            counts.append(f"{one.put_aside} not for sale as new")
        if one.in_quarantine:
            counts.append(f"{one.in_quarantine} in quarantine")
        if one.not_ours:
            counts.append(f"{one.not_ours} not ours")
        parts.append((f"{one.code}: " if len(figures) > 1 else "") + ", ".join(counts))
    return "; ".join(parts)


def coming_said(figures: Sequence[Figures], today: date) -> str:
    """What is on its way, and that it is late where its day has passed."""
    days = [one.expected_on for one in figures if one.expected_on]
    if days:
        late = max(days) < today
        day, orders = day_said(max(days)), [one for one in figures if one.on_order]
        when = f"was expected on {day} and is late" if late else f"is expected on {day}"
        if len(orders) < len(figures):
            return f"More {when}."
        told = [f"{one.on_order} of {one.code}" for one in orders]
        some = ", ".join(told) if len(told) > 1 else f"{orders[0].on_order}"
        return f"On order: {some}; the next {when}."
    if any(one.coming for one in figures):
        return "Announced; no day is known yet."
    return ""


def day_said(day: date) -> str:
    return f"{day.day} {day:%B %Y}"


def ruler_of(sets: SetAnswer | None, lots: Sequence[ShelfLot], today: date) -> Ruler | None:
    """Every dated tyre that is to be sold, week by week, those of the chosen set filled."""
    tyres: dict[date, int] = {}
    taken: dict[date, int] = {}
    for lot in lots:
        if lot.first_day is not None and lot.to_sell and lot.free > 0:
            tyres[lot.first_day] = tyres.get(lot.first_day, 0) + lot.free
    for one in sets.chosen if sets else ():
        if one.lot.first_day is not None:
            taken[one.lot.first_day] = taken.get(one.lot.first_day, 0) + one.quantity
    return ruler([Dated(day, count, taken.get(day, 0)) for day, count in tyres.items()], today)


def outlines_of(answer: OfferAnswer, part: PartAnswer) -> Outlines | None:
    """The listed size beside the offered one, to scale, for a size that is not listed."""
    if answer.offer.listed:
        return None
    first = answer.offer.axles[0]
    fitted = part.spots[first.axle].fitted
    offered = first.first.tyre.size
    if not fitted or offered is None:
        return None
    try:
        drawn = [
            (
                size.canonical,
                float(overall_diameter(size).value_mm),
                float(section_width(size).value_mm),
                float(part.spots[first.axle].rim_mm or 0),
            )
            for size in (fitted[0].size, offered)
        ]
    except NotDerivable:
        return None
    return outlines(drawn[0], drawn[1])
