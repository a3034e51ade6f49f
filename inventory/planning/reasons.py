"""Why a line is there, in one sentence that names what binds."""

from __future__ import annotations

from collections.abc import Callable

from inventory.planning.line import AlertLine, Cause
from inventory.planning.words import days, listed, percent, pieces, said


def cause_of(line: AlertLine) -> Cause:
    """What binds: the first of these that is true."""
    return next((cause for cause, holds in _TESTS if holds(line)), Cause.DEMAND)


def _late_delivery(line: AlertLine) -> bool:
    late = sum(each.units for each in line.coming if not each.in_time)
    return line.order.need > 0 and late >= line.order.need


def _only_season(line: AlertLine) -> bool:
    return line.season.index > 1 and line.cover.level - line.season.level >= line.order.need > 0


_TESTS: tuple[tuple[Cause, Callable[[AlertLine], bool]], ...] = (
    (Cause.SHORT_NOW, lambda line: line.shelf.free <= 0),
    (Cause.LATE_DELIVERY, _late_delivery),
    (Cause.CUT_OFF, lambda line: bool(line.order_by.batch or line.order_by.missed)),
    (Cause.SEASON, _only_season),
    (Cause.MATE_SHORT, lambda line: line.mate is not None and line.mate.binding),
    (Cause.MINIMUM, lambda line: line.order.after_minimum > line.order.need > 0),
)


def sentence(line: AlertLine) -> str:
    """The reason, then what to do by when. Ends with a full stop."""
    parts = [_reason(line), _asked_for(line), _to_do(line), _meanwhile(line), _beyond(line)]
    return "; ".join(part for part in parts if part) + "."


def _reason(line: AlertLine) -> str:
    return _SAID[line.cause](line)


def _short_now(line: AlertLine) -> str:
    shelf = line.shelf
    held = f", {pieces(shelf.held)} of {pieces(shelf.on_hand)} are held" if shelf.held else ""
    return f"Short now: none free{held}"


def _said_late(line: AlertLine) -> str:
    late = [each for each in line.coming if not each.in_time]
    told = [
        f"{pieces(each.units)} of {each.reference} "
        + (
            f"were due on {said(each.due)} and have not come"
            if each.overdue
            else f"come on {said(each.due)}"
        )
        for each in late
    ]
    return f"Delivery too late: {listed(told)}, {_at_risk(line)}"


def _said_cut_off(line: AlertLine) -> str:
    if not line.order_by.batch:
        return f"Cut-off missed: batch {line.order_by.missed} is closed and no other is announced"
    missed = f", {line.order_by.missed} is closed" if line.order_by.missed else ""
    return f"Cut-off: batch {line.order_by.batch} is the next one{missed}, {_at_risk(line)}"


def _said_season(line: AlertLine) -> str:
    season = line.season
    return (
        f"Season: {season.category} sells x{season.index:.2f} until {said(line.cover.until)}"
        f" ({season.years} years, {pieces(season.units)} units), {_at_risk(line)}"
    )


def _said_mate(line: AlertLine) -> str:
    mate = line.mate
    assert mate is not None  # noqa: S101 - the cause is given only where there is one
    return (
        f"Holds up its mate: {pieces(line.shelf.free)} free here make {_sets(mate.sets)},"
        f" though {pieces(mate.free)} of {mate.code} are free"
    )


def _sets(number: int) -> str:
    return f"{pieces(number)} set{'' if number == 1 else 's'}"


def _said_minimum(line: AlertLine) -> str:
    order = line.order
    return f"Minimum: need {pieces(order.need)}, the least is {pieces(order.minimum)}"


def _said_demand(line: AlertLine) -> str:
    return f"Demand: {_at_risk(line)}"


_SAID: dict[Cause, Callable[[AlertLine], str]] = {
    Cause.SHORT_NOW: _short_now,
    Cause.LATE_DELIVERY: _said_late,
    Cause.CUT_OFF: _said_cut_off,
    Cause.SEASON: _said_season,
    Cause.MATE_SHORT: _said_mate,
    Cause.MINIMUM: _said_minimum,
    Cause.DEMAND: _said_demand,
}


def _at_risk(line: AlertLine) -> str:
    return f"{pieces(line.shelf.free)} free last until about {said(line.first_risk)}"


def _asked_for(line: AlertLine) -> str:
    cover = line.cover
    return (
        f"expect {pieces(cover.expected)}, plan for {pieces(cover.level)} until {said(cover.until)}"
    )


def _to_do(line: AlertLine) -> str:
    order, by = line.order, line.order_by
    if not order.need or by.day is None:
        return "nothing ordered now comes sooner: ask for what is on order to be hurried"
    when = f"by {said(by.day)}, {days(by.days_left)} left"
    if by.late:
        when = f"now: the day to order was {said(by.day)}, {days(-by.days_left)} ago"
    return f"order {pieces(order.pieces)} {when}"


def _meanwhile(line: AlertLine) -> str:
    short = line.order_by.short_meanwhile
    if short < 0.5:
        return ""
    return f"about {pieces(short)} will be short before it can come on {said(line.cover.lands)}"


def _beyond(line: AlertLine) -> str:
    order = line.order
    if order.extra <= 0:
        return ""
    return (
        f"{pieces(order.extra)} more than needed,"
        f" {percent(order.chance_left)} chance of {order.left_at_least} or more left over"
    )
