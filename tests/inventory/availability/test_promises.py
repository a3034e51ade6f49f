"""Which complete sets can be promised: of what lies there, with what goes with it, priced."""

from __future__ import annotations

from dataclasses import FrozenInstanceError
from datetime import UTC, date, datetime
from decimal import Decimal

import pytest

from inventory.availability import Need, mark_text, promises
from inventory.markings.datecode import oldest_allowed_week
from inventory.sets.recipe import Anchor, Prefer, Recipe, RecipePlace
from tests.factories.catalogue import CompanionFactory, SkuFactory
from tests.factories.places import PlaceFactory, SiteFactory
from tests.factories.stock import BlockFactory, LotFactory, stock_in
from tests.factories.when import AT, TODAY

pytestmark = pytest.mark.django_db


def four_of(sku, *, key="four", tolerance=26, **more):
    need = {name: more.pop(name) for name in ("site_id", "rim_kind", "valve") if name in more}
    place = RecipePlace("all round", (sku.pk,), 4, tolerance_weeks=tolerance)
    return Need(key, Recipe((place,), **more), **need)


def staggered(front, rear, **more):
    places = (RecipePlace("front", (front.pk,), 2), RecipePlace("rear", (rear.pk,), 2))
    return Need("staggered", Recipe(places, **more))


def ask(need, at=AT):
    (answer,) = promises([need], at=at)
    return answer


def test_nothing_asked():
    assert promises([], at=AT) == []


def test_one_set_with_the_lots_it_is_made_of():
    place = PlaceFactory(code="R3-B", site__code="MAIN")
    lot = LotFactory(date_code="1425", marked=True)
    stock_in(lot=lot, place=place, on_hand=5)
    answer = ask(four_of(lot.sku))
    assert (answer.sets, answer.bound, answer.exact, answer.reason) == (1, 1, True, "")
    assert answer.pieces == (("all round", 5),)
    (chosen,) = answer.chosen
    assert (chosen.for_place, chosen.quantity) == ("all round", 4)
    assert (chosen.lot.code, chosen.lot.date_code) == (lot.code, "1425")
    assert (chosen.lot.first_day, chosen.lot.last_day) == (date(2025, 4, 6), date(2025, 4, 12))
    assert (chosen.lot.site, chosen.lot.place) == ("MAIN", "R3-B")
    assert str(chosen.lot.age) == "1 year 7 months"
    assert mark_text(chosen.lot.mark, chosen.lot.mark_issue) == "HLM issue 2"


def test_four_in_stock_is_not_a_set_in_stock():
    sku = SkuFactory()
    for code in ("1020", "1421", "1022", "1425"):
        stock_in(on_hand=1, sku=sku, date_code=code)
    answer = ask(four_of(sku))
    assert (answer.sets, answer.chosen, dict(answer.pieces)) == (0, (), {"all round": 4})
    assert "weeks" in answer.reason


def test_an_empty_shelf_says_so():
    answer = ask(four_of(SkuFactory()))
    assert answer.sets == 0
    assert answer.reason
    assert dict(answer.pieces) == {"all round": 0}


def test_held_tyres_are_not_promised_again():
    sku = SkuFactory()
    stock_in(on_hand=8, held=5, sku=sku)
    assert ask(four_of(sku)).sets == 0
    stock_in(on_hand=1, sku=sku)
    assert ask(four_of(sku)).sets == 1


@pytest.mark.parametrize(
    "lot",
    [
        {"customers": True},
        {"consigned": True},
        {"fitted": True},
        {"buffed": True},
        {"display": True},
    ],
)
def test_only_the_houses_own_new_tyres(lot):
    sku = SkuFactory()
    stock_in(on_hand=4, sku=sku, **lot)
    answer = ask(four_of(sku))
    assert (answer.sets, dict(answer.pieces)) == (0, {"all round": 0})


@pytest.mark.parametrize("kind", ["quarantine", "despatch", "in_transit"])
def test_only_what_lies_in_racks_and_goods_in(kind):
    sku = SkuFactory()
    stock_in(on_hand=4, sku=sku, place=PlaceFactory(**{kind: True}))
    assert ask(four_of(sku)).sets == 0
    stock_in(on_hand=4, sku=sku, place=PlaceFactory(goods_in=True))
    assert ask(four_of(sku)).sets == 1


def test_a_blocked_lot_is_not_promised_until_the_block_is_lifted():
    blocked, freed = LotFactory(), LotFactory()
    BlockFactory(lot=blocked)
    BlockFactory(lot=freed, lifted=True)
    for lot in (blocked, freed):
        stock_in(lot=lot, on_hand=4)
    first, second = promises([four_of(blocked.sku), four_of(freed.sku)], at=AT)
    assert (first.sets, second.sets) == (0, 1)


