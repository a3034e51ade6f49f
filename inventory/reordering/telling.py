"""An alert line as it is kept and shown: plain values, every number by its name."""

from __future__ import annotations

from datetime import date
from typing import Any

from inventory.planning.line import AlertLine, Arrival


def told(line: AlertLine) -> dict[str, Any]:
    """All of a line but what has a column of its own; days as text."""
    shelf = line.shelf
    return {
        "size": line.size,
        "place": line.place,
        "mate": _mate(line),
        "on_hand": shelf.on_hand,
        "held": shelf.held,
        "kept_out": shelf.kept_out,
        "as_of": shelf.as_of.isoformat(),
        "coming": [_arrival(each) for each in line.coming],
        "cover": _cover(line),
        "season": _season(line),
        "order_by": {
            "batch": line.order_by.batch,
            "missed": line.order_by.missed,
            "short_meanwhile": round(line.order_by.short_meanwhile, 2),
        },
        "order": _order(line),
        "money": {
            "share_of_budget": _rounded(line.money.share_of_budget),
            "gain": _rounded(line.money.gain),
            "price_of_money": _rounded(line.money.price_of_money),
        },
        "confidence": _confidence(line),
        "chances": {
            "before_it_lands": round(line.chances.before_it_lands, 6),
            "without": round(line.chances.without, 6),
            "with_order": round(line.chances.with_order, 6),
        },
        "problems": list(line.problems),
    }


def _cover(line: AlertLine) -> dict[str, Any]:
    cover = line.cover
    return {
        "since": _day(cover.since),
        "lands": _day(cover.lands),
        "until": _day(cover.until),
        "expected": round(cover.expected, 2),
        "level": cover.level,
        "service": cover.service,
        "queued": cover.queued,
    }


def _season(line: AlertLine) -> dict[str, Any]:
    season = line.season
    return {
        "index": round(season.index, 3),
        "category": season.category,
        "years": season.years,
        "units": round(season.units),
        "level": season.level,
    }


def _order(line: AlertLine) -> dict[str, Any]:
    order = line.order
    return {
        "after_minimum": order.after_minimum,
        "after_pack": order.after_pack,
        "minimum": order.minimum,
        "pack": order.pack,
        "extra": order.extra,
        "extra_money": _money(order.extra_money),
        "left": round(order.left, 2),
        "left_at_least": order.left_at_least,
        "chance_left": round(order.chance_left, 4),
    }


def _confidence(line: AlertLine) -> dict[str, Any]:
    sure = line.confidence
    return {
        "sale_months": sure.sale_months,
        "units": round(sure.units),
        "own": round(sure.own, 3),
        "thin": sure.thin,
    }


def _mate(line: AlertLine) -> dict[str, Any] | None:
    mate = line.mate
    if mate is None:
        return None
    return {
        "code": mate.code,
        "free": mate.free,
        "sets": mate.sets,
        "by_number": mate.by_number,
        "binding": bool(mate.binding),
    }


def _arrival(one: Arrival) -> dict[str, Any]:
    return {
        "reference": one.reference,
        "units": one.units,
        "due": _day(one.due),
        "in_time": one.in_time,
        "overdue": one.overdue,
    }


def _day(day: date) -> str:
    return day.isoformat()


def _money(amount: float | None) -> float | None:
    return None if amount is None else round(amount, 2)


def _rounded(share: float | None) -> float | None:
    return None if share is None else round(share, 4)
