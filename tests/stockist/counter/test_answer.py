"""Which tyre, and have you got it? Offers, sets, verdicts and their order."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from fitments.activities import organisers
from fitments.lookup.span import read_span
from fitments.lookup.spots import AsItStands
from fitments.rules.values import Axle, Outcome
from inventory.models.sku import SkuStatus
from inventory.sets import BadRecipe, Prefer
from stockist.counter.answer import Question, which_tyre
from stockist.counter.wishes import AnchorWish, Wishes
from tests.factories.approvals import CompetitionClassFactory
from tests.factories.cars import FitmentFactory, VariantFactory
from tests.factories.catalogue import CompanionFactory, SkuFactory
from tests.factories.people import UserFactory
from tests.factories.stock import stock_in
from tests.factories.when import AT, TODAY

pytestmark = pytest.mark.django_db


def asked(car, built="June 1964", **more):
    return which_tyre(Question(variant=car, built=read_span(built), **more), at=AT)


def offers(car, **more):
    [part] = asked(car, **more).parts
    return part.offers


def test_a_fitted_tyre_with_a_set_in_stock(car, sku, set_on_shelf, approved):
    [offer] = offers(car)
    assert offer.skus == (sku,)
    assert offer.verdict.outcome is Outcome.SUITS
    assert offer.in_stock == 1
    assert {(one.for_place, one.quantity) for one in offer.sets.chosen} == {
        ("front", 2),
        ("rear", 2),
    }
    assert offer.sets.price.amount == 4 * sku.price
    assert sum(lot.free for lot in offer.lots) == 5


def test_without_a_tyre_in_the_catalogue_there_is_no_offer(car):
    assert offers(car) == ()


def test_five_tyres_that_do_not_match_are_no_set_and_the_reason_is_said(car, sku):
    for code in ("1425", "0425", "4424", "1424", "4423"):
        stock_in(on_hand=1, sku=sku, date_code=code)
    [offer] = offers(car, wishes=Wishes(tolerance_weeks=4))
    assert offer.in_stock == 0
    assert offer.sets.reason


def test_the_tolerance_is_the_customers(car, sku):
    for code in ("1425", "2025"):
        stock_in(on_hand=2, sku=sku, date_code=code)
    assert offers(car)[0].in_stock == 1
    assert offers(car, wishes=Wishes(car_tolerance_weeks=4, tolerance_weeks=4))[0].in_stock == 0
    assert offers(car, wishes=Wishes(same_delivery=True))[0].in_stock == 1


def test_wishes_that_contradict_one_another_are_refused(car, sku):
    with pytest.raises(BadRecipe, match="wider"):
        offers(car, wishes=Wishes(tolerance_weeks=52, car_tolerance_weeks=4))


def test_too_old_for_the_house_is_not_promised(car, sku):
    stock_in(on_hand=4, sku=sku, date_code="1217")
    stands = AsItStands(house_limit_months=72)
    assert offers(car)[0].in_stock == 1
    assert offers(car, stands=stands)[0].in_stock == 0


def test_the_strictest_limit_holds(car):
    strict = CompetitionClassFactory(age_limit_months=24)
    stands = AsItStands(house_limit_months=72, customer_limit_months=36)
    question = Question(
        variant=car, built=read_span("1964"), stands=stands, competition_class=strict
    )
    assert question.limit_months == 24
    assert Question(variant=car, built=read_span("1964")).limit_months is None


def test_newest_first_where_it_is_preferred(car, sku):
    stock_in(on_hand=4, sku=sku, date_code="1425")
    stock_in(on_hand=4, sku=sku, date_code="1426", received_on=TODAY)
    oldest = offers(car)[0].sets.chosen[0].lot.date_code
    newest = offers(car, wishes=Wishes(prefer=Prefer.NEWEST))[0].sets.chosen[0].lot.date_code
    assert (oldest, newest) == ("1425", "1426")


def test_one_more_beside_the_tyre_that_stays(car, sku):
    stock_in(on_hand=1, sku=sku, date_code="1425")
    stock_in(on_hand=1, sku=sku, date_code="4426", received_on=TODAY)
    week = stock_in(on_hand=1, sku=sku, date_code="1625").lot.week_index
    anchor = AnchorWish(Axle.FRONT, week, "1625")
    [offer] = offers(car, wishes=Wishes(front=1, rear=0, anchor=anchor, tolerance_weeks=4))
    assert offer.in_stock == 2
    assert offer.sets.chosen[0].lot.date_code == "1425"


def test_tubes_are_part_of_the_set_its_price_and_its_promise(car, pattern):
    tyre = SkuFactory(pattern=pattern, maker=pattern.maker, tube_type=True, price=Decimal(100))
    tube = SkuFactory(tube_kind=True, price=Decimal(20))
    CompanionFactory(tyre=tyre, companion=tube)
    stock_in(on_hand=8, sku=tyre)
    stock_in(on_hand=6, sku=tube, date_code="")
    [offer] = offers(car)
    assert offer.in_stock == 1
    assert offer.sets.price.amount == Decimal(480)


def staggered():
    variant = VariantFactory(with_wheels=True)
    FitmentFactory(variant=variant)
    FitmentFactory(variant=variant, rear=True, size_text="195/65 R 15")
    return variant


def test_fronts_and_rears_of_one_pattern_are_offered_together(pattern):
    front = SkuFactory(pattern=pattern, maker=pattern.maker)
    rear = SkuFactory(pattern=pattern, maker=pattern.maker, size_text="195/65 R 15 91V")
    stock_in(on_hand=4, sku=front)
    stock_in(on_hand=2, sku=rear)
    [offer] = offers(staggered())
    assert offer.skus == (front, rear)
    assert offer.in_stock == 1


def test_a_rear_of_another_mark_issue_is_offered_only_where_its_own_has_none(pattern):
    def tyre(issue, size_text):
        more = {"pattern": pattern, "maker": pattern.maker, "size_text": size_text}
        return SkuFactory(mark="HLM", mark_issue=issue, **more)

    front = tyre("2", "185/70 R 15 89V")
    other = tyre("3", "195/65 R 15 91V")
    car = staggered()
    [part] = asked(car).parts
    assert (front, other) in [one.skus for one in (*part.offers, *part.refused)]
    own = tyre("2", "195/65 R 15 91V")
    [part] = asked(car).parts
    pairs = [one.skus for one in (*part.offers, *part.refused)]
    assert (front, own) in pairs
    assert (front, other) not in pairs


def test_a_front_whose_rear_is_not_made_is_said_to_be_half_a_car(pattern):
    front = SkuFactory(pattern=pattern, maker=pattern.maker)
    stock_in(on_hand=4, sku=front)
    [offer] = offers(staggered())
    assert [one.axle for one in offer.offer.axles] == [Axle.FRONT]


def test_left_and_right_are_one_offer(car, pattern):
    left = SkuFactory(pattern=pattern, maker=pattern.maker, left=True)
    right = SkuFactory(pattern=pattern, maker=pattern.maker, right=True)
    stock_in(on_hand=5, sku=left)
    stock_in(on_hand=2, sku=right)
    [offer] = offers(car)
    assert set(offer.skus) == {left, right}
    assert offer.in_stock == 1


def test_a_rear_only_tyre_is_offered_for_no_front(car, pattern):
    SkuFactory(pattern=pattern, maker=pattern.maker, rear_only=True)
    assert all(one.offer.at(Axle.FRONT) is None for one in offers(car))


def test_listed_sizes_come_before_computed_ones_whatever_speaks_for_those(car, sku, pattern):
    other = SkuFactory(
        pattern=pattern, maker=pattern.maker, size_text="195/65 R 15 91V", price=Decimal(1)
    )
    stock_in(on_hand=4, sku=other)
    found = [one.skus for one in offers(car)]
    assert found[0] == (sku,)
    assert (other,) in found


def test_what_is_in_stock_comes_before_what_is_not(car, sku, set_on_shelf):
    empty = SkuFactory(price=Decimal(1))
    found = [one.skus for one in offers(car)]
    assert found == [(sku,), (empty,)]


def test_too_slow_a_tyre_is_told_as_looked_at_and_refused(car):
    slow = SkuFactory(size_text="185/70 R 15 89Q")
    [part] = asked(car).parts
    assert part.offers == ()
    assert [one.skus for one in part.refused] == [(slow,)]


def test_discontinued_is_offered_only_while_some_are_left(car, sku):
    sku.status = SkuStatus.DISCONTINUED
    sku.save()
    assert offers(car) == ()
    stock_in(on_hand=1, sku=sku)
    assert [one.skus for one in offers(car)] == [(sku,)]


def test_the_year_of_a_change_gets_both_answers():
    variant = VariantFactory(with_wheels=True)
    FitmentFactory(variant=variant, built_to=date(1964, 3, 14))
    FitmentFactory(variant=variant, built_from=date(1964, 3, 15), size_text="195/65 R 15")
    answer = asked(variant, "1964")
    assert [part.built.words for part in answer.parts] == [
        "1 January 1964 to 14 March 1964",
        "15 March 1964 to 31 December 1964",
    ]
    assert answer.dividing_days == (date(1964, 3, 15),)


def test_the_age_of_the_very_tyres_is_judged(car, sku):
    stock_in(on_hand=4, sku=sku, date_code="1425")
    [offer] = offers(car, stands=AsItStands(house_limit_months=72))
    [age, *_] = offer.verdict.by_rule["age"]
    assert "1 year 7 months" in age.words


def test_as_many_queries_for_many_offers_as_for_few(car, sku, set_on_shelf, same_queries):
    def more():
        for _ in range(5):
            stock_in(on_hand=4, sku=SkuFactory())
            stock_in(on_hand=4, sku=SkuFactory(size_text="195/65 R 15 91V"))

    stock_in(on_hand=4, sku=SkuFactory(size_text="195/65 R 15 91V"))
    assert same_queries(lambda: asked(car), more) == 14


def test_a_past_day_is_answered_by_the_terms_of_the_class_that_stood_then(car, sku, set_on_shelf):
    """The limit was misread as five years and put right: who asks about before gets five."""
    ran = CompetitionClassFactory(age_limit_months=60)
    then = ran.versions.get().known.lower
    organisers.change_class(
        competition_class=ran, age_limit_months=72, buffing_allowed=True, by=UserFactory(), at=AT
    )
    ran.refresh_from_db()
    assert asked(car, competition_class=ran, known_on=then).question.limit_months == 60
    later = ran.versions.get(known__upper_inf=True).known.lower
    answer = asked(car, competition_class=ran, known_on=later)
    assert answer.question.limit_months == 72
    assert answer.parts[0].spots[Axle.FRONT].competition_class.buffing_allowed is True
