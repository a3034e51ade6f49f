"""Alerts as pages and spreadsheets show them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any

from inventory.models.alert import Alert, AlertOverride
from inventory.planning.words import days, percent, said

HEADINGS = (
    *("SKU", "size", "place", "cause", "why", "free", "held", "kept out", "sets with its mate"),
    *("expected", "enough", "until", "season x", "may run out from", "order by", "days left"),
    *("needed", "to order", "buyer's own", "why another", "supplier", "batch", "cost", "currency"),
    *("chance of running out", "chance with the order", "own history"),
)


@dataclass(frozen=True, slots=True)
class AlertRow:
    """An alert with its sign, how long there is to order, and the buyer's own number."""

    alert: Alert
    sign: str
    tone: str
    when: str
    own: AlertOverride | None

    @property
    def to_order(self) -> int:
        """The buyer's number where there is one, else the tool's."""
        own = self.own
        return self.alert.pieces if own is None or own.pieces is None else own.pieces


def alert_rows(alerts: Iterable[Alert], today: date) -> list[AlertRow]:
    """Alerts with what was said to them; one query more for all."""
    found = list(alerts)
    own: dict[int, AlertOverride] = {}
    rows = AlertOverride.objects.filter(alert__in=found).select_related("made_by").order_by("pk")
    for one in rows:
        own[one.alert_id] = one  # the last counts
    return [AlertRow(each, *_when(each, today), own.get(each.pk)) for each in found]


def _when(alert: Alert, today: date) -> tuple[str, str, str]:
    if alert.order_by is None:
        return "?", "cannot_tell", "nothing to order: hurry what is on order"
    left = (alert.order_by - today).days
    if left < 0:
        return "✕", "does_not_suit", f"late by {days(-left)}"
    if left <= 14:
        return "!", "caution", f"{days(left)} left"
    return "·", "cannot_tell", f"{days(left)} left"


def table(rows: Iterable[AlertRow], today: date) -> Iterator[list[Any]]:
    """The rows of a spreadsheet, headings first."""
    yield list(HEADINGS)
    for row in rows:
        alert, told = row.alert, row.alert.told
        mate, cover, chances = told["mate"], told["cover"], told["chances"]
        yield [
            *(alert.sku.code, told["size"], told["place"], alert.get_cause_display()),
            *(alert.sentence, alert.free, told["held"], told["kept_out"]),
            mate["sets"] if mate else "",
            *(cover["expected"], cover["level"], cover["until"], told["season"]["index"]),
            *(alert.first_risk, alert.order_by),
            (alert.order_by - today).days if alert.order_by else "",
            *(alert.need, alert.pieces),
            row.own.pieces if row.own else None,
            row.own.why if row.own else "",
            str(alert.supplier or ""),
            str(alert.batch or ""),
            *(alert.cost, alert.currency, chances["without"], chances["with_order"]),
            told["confidence"]["own"],
        ]


def facts(alert: Alert) -> list[tuple[str, str]]:
    """The numbers behind an alert, in words."""
    told = alert.told
    cover, season, order = told["cover"], told["season"], told["order"]
    chances, sure = told["chances"], told["confidence"]
    found = [
        ("may run out from", said(alert.first_risk)),
        ("to cover", _to_cover(cover)),
        ("season", _season(season)),
        ("chance of running out", _chances(chances)),
        ("rests on", _rests_on(sure)),
        ("quantity", _quantity(alert.need, order, alert.currency)),
        ("money", _money(told["money"])),
    ]
    return [(name, words) for name, words in found if words]


def _to_cover(cover: dict[str, Any]) -> str:
    chance = percent(cover["service"])
    queued = f"; {cover['queued']} of what comes are queued for" if cover["queued"] else ""
    return (
        f"expect {cover['expected']:g}, plan for {cover['level']} (enough with a chance of"
        f" {chance}) until {_day(cover['until'])}, when the order after this one comes; an order"
        f" now comes on {_day(cover['lands'])}{queued}"
    )


def _day(told: str) -> str:
    return said(date.fromisoformat(told))


def _season(season: dict[str, Any]) -> str:
    if not season["years"]:
        return "none known: less than a year of history"
    return (
        f"x{season['index']:g} of {season['category']}, {season['years']} years,"
        f" {season['units']:,} pieces in the category; without it {season['level']} would be enough"
    )


def _chances(chances: dict[str, Any]) -> str:
    return (
        f"{percent(chances['without'])} without the order,"
        f" {percent(chances['with_order'])} with it;"
        f" {percent(chances['before_it_lands'])} before it can come"
    )


def _rests_on(sure: dict[str, Any]) -> str:
    own = percent(sure["own"])
    thin = "thin: " if sure["thin"] else ""
    return (
        f"{thin}{sure['sale_months']} months with a sale, {sure['units']} pieces;"
        f" {own} of the forecast is its own history, the rest its range's average"
    )


def _quantity(need: int, order: dict[str, Any], currency: str) -> str:
    steps = (
        f"need {need}; with the least of {order['minimum']}: {order['after_minimum']}; in packs of"
        f" {order['pack']}: {order['after_pack']}"
    )
    if not order["extra"]:
        return f"{steps}: no more than is needed"
    money = order["extra_money"]
    costs = "" if money is None else f", {money:,.2f} {currency} more"
    return (
        f"{steps}; {order['extra']} more than needed{costs};"
        f" {percent(order['chance_left'])} chance of {order['left_at_least']} or more left at the"
        f" season's end, {order['left']:g} expected"
    )


def _money(money: dict[str, Any]) -> str:
    if money["gain"] is None:
        return ""
    share = (
        ""
        if money["share_of_budget"] is None
        else f"{percent(money['share_of_budget'])} of the season's money; "
    )
    place = "in" if money["gain"] >= money["price_of_money"] else "out of"
    return (
        f"{share}each unit spent on it is expected to earn {money['gain']:.2f}; the last one in the"
        f" season's plan earns {money['price_of_money']:.2f}, so it is {place} the plan"
    )
