"""What the law says of supplying a tyre, of its age, and of its speed symbol.

Supply, GB: House of Lords, Hansard, 26 July 1984 (read): from 1 January 1985 a new car tyre must be
approved to UN R30 and marked E. EU: Directive 92/23/EEC as amended by 2001/43/EC, for all tyres in
scope from 1 October 2009, as transposed in France (JORFARTI000001078738, read). UN R30 leaves out
tyres for vintage cars: opening of GOST R 41.30-99, its Russian text (read). Part-worn, GB:
businesscompanion.info (read). Age, GB: SI 2020/1178, movingon.blog.gov.uk, 9 December 2020 (read):
lorries, buses, coaches and minibuses, in force 1 February 2021, not cars. Winter tyres: EU 458/2011
4.2.2 as quoted elsewhere. No age law of any other market was read.
"""

from __future__ import annotations

from datetime import date

import pytest

from fitments.rules.supply import SINCE
from fitments.rules.values import Axle, Condition, Made, Market, Outcome, Spot, Tyre, Use, Weather
from fitments.verdict import judge
from inventory.markings import read_size

ROAD = Use.ROAD
TWELVE_YEARS = Made(
    date_code="4614",
    first_day=date(2014, 11, 16),
    last_day=date(2014, 11, 22),
    earliest=date(2014, 11, 9),
    latest=date(2014, 11, 29),
)


def findings(rule: str, *, market=Market.GB, on=date(2026, 11, 23), use=ROAD, **told):
    car = told.pop("car", Spot(axle=Axle.FRONT))
    size = read_size("165 R 15 86Q")
    tyre = Tyre(code="T", size=size, load_index=86, speed="Q", **told)
    found = judge(tyre, car, use=use, market=market, on=on).findings
    return {each.point: each for each in found if each.rule == rule}


@pytest.mark.parametrize(
    ("market", "first_day"), [(Market.GB, date(1985, 1, 1)), (Market.EU, date(2009, 10, 1))]
)
def test_from_its_first_day_on_a_tyre_without_an_e_mark_is_asked_about(market, first_day):
    assert SINCE[market][0] == first_day
    before = date.fromordinal(first_day.toordinal() - 1)
    assert findings("supply", market=market, on=before, type_approvals=()) == {}
    asked = findings("supply", market=market, on=first_day, type_approvals=())[""]
    assert asked.outcome is Outcome.CANNOT_TELL
    assert "tyres for vintage cars and for competition apart" in asked.words


@pytest.mark.parametrize("market", [Market.US, Market.OTHER])
def test_no_supply_rule_was_read_for_other_markets(market):
    assert findings("supply", market=market, type_approvals=()) == {}


@pytest.mark.parametrize("use", [Use.TRACK, Use.SHOW])
def test_the_supply_rule_is_for_the_road(use):
    assert findings("supply", use=use, type_approvals=()) == {}


def test_part_worn_tyres_in_great_britain():
    worn = Made(condition=Condition.PART_WORN)
    words = findings("supply", made=worn)["part-worn"].words
    for asked in ("E-mark", "load and speed marks", "2 mm", "PART-WORN", "4 mm"):
        assert asked in words
    assert "part-worn" not in findings("supply", market=Market.EU, made=worn)


def test_a_car_tyre_of_twelve_years_is_allowed_by_law():
    found = findings("age", made=TWELVE_YEARS)
    assert found["law"].outcome is Outcome.SUITS
    assert found["law"].words == (
        "For cars the law of Great Britain sets no limit to the age of a tyre."
    )
    assert "SI 2020/1178" in found["law"].source
    assert "12 years" in found["limit"].words


def test_ten_years_may_still_be_the_customers_own_limit():
    car = Spot(customer_limit_months=120)
    assert findings("age", made=TWELVE_YEARS, car=car)["limit"].outcome is Outcome.DOES_NOT_SUIT


@pytest.mark.parametrize("market", [Market.EU, Market.US, Market.OTHER])
def test_of_other_markets_nothing_is_claimed(market):
    found = findings("age", market=market, made=TWELVE_YEARS)["law"]
    assert found.outcome is Outcome.CANNOT_TELL
    assert found.counted is None


@pytest.mark.parametrize(
    ("market", "outcome"),
    [
        (Market.GB, Outcome.CAUTION),
        (Market.EU, Outcome.CAUTION),
        (Market.US, Outcome.DOES_NOT_SUIT),
    ],
)
def test_a_winter_tyre_of_160_kmh_on_a_faster_car(market, outcome):
    fast = Spot(top_speed_kmh=190)
    winter = findings("speed", market=market, car=fast, weather=Weather.WINTER)[""]
    assert winter.outcome is outcome
    summer = findings("speed", market=market, car=fast)[""]
    assert summer.outcome is Outcome.DOES_NOT_SUIT
