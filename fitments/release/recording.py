"""What was known of a set on the day that it left, as JSON keeps it for good.

Nothing in it names a person: the car is told by its number with us and by what it is.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, datetime
from typing import Any

from django.db.models import Prefetch

from fitments.lookup.papers import known_papers
from fitments.models.approval import ApprovalVersion
from fitments.release.judging import Judged
from fitments.release.sold import Car, Sold
from fitments.rules.values import ApprovalFact, Finding

Json = dict[str, Any]


def known(sold: Sold, found: Judged, papers: Mapping[str, list[Json]], *, at: datetime) -> Json:
    """Everything that was known of a set: its car, the verdict, approvals and evidence."""
    verdict = found.verdict
    facts = {fact.code: fact for some in found.facts.values() for fact in some}
    return {
        "as_known_at": at.isoformat(),
        "ordered_at": sold.asked.ordered_at.isoformat(),
        "use": str(sold.use),
        "market": str(sold.market),
        "class": str(sold.competition_class) if sold.competition_class else "",
        "car": _car(sold.asked.car_id, sold.car),
        "outcome": verdict.outcome.code if verdict else "",
        "findings": [_finding(one) for one in verdict.findings] if verdict else [],
        "approvals": [_approval(fact, papers) for _, fact in sorted(facts.items())],
        "lost_since_ordered": [one.words for one in found.lost],
    }


def evidence_of(codes: Iterable[str], *, at: datetime) -> dict[str, list[Json]]:
    """The evidence of some approvals as it stood at a moment, by the code of the approval."""
    versions = (
        ApprovalVersion.objects.filter(approval__code__in=set(codes), known__contains=at)
        .select_related("approval")
        .prefetch_related(Prefetch("evidence", known_papers(at)))
        .order_by("pk")
    )
    found: dict[str, dict[str, Json]] = {}
    for version in versions:
        papers = found.setdefault(version.approval.code, {})
        papers.update({one.code: _paper(one, at) for one in version.evidence.all()})
    return {code: list(papers.values()) for code, papers in found.items()}


def _car(number: int | None, car: Car | None) -> Json:
    if car is None:
        return {"customer_car": number}
    return {
        "customer_car": number,
        "variant": car.variant.code,
        "name": str(car.variant),
        "built_from": _day(car.built.first),
        "built_to": _day(car.built.last),
    }


def _finding(one: Finding) -> Json:
    return {
        "rule": one.rule,
        "point": one.point,
        "place": one.place,
        "outcome": one.outcome.code,
        "counted": one.counted.code if one.counted is not None else "",
        "words": one.words,
        "look_at": one.look_at,
        "source": one.source,
    }


def _approval(fact: ApprovalFact, papers: Mapping[str, list[Json]]) -> Json:
    return {
        "code": fact.code,
        "issuer": fact.issuer,
        "scope": fact.scope,
        "season": fact.season,
        "axle": fact.axle,
        "size": fact.size,
        "pattern": fact.pattern,
        "compound": fact.compound,
        "mark": fact.mark,
        "mark_issue": fact.mark_issue,
        "by_list": fact.by_list,
        "valid_from": _day(fact.valid.first),
        "valid_to": _day(fact.valid.last),
        "withdrawn_on": _day(fact.withdrawn_on),
        "superseded_by": fact.superseded_by,
        "conditions": fact.conditions,
        "rests_on": fact.basis.words,
        "evidence": papers.get(fact.code, []),
    }


def _paper(one: Any, at: datetime) -> Json:
    """A paper of ``known_papers``; its digest and the day of its next look are the row's own."""
    checked = one.then_checked_at is not None and one.then_checked_at <= at
    return {
        "code": one.code,
        "kind": one.then_kind,
        "reference": one.then_reference,
        "issuer": one.then_issuer,
        "dated": _day(one.then_dated),
        "digest": one.digest,
        "checked_at": one.then_checked_at.isoformat() if checked else None,
        "self_checked": checked and one.then_checked_by_id == one.then_written_by_id,
        "due_on": _day(one.due_on),
    }


def _day(day: date | None) -> str | None:
    return day.isoformat() if day else None
