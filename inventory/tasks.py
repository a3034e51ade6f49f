"""Jobs of the night: holds that ran out, queues, what will run out, and what grows old."""

from __future__ import annotations

from functools import partial
from typing import Any

from django.conf import settings
from django.utils import timezone

from inventory import ageing, reordering
from inventory.activities import alerting, learning, preordering
from inventory.availability import sets_of_pairs
from inventory.ground.jobs.kinds import Step, Work, job_kind
from inventory.ledger.lapse import tidy

_BATCH = 100


@job_kind("end-lapsed-holds", title="End the holds that have run out")
def end_lapsed_holds(work: Work, cursor: Any) -> Step:
    """End what ran out before it was asked for; its tyres were free from that moment anyway."""
    count = tidy(at=work.at, most=_BATCH)
    so_far = (cursor or {}).get("so_far", 0) + count
    left = {"so_far": so_far} if count == _BATCH else None
    words = "1 hold had run out." if so_far == 1 else f"{so_far} holds had run out."
    return Step(cursor=left, done=count, result=words)


@job_kind("queues", title="See to those who wait for what will not come")
def queues(work: Work, cursor: Any) -> Step:
    """Serve, move on or give up whoever waits for a delivery of which nothing more comes."""
    turn = preordering.serve(expected=preordering.ended(), by=work.by, at=work.at)
    served, missed, waiting = len(turn.served), len(turn.missed), len(turn.waiting)
    kept = f"; axles are kept for {len(turn.kept)} of them" if turn.kept else ""
    words = f"{served} were served, {missed} are to be told, {waiting} wait on{kept}."
    return Step(done=served + missed + waiting, total=served + missed + waiting, result=words)


@job_kind("reorder-alerts", title="Find what will run out")
def reorder_alerts(work: Work, cursor: Any) -> Step:
    """Read the books, learn from them, and keep one alert for each SKU that may run out."""
    found = reordering.outlook(at=work.at, limit_months=settings.HOUSE_AGE_LIMIT_MONTHS)
    learning.keep_learnt(found=found, at=work.at)
    season = found.season
    words = ""
    if season is not None and season.budget is not None:
        plan = reordering.season_plan(found, season.budget, season.currency)
        found = reordering.with_purse(found, plan.purse)
        words = f" The plan of {season}: {plan.cost:,.2f} of {plan.budget:,.2f} {season.currency}."
    limit = settings.HOUSE_AGE_LIMIT_MONTHS
    notes = reordering.notes(found, partial(sets_of_pairs, limit_months=limit, at=work.at))
    kept = alerting.keep_alerts(found=notes, at=work.at)
    count = found.known.count
    told = f"Of {count} SKUs {len(notes)} are at risk: {kept}{words}"
    return Step(done=count, total=count, result=told)


@job_kind("ageing-alerts", title="Find what grows old")
def ageing_alerts(work: Work, cursor: Any) -> Step:
    """Hold the age of every lot against its forecast; nothing is written off."""
    limit, today = settings.HOUSE_AGE_LIMIT_MONTHS, timezone.localdate(work.at)
    found = reordering.outlook(at=work.at, limit_months=limit)
    lots = ageing.house_lots()
    old = ageing.crossing(
        lots,
        limit=limit,
        on=today,
        asked=reordering.asked_by(found, ageing.HORIZON_DAYS),
        busy=ageing.sold_by_site(work.at),
        suppliers=reordering.with_terms(found),
    )
    kept = alerting.keep_ageing(found=old, at=work.at)
    return Step(
        done=len(lots), total=len(lots), result=f"Of {len(lots)} lots {len(old)} grow old: {kept}"
    )