def test_one_site_or_all():
    here, there = SiteFactory(), SiteFactory(van=True)
    sku = SkuFactory()
    lot = LotFactory(sku=sku)
    stock_in(lot=lot, on_hand=2, place=PlaceFactory(site=here))
    stock_in(lot=lot, on_hand=6, place=PlaceFactory(site=there))
    answers = promises(
        [four_of(sku), four_of(sku, site_id=here.pk), four_of(sku, site_id=there.pk)], at=AT
    )
    assert [answer.sets for answer in answers] == [2, 0, 1]
    assert {part.lot.site for part in answers[2].chosen} == {there.code}


def test_the_oldest_acceptable_stock_goes_first_unless_the_newest_is_preferred():
    sku = SkuFactory()
    for code in ("1023", "4024"):
        stock_in(on_hand=4, sku=sku, date_code=code)
    old, new = promises([four_of(sku), four_of(sku, prefer=Prefer.NEWEST)], at=AT)
    assert [old.chosen[0].lot.date_code, new.chosen[0].lot.date_code] == ["1023", "4024"]


def test_nothing_over_the_age_limit():
    sku = SkuFactory()
    stock_in(on_hand=4, sku=sku, date_code="1017")
    stock_in(on_hand=4, sku=sku, undated=True)
    limit = oldest_allowed_week(limit_years=6, on=TODAY)
    assert ask(four_of(sku)).sets == 2
    assert ask(four_of(sku, oldest_week=limit)).sets == 0
    assert ask(four_of(sku, oldest_week=limit, allow_undated=True)).sets == 1


def test_undated_tyres_match_within_a_delivery():
    sku = SkuFactory()
    for delivery in ("D-7", "D-8"):
        stock_in(on_hand=2, sku=sku, undated=True, delivery=delivery)
    assert ask(four_of(sku)).sets == 0
    stock_in(on_hand=2, sku=sku, undated=True, delivery="D-7")
    assert ask(four_of(sku)).sets == 1


def test_an_unknown_decade_never_meets_a_dated_tyre():
    sku = SkuFactory()
    stock_in(on_hand=2, sku=sku, decade_unknown=True)
    stock_in(on_hand=2, sku=sku, date_code="1425")
    assert ask(four_of(sku)).sets == 0


def test_marks_are_not_mixed_on_an_axle():
    sku = SkuFactory()
    stock_in(on_hand=3, sku=sku, mark="HLM", mark_issue="1")
    stock_in(on_hand=3, sku=sku, mark="HLM", mark_issue="2")
    assert ask(four_of(sku)).sets == 0
    place = RecipePlace("rear", (sku.pk,), 2, marks=(mark_text("HLM", "2"),))
    answer = ask(Need("pair", Recipe((place,))))
    assert answer.sets == 1
    assert answer.chosen[0].lot.mark_issue == "2"


def handed_pair(left, right, count=1):
    place = RecipePlace("rear", (left.pk, right.pk), left=count, right=count)
    return Need("handed", Recipe((place,)))


@pytest.fixture
def hands():
    left = SkuFactory(left=True)
    right = SkuFactory(right=True, maker=left.maker, pattern=left.pattern, price=Decimal(191))
    return left, right


def test_left_and_right_of_one_build_are_a_pair(hands):
    stock_in(on_hand=3, sku=hands[0])
    assert ask(handed_pair(*hands)).sets == 0
    stock_in(on_hand=2, sku=hands[1])
    answer = ask(handed_pair(*hands))
    assert answer.sets == 2
    assert {part.lot.sku_id for part in answer.chosen} == {hand.pk for hand in hands}
    assert answer.price.amount == 189 + 191


def test_the_price_of_a_handed_pair_without_stock(hands):
    assert ask(handed_pair(*hands, count=2)).price.amount == 2 * 189 + 2 * 191


def test_left_of_one_build_and_right_of_another_are_no_pair(hands):
    other = SkuFactory(right=True)
    stock_in(on_hand=3, sku=hands[0])
    stock_in(on_hand=3, sku=other)
    assert ask(handed_pair(hands[0], other)).sets == 0


def test_a_handed_tyre_already_on_the_car(hands):
    stock_in(on_hand=1, sku=hands[1], date_code="1425")
    anchor = Anchor("rear", week=LotFactory(date_code="1025").week_index, sku=hands[0].pk)
    place = RecipePlace("rear", (hands[0].pk, hands[1].pk), right=1)
    assert ask(Need("the other", Recipe((place,), anchors=(anchor,)))).sets == 1


