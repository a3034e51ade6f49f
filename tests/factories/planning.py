"""Seasons, events, changes, earlier sales, pairs and alerts."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import factory
from factory.django import DjangoModelFactory

from inventory.models.alert import AgeingAlert, Alert, AlertOverride
from inventory.models.earlier_sales import EarlierSales
from inventory.models.learnt import Learnt
from inventory.models.season import Event, Season, SeasonChange
from inventory.models.sku_pair import SkuPair
from tests.factories.catalogue import SkuFactory
from tests.factories.people import UserFactory
from tests.factories.stock import LotFactory
from tests.factories.when import AT, EARLIER


class SeasonFactory(DjangoModelFactory):
    class Meta:
        model = Season

    class Params:
        without_money = factory.Trait(budget=None)

    name = factory.Sequence(lambda n: f"Season {n}")
    first_day = date(2026, 11, 1)
    last_day = date(2027, 9, 30)
    budget = Decimal("20000")


class LearntFactory(DjangoModelFactory):
    """Road tyres that sell in spring, learnt of four years."""

    class Meta:
        model = Learnt

    learnt_at = factory.Sequence(lambda n: AT - timedelta(days=n))
    first_day = date(2022, 11, 1)
    last_day = date(2026, 10, 31)
    skus = 412
    pieces = 9310
    told = factory.LazyFunction(
        lambda: {
            "years": 4,
            "seasons": {
                "road": {"index": [0.5, 1, 2, 2, 1, 1, 1, 1, 1, 0.5, 0.5, 0.5], "units": 900}
            },
            "written_down": 0.4,
            "scatter": {"edges": [0.5, 1, 2], "pooled": [1.2, 1.4, 1.6, 1.8]},
            "means": {},
            "every": 1.5,
        }
    )


class EventFactory(DjangoModelFactory):
    class Meta:
        model = Event

    name = factory.Sequence(lambda n: f"Hill climb {n}")
    where = "Marrow Hill"
    first_day = date(2027, 4, 10)
    last_day = date(2027, 4, 11)
    category = "road"


class SeasonChangeFactory(DjangoModelFactory):
    class Meta:
        model = SeasonChange

    class Params:
        taken_back = factory.Trait(
            withdrawn_at=AT,
            withdrawn_by=factory.SubFactory(UserFactory),
            withdrawn_why="it was put off",
        )

    category = "road"
    first_day = date(2027, 5, 1)
    last_day = date(2027, 6, 30)
    percent = 50
    why = "a jubilee"
    made_at = EARLIER
    made_by = factory.SubFactory(UserFactory)


class EarlierSalesFactory(DjangoModelFactory):
    class Meta:
        model = EarlierSales

    sku = factory.SubFactory(SkuFactory)
    month = date(2026, 5, 1)
    sold = 4
    source = "till"


class SkuPairFactory(DjangoModelFactory):
    class Meta:
        model = SkuPair

    front = factory.SubFactory(SkuFactory)
    rear = factory.SubFactory(SkuFactory)
    source = "orders of two years"


TOLD = {
    "size": "185/70 VR 15",
    "place": "front",
    "mate": {"code": "T-REAR", "free": 5, "sets": 2, "by_number": 2, "binding": False},
    "on_hand": 6,
    "held": 2,
    "kept_out": 1,
    "as_of": "2026-11-23T04:10:00+00:00",
    "coming": [
        {
            "reference": "PO-00007",
            "units": 8,
            "due": "2027-04-01",
            "in_time": False,
            "overdue": False,
        }
    ],
    "cover": {
        "since": "2026-11-23",
        "lands": "2027-01-04",
        "until": "2027-02-01",
        "expected": 5.4,
        "level": 10,
        "service": 0.95,
        "queued": 0,
    },
    "season": {"index": 1.3, "category": "road tyres", "years": 4, "units": 1240, "level": 8},
    "order_by": {"batch": "", "missed": "", "short_meanwhile": 0.2},
    "order": {
        "after_minimum": 8,
        "after_pack": 8,
        "minimum": 8,
        "pack": 4,
        "extra": 2,
        "extra_money": 190.0,
        "left": 1.2,
        "left_at_least": 4,
        "chance_left": 0.12,
    },
    "money": {"share_of_budget": 0.04, "gain": 0.6, "price_of_money": 0.3},
    "confidence": {"sale_months": 20, "units": 60, "own": 0.83, "thin": False},
    "chances": {"before_it_lands": 0.2, "without": 0.6, "with_order": 0.04},
    "problems": ["No price known: the cost of the order is left out."],
    "course": {
        "days": [0, 7, 14, 21],
        "stock": [4, 4, 4, 12],
        "expected": [0.0, 1.3, 2.6, 4.0],
        "level": [0, 4, 6, 8],
    },
}
AGED = {
    "sites": {"FEN": 3, "STA": 1},
    "older": 0,
    "expected_sold": 1.5,
    "limit_months": 72,
    "busier": "",
}
_SEEN_TO = {"acknowledged_at": AT, "acknowledged_by": factory.SubFactory(UserFactory)}
_LEFT = {
    "left_until": date(2027, 1, 10),
    "left_why": "the maker rings in January",
    "left_at": AT,
    "left_by": factory.SubFactory(UserFactory),
}


class AlertFactory(DjangoModelFactory):
    class Meta:
        model = Alert

    class Params:
        seen_to = factory.Trait(**_SEEN_TO)
        left = factory.Trait(**_LEFT)
        ended = factory.Trait(ended_at=AT)

    sku = factory.SubFactory(SkuFactory)
    category = "road"
    cause = "demand"
    first_risk = date(2027, 1, 20)
    order_by = date(2026, 12, 9)
    free = 4
    need = 6
    pieces = 8
    cost = Decimal("760.00")
    currency = "GBP"
    raised_at = EARLIER
    seen_at = AT
    told = TOLD
    sentence = "Demand: 4 free last until about 20 Jan 2027."


class AlertOverrideFactory(DjangoModelFactory):
    class Meta:
        model = AlertOverride

    alert = factory.SubFactory(AlertFactory)
    pieces = 12
    tool_pieces = 8
    why = "a club rang"
    made_at = AT
    made_by = factory.SubFactory(UserFactory)


class AgeingAlertFactory(DjangoModelFactory):
    class Meta:
        model = AgeingAlert

    class Params:
        seen_to = factory.Trait(**_SEEN_TO)
        left = factory.Trait(**_LEFT)
        ended = factory.Trait(ended_at=AT)

    lot = factory.SubFactory(LotFactory)
    crosses_on = date(2027, 8, 1)
    pieces = 4
    expected_left = Decimal("2.5")
    money = Decimal("280.00")
    currency = "GBP"
    suggestion = "offer"
    raised_at = EARLIER
    seen_at = AT
    told = AGED
    sentence = "4 of lot L1 come to the house's limit of 72 months on 1 Aug 2027."
