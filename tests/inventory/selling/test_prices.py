"""What is charged: the list, less a class, less a step; every part adds up. Quotes freeze it.

The worked sums are of our own making, done by hand: common practice, no source.
"""

from __future__ import annotations

import json
from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.activities.holding.refusals import AnothersCar, NotThatManySets
from inventory.activities.quoting import give_quote, refusals, withdraw_quote
from inventory.availability import Need
from inventory.availability.charging import NOUGHT, Charge, Piece, Terms, charged
from inventory.models.lot import Lot
from inventory.models.pricing import AgeStep, PriceClass
from inventory.models.quote import Quote
from tests.factories.catalogue import SkuFactory
from tests.factories.people import CustomerCarFactory, CustomerFactory, UserFactory
from tests.factories.sending import Shop, figures, four_alike
from tests.factories.when import AT, TODAY

STEPS = ((36, Decimal(10)), (60, Decimal(25)))


def piece(count=1, price="100.00", made=None, code="TB-1", currency="GBP"):
    return Piece(code, count, None if price is None else Decimal(price), currency, made)


class TestCharging:
    def test_the_list(self):
        told = charged([piece(4), piece(4, "21.50")], Terms(), on=TODAY)
        assert told == Charge(Decimal("486.00"), "GBP", NOUGHT, "486.00 by the list")

    def test_a_class(self):
        told = charged([piece(4)], Terms("trade", Decimal("12.5")), on=TODAY)
        assert (told.amount, told.step) == (Decimal("350.00"), NOUGHT)
        assert told.words == "400.00 by the list; 12.5 % off, trade"

    @pytest.mark.parametrize(
        ("made", "amount", "step"),
        [
            (date(2023, 12, 23), "400.00", "0.00"),  # 35 months
            (date(2023, 11, 23), "360.00", "40.00"),  # 36: inclusive
            (date(2021, 12, 23), "360.00", "40.00"),
            (date(2021, 11, 23), "300.00", "100.00"),  # 60: the last step alone
            (None, "400.00", "0.00"),
        ],
    )
    def test_a_step_by_the_age_of_the_tyre(self, made, amount, step):
        told = charged([piece(4, made=made)], Terms(steps=STEPS), on=TODAY)
        assert (told.amount, told.step) == (Decimal(amount), Decimal(step))

    def test_only_the_old_tyres_of_a_set_cost_less(self):
        mixed = [piece(2, made=date(2020, 1, 1)), piece(2, made=date(2025, 1, 1))]
        told = charged(mixed, Terms(steps=STEPS), on=TODAY)
        assert (told.amount, told.step) == (Decimal("350.00"), Decimal("50.00"))
        assert told.words.endswith("2 made 60 months ago or more: 25 % off")

    def test_the_step_is_off_what_the_class_leaves(self):
        terms = Terms("trade", Decimal(10), STEPS)
        told = charged([piece(made=date(2020, 1, 1))], terms, on=TODAY)
        assert (told.amount, told.step) == (Decimal("67.50"), Decimal("22.50"))

    def test_halves_are_rounded_away_from_nought_tyre_by_tyre(self):
        told = charged([piece(3, "0.25")], Terms("trade", Decimal(10)), on=TODAY)
        assert told.amount == Decimal("0.69")  # 0.225 each is 0.23

    def test_no_price_is_no_amount(self):
        told = charged([piece(price=None)], Terms(), on=TODAY)
        assert (told.amount, told.words) == (None, "No price is known for TB-1.")

    def test_two_currencies_are_not_added_up(self):
        told = charged([piece(), piece(currency="EUR")], Terms(), on=TODAY)
        assert told.amount is None
        assert "EUR and GBP" in told.words

    @given(
        st.lists(
            st.builds(
                piece,
                count=st.integers(1, 8),
                price=st.decimals(0, 2000, places=2).map(str),
                made=st.none() | st.dates(date(2015, 1, 1), TODAY),
            ),
            min_size=1,
            max_size=5,
        ),
        st.decimals(0, 90, places=2),
    )
    def test_it_never_costs_more_than_the_list_and_always_adds_up(self, pieces, percent):
        terms = Terms("trade", percent, STEPS)
        told = charged(pieces, terms, on=TODAY)
        listed = sum(one.pieces * one.price for one in pieces)
        assert 0 <= told.amount <= listed
        parts = [charged([one], terms, on=TODAY) for one in pieces]
        assert told.amount == sum(part.amount for part in parts)
        assert told.step == sum(part.step for part in parts)


@pytest.mark.django_db
class TestQuotes:
    @pytest.fixture
    def sku(self):
        return SkuFactory()

    def give(self, sku, **told):
        told = {"customer": CustomerFactory(), "good_until": TODAY, **told}
        told = {"need": Need(None, four_alike(sku)), "by": UserFactory(), "at": AT, **told}
        return give_quote(what="four alike", **told)

    def test_it_keeps_answer_reasons_and_price(self, sku):
        shop = Shop()
        lot = shop.stock(9, sku=sku, date_code="1023")
        AgeStep.objects.create(from_months=36, percent_off=Decimal(10))
        trade = PriceClass.objects.create(code="T", name="trade", percent_off=Decimal(10))
        said = {"use": "road", "reasons": ["The size is listed."]}
        quote = self.give(sku, sets=2, said=said, customer=CustomerFactory(price_class=trade))
        assert (quote.price, quote.currency, quote.sets) == (Decimal("612.36"), "GBP", 2)
        assert figures(lot, shop.racks[0]) == (9, 0)
        sku.price = Decimal("1.00")
        sku.save()
        kept = Quote.objects.get().answer
        assert json.loads(json.dumps(kept)) == kept
        assert (kept["use"], kept["reasons"]) == ("road", ["The size is listed."])
        assert kept["stock"]["sets"] == 2
        assert kept["stock"]["chosen"][0]["lot"]["date_code"] == "1023"
        assert kept["stock"]["price"]["amount"] == "756.00"

    def test_what_is_not_in_stock_is_quoted_by_the_list(self, sku):
        quote = self.give(sku)
        assert quote.price == Decimal("756.00")
        assert quote.answer["stock"]["reason"]

    def test_without_a_price(self):
        quote = self.give(SkuFactory(unpriced=True))
        assert (quote.price, quote.currency) == (None, "")
        assert quote.price_words.startswith("No price is known for")

    @pytest.mark.parametrize("days", [-1, 400])
    def test_a_day_that_has_been_or_is_years_away(self, sku, days):
        with pytest.raises(refusals.NotGoodUntilThen, match="a day to come"):
            self.give(sku, good_until=TODAY + timedelta(days=days))

    @pytest.mark.parametrize("sets", [0, -1, 2.5, 10**9])
    def test_odd_numbers_of_sets(self, sku, sets):
        with pytest.raises(NotThatManySets):
            self.give(sku, sets=sets)

    def test_anothers_car(self, sku):
        with pytest.raises(AnothersCar):
            self.give(sku, car=CustomerCarFactory())

    def test_it_is_withdrawn_once_and_for_a_reason(self, sku):
        quote, by = self.give(sku), UserFactory()
        with pytest.raises(refusals.SayWhyWithdrawn):
            withdraw_quote(quote=quote, why=" ", by=by, at=AT)
        withdraw_quote(quote=quote, why="the list was wrong", by=by, at=AT)
        with pytest.raises(refusals.QuoteHasEnded, match="the list was wrong"):
            withdraw_quote(quote=quote, why="again", by=by, at=AT)
        assert not Lot.objects.exists()