def test_staggered():
    front, rear = SkuFactory(), SkuFactory(size_text="195/70 R 15 91V")
    stock_in(on_hand=5, sku=front)
    stock_in(on_hand=2, sku=rear)
    answer = ask(staggered(front, rear))
    assert answer.sets == 1
    assert [(part.for_place, part.quantity) for part in answer.chosen] == [
        ("front", 2),
        ("rear", 2),
    ]
    assert dict(answer.pieces) == {"front": 5, "rear": 2}


def test_one_more_like_the_one_on_the_car():
    sku = SkuFactory()
    stock_in(on_hand=3, sku=sku, date_code="1419")
    near = stock_in(on_hand=1, sku=sku, date_code="2025").lot
    place = RecipePlace("rear", (sku.pk,), 1)
    answer = ask(Need("one", Recipe((place,), anchors=(Anchor("rear", week=near.week_index - 6),))))
    assert answer.sets == 1
    assert answer.chosen[0].lot.code == near.code


def test_answers_come_in_the_order_of_the_needs():
    skus = SkuFactory.create_batch(3)
    for number, sku in enumerate(skus):
        stock_in(on_hand=4 * number or 1, sku=sku)
    answers = promises([four_of(sku, key=sku.code) for sku in reversed(skus)], at=AT)
    assert [answer.key for answer in answers] == [sku.code for sku in reversed(skus)]
    assert [answer.sets for answer in answers] == [2, 1, 0]


def test_the_day_is_the_shops():
    """Half past eleven at night in UTC is the next day in a London summer."""
    lot = LotFactory(date_code="1425")
    stock_in(lot=lot)
    night = datetime(2026, 6, 30, 23, 30, tzinfo=UTC)
    answer = ask(four_of(lot.sku), at=night)
    assert answer.chosen[0].lot.asked_on == date(2026, 7, 1)


def test_answers_do_not_change():
    stock_in(lot=(lot := LotFactory()))
    answer = ask(four_of(lot.sku))
    with pytest.raises(FrozenInstanceError):
        answer.sets = 9
    assert hash(answer.chosen[0].lot)


def test_as_many_queries_for_twice_the_needs(same_queries):
    skus = SkuFactory.create_batch(2)
    needs = [four_of(sku) for sku in skus]

    def more():
        for sku in SkuFactory.create_batch(4):
            stock_in(on_hand=4, sku=sku)
            CompanionFactory(tyre=sku)
            needs.append(four_of(sku))

    more()
    assert same_queries(lambda: promises(needs, at=AT), more) == 3


class TestPrice:
    def test_four_tyres(self):
        sku = SkuFactory(price=Decimal("189.50"))
        stock_in(sku=sku)
        price = ask(four_of(sku)).price
        assert (price.amount, price.currency, price.reason) == (Decimal("758.00"), "GBP", "")

    def test_what_must_go_with_them_is_in_it(self):
        sku = SkuFactory(price=Decimal(100))
        CompanionFactory(tyre=sku, companion__price=Decimal("21.50"))
        CompanionFactory(tyre=sku, may=True, companion__price=Decimal(9))
        assert ask(four_of(sku)).price.amount == Decimal("486.00")

    def test_without_stock_the_price_is_still_told(self):
        assert ask(four_of(SkuFactory(price=Decimal(50)))).price.amount == 200

    def test_staggered_prices_add_up(self):
        front, rear = SkuFactory(price=Decimal(100)), SkuFactory(price=Decimal(120))
        assert ask(staggered(front, rear)).price.amount == 440

    def test_the_price_of_what_is_chosen(self):
        dear, cheap = SkuFactory(price=Decimal(200)), SkuFactory(price=Decimal(100))
        stock_in(sku=cheap)
        place = RecipePlace("all round", (dear.pk, cheap.pk), 4)
        assert ask(Need("either", Recipe((place,)))).price.amount == 400

    def test_no_price_is_said_and_by_which(self):
        sku = SkuFactory(unpriced=True, code="TB-NOPRICE")
        price = ask(four_of(sku)).price
        assert price.amount is None
        assert price.reason == "No price is known for TB-NOPRICE."

    def test_currencies_are_not_added_up(self):
        front, rear = SkuFactory(currency="EUR"), SkuFactory()
        price = ask(staggered(front, rear)).price
        assert price.amount is None
        assert "EUR and GBP" in price.reason
