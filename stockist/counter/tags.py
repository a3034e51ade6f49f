"""The short words under the name of an offer. Pure."""

from __future__ import annotations

from dataclasses import dataclass

from fitments.rules.matching import about, same_mark
from fitments.rules.values import DaySpan, Outcome, Standing
from inventory.models.sku import SkuStatus
from stockist.counter.answer import OfferAnswer, PartAnswer


@dataclass(frozen=True, slots=True)
class Tag:
    words: str
    outcome: Outcome


def tags_of(answer: OfferAnswer, part: PartAnswer) -> tuple[Tag, ...]:
    """Short words: on whose word it is on the car, its pattern's year, its state in the range."""
    tags = [*_standing_tags(answer, part), *_approval_tags(answer, part)]
    introduced = answer.offer.first.tyre.introduced
    if introduced:
        period = [one for one in answer.verdict.by_rule.get("period", ()) if one.point == "pattern"]
        outcome = max((one.outcome for one in period), default=Outcome.CANNOT_TELL)
        tags.append(Tag(f"pattern of {introduced}", outcome))
    for status in (SkuStatus.LAST_STOCK, SkuStatus.ANNOUNCED, SkuStatus.DISCONTINUED):
        if any(sku.status == status for sku in answer.skus):
            tags.append(Tag(str(status.label), Outcome.CANNOT_TELL))
    return tuple(dict.fromkeys(tags))


def _standing_tags(answer: OfferAnswer, part: PartAnswer) -> list[Tag]:
    """Fitted when new, accepted, on the car now; approval has a tag of its own."""
    if not answer.offer.listed:
        return [Tag("not a listed size", Outcome.CAUTION)]
    standings = {
        one.standing
        for offered in answer.offer.axles
        for one in part.spots[offered.axle].fitted
        if not one.keys.isdisjoint(offered.first.tyre.size_keys)
        and (part.built is None or one.built.overlaps(DaySpan(part.built.first, part.built.last)))
    }
    return [
        Tag(one.words, Outcome.SUITS) for one in sorted(standings) if one is not Standing.APPROVED
    ]


def _approval_tags(answer: OfferAnswer, part: PartAnswer) -> list[Tag]:
    """Who approves it, by which mark or list; coloured by how good the approval is."""
    found: dict[str, None] = {}
    for offered in answer.offer.axles:
        spot, tyre = part.spots[offered.axle], offered.first.tyre
        for fact in about(spot.approvals, tyre, spot):
            if same_mark(fact, tyre):
                how = "by list" if fact.by_list else f"mark {fact.mark} {fact.mark_issue}".strip()
                found[f"approved by {fact.issuer}, {how}"] = None
    said = [
        one.outcome
        for one in answer.verdict.by_rule.get("approval", ())
        if one.point in ("maker", "list")
    ]
    worst = max(said, default=Outcome.SUITS)
    return [
        Tag(words if worst is Outcome.SUITS else f"{words}: see below", worst) for words in found
    ]
