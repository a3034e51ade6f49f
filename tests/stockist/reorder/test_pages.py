"""The buyer's pages: what will run out, one SKU, the season, what grows old."""

from __future__ import annotations

import io
from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.utils import timezone
from openpyxl import Workbook, load_workbook

from inventory.models.alert import Alert, AlertOverride
from inventory.models.season import SeasonChange
from tests.factories.buying import PriceBreakFactory, SupplierTermsFactory
from tests.factories.catalogue import SkuFactory
from tests.factories.planning import (
    AlertFactory,
    AlertOverrideFactory,
    EarlierSalesFactory,
    EventFactory,
    SeasonChangeFactory,
    SeasonFactory,
)

pytestmark = pytest.mark.django_db
LATER = (timezone.localdate() + timedelta(days=30)).isoformat()


@pytest.fixture
def buyer(signed_in):
    return signed_in("buyer")


def body(answer, status=200):
    assert answer.status_code == status, answer.content.decode()[:3000]
    return answer.content.decode()


def rows_of(answer):
    book = load_workbook(io.BytesIO(answer.content))
    return [list(row) for row in book.active.iter_rows(values_only=True)]


class TestList:
    """/reorder/"""

    def test_the_most_urgent_first_and_late_in_words(self, buyer):
        today = timezone.localdate()
        AlertFactory(sku__code="SOON", order_by=today + timedelta(days=3))
        AlertFactory(sku__code="LATE", order_by=today - timedelta(days=2))
        AlertFactory(sku__code="HURRY", order_by=None)
        AlertFactory(sku__code="OVER", ended=True)
        page = body(buyer.get("/reorder/"))
        assert page.index("LATE") < page.index("SOON") < page.index("HURRY")
        assert "✕ late by 2 days" in page
        assert "! 3 days left" in page
        assert "nothing to order: hurry what is on order" in page
        assert "OVER" not in page

    def test_filtered_and_put_in_order(self, buyer):
        AlertFactory(sku__code="AAA", cause="season", cost=Decimal(10))
        AlertFactory(sku__code="BBB", cost=Decimal(90))
        left = AlertFactory(sku__code="CCC", left=True)
        Alert.objects.filter(pk=left.pk).update(left_until=date(2999, 1, 1))
        page = body(buyer.get("/reorder/", {"cause": "season"}))
        assert "AAA" in page
        assert "BBB" not in page
        page = body(buyer.get("/reorder/", {"by": "cost"}))
        assert page.index("BBB") < page.index("AAA")
        assert "CCC" not in page
        assert "CCC" in body(buyer.get("/reorder/", {"shown": "left"}))
        assert "CCC" in body(buyer.get("/reorder/", {"shown": "all", "q": "ccc"}))
        assert "Nothing like that stands." in body(buyer.get("/reorder/", {"q": "nowhere"}))

    def test_paged_in_a_fixed_number_of_queries(self, buyer, same_queries):
        AlertOverrideFactory()
        look = lambda: body(buyer.get("/reorder/"))  # noqa: E731
        assert same_queries(look, lambda: AlertFactory.create_batch(12)) <= 14
        AlertFactory.create_batch(40)
        assert "Page 1 of 2" in body(buyer.get("/reorder/"))
        assert "Page 2 of 2" in body(buyer.get("/reorder/?page=2"))

    def test_before_the_first_night(self, buyer):
        assert "nothing was reckoned yet" in body(buyer.get("/reorder/"))

    @pytest.mark.parametrize("role", ["counter", "warehouse"])
    def test_prices_of_buying_are_the_buyers(self, signed_in, role):
        assert signed_in(role).get("/reorder/").status_code == 403
        assert signed_in(role).get("/season/").status_code == 403


class TestSpreadsheet:
    """Out, and back in with the buyer's own numbers."""

    def test_nothing_in_it_starts_a_formula(self, buyer):
        AlertFactory(sku__code="=1+1", sentence="=cmd()")
        row = rows_of(buyer.get("/reorder/reorder.xlsx"))[1]
        assert (row[0], row[4]) == ("'=1+1", "'=cmd()")

    def test_there_and_back(self, buyer):
        alert = AlertFactory(sku__code="T-1", pieces=8)
        AlertFactory(sku__code="T-2")
        rows = rows_of(buyer.get("/reorder/reorder.xlsx"))
        assert rows[0][0] == "SKU"
        own, why = rows[0].index("buyer's own"), rows[0].index("why another")
        line = next(row for row in rows if row[0] == "T-1")
        line[own], line[why] = 12, "a club rang"
        answer = self.bring(buyer, rows)
        assert answer.status_code == 302
        said = AlertOverride.objects.get()
        assert (said.alert, said.pieces, said.tool_pieces, said.why) == (
            alert,
            12,
            8,
            "a club rang",
        )
        page = body(buyer.get("/reorder/"))
        assert "1 of your own numbers kept" in page
        assert "tool: 8" in page
        # What comes back a second time says nothing new.
        self.bring(buyer, rows_of(buyer.get("/reorder/reorder.xlsx")), key="2")
        assert AlertOverride.objects.count() == 1

    @pytest.mark.parametrize(
        ("pieces", "why", "told"),
        [
            (12, "", "say why another number is ordered"),
            (-1, "x", "0 to 100,000"),
            ("many", "x", "not a whole number"),
            (1, "x" * 241, "longer than 240"),
        ],
    )
    def test_all_or_nothing(self, buyer, pieces, why, told):
        AlertFactory(sku__code="T-1")
        AlertFactory(sku__code="T-2")
        rows = [["SKU", "buyer's own", "why another"], ["T-1", 4, "good"], ["T-2", pieces, why]]
        page = body(self.bring(buyer, rows), 422)
        assert told in page
        assert not AlertOverride.objects.exists()

    def test_what_stands_no_more_is_told(self, buyer):
        AlertFactory(sku__code="T-1", ended=True)
        rows = [["SKU", "buyer's own", "why another"], ["T-1", 4, "good"]]
        assert "no alert of T-1 stands any more" in body(self.bring(buyer, rows), 422)

    def bring(self, client, rows, key="1"):
        book = Workbook()
        for row in rows:
            book.active.append(row)
        file = io.BytesIO()
        book.save(file)
        file.seek(0)
        file.name = "reorder.xlsx"
        return client.post("/reorder/bring-back/", {"file": file, "idempotency_key": key})


class TestSku:
    """/reorder/skus/…/"""

    def test_every_number_behind_it_in_words(self, buyer):
        alert = AlertFactory()
        EarlierSalesFactory(sku=alert.sku, month=last_month(), sold=7, asked_in_vain=2)
        page = body(buyer.get(f"/reorder/skus/{alert.sku_id}/"))
        for words in (
            alert.sentence,
            "x1.3 of road tyres, 4 years, 1,240 pieces in the category",
            "83 % of the forecast is its own history",
            "60 % without the order, 4 % with it",
            "8 by PO-00007, due 2027-04-01: too late",
            "so it is in the plan",
            "<dt>may run out from</dt>",
            "with the least of 8: 8; in packs of 4: 8; 2 more than needed, 190.00",
            "! No price known",
            'role="img"',
            "Stock in time, week by week",
            "Days with none",
        ):
            assert words in page, words

    def test_one_that_is_not_at_risk(self, buyer):
        page = body(buyer.get(f"/reorder/skus/{SkuFactory().pk}/"))
        assert "✓ its stock lasts" in page
        assert "No book tells of it" in page
        page = body(buyer.get(f"/reorder/skus/{SkuFactory(status='last_stock').pk}/"))
        assert "not made any more" in page

    def test_seen_to_left_and_another_number(self, buyer):
        alert = AlertFactory()
        at = f"/reorder/skus/{alert.sku_id}/"
        assert buyer.post(f"{at}seen/", {"idempotency_key": "1"}).status_code == 302
        said = {"until": LATER, "why": "the maker rings", "idempotency_key": "2"}
        assert buyer.post(f"{at}leave/", said).status_code == 302
        said = {"pieces": 12, "why": "a club rang", "idempotency_key": "3"}
        for _ in range(2):  # twice sent, done once
            assert buyer.post(f"{at}own-number/", said).status_code == 302
        page = body(buyer.get(at))
        assert "sees to it since" in page
        assert "the maker rings" in page
        assert "12 in place of 8" in page
        assert AlertOverride.objects.count() == 1

    def test_what_is_refused_is_told(self, buyer):
        alert = AlertFactory()
        at = f"/reorder/skus/{alert.sku_id}/"
        past = {"until": "2020-01-01", "why": "x", "idempotency_key": "1"}
        assert "after today" in body(buyer.post(f"{at}leave/", past), 400)
        nothing = {"pieces": 4, "why": "", "idempotency_key": "2"}
        assert "required" in body(buyer.post(f"{at}own-number/", nothing), 400)
        alert.ended_at = timezone.now()
        alert.save()
        assert buyer.post(f"{at}seen/", {"idempotency_key": "3"}).status_code == 404


def last_month():
    first = timezone.localdate().replace(day=1) - timedelta(days=1)
    return first.replace(day=1)


class TestSeason:
    """/season/"""

    def test_what_each_month_counts_for_and_the_calendar(self, buyer):
        SeasonFactory(name="Season 2027", last_day=date(2999, 9, 30))
        EventFactory(
            name="Spring hill climb", first_day=date(2999, 4, 1), last_day=date(2999, 4, 2)
        )
        page = body(buyer.get("/season/"))
        assert "Season 2027" in page
        assert "Spring hill climb" in page
        assert "race tyres for the wet" in page
        assert "Nothing is said to be otherwise" in page

    def test_a_change_is_said_and_taken_back(self, buyer):
        said = {
            "category": "road", "first_day": LATER, "last_day": LATER, "percent": 30,
            "why": "a jubilee", "idempotency_key": "1",
        }  # fmt: skip
        assert buyer.post("/season/changes/", said).status_code == 302
        change = SeasonChange.objects.get()
        assert "+30 %" in body(buyer.get("/season/"))
        back = f"/season/changes/{change.pk}/take-back/"
        assert "Say why" in body(buyer.post(back, {"idempotency_key": "2"}), 400)
        assert buyer.post(back, {"why": "put off", "idempotency_key": "3"}).status_code == 302
        assert "+30 %" not in body(buyer.get("/season/"))
        again = buyer.post(back, {"why": "again", "idempotency_key": "4"})
        assert "taken back already" in body(again, 409)

    def test_a_change_of_nought_is_told_beside_its_field(self, buyer):
        said = {
            "category": "road", "first_day": LATER, "last_day": LATER, "percent": 0,
            "why": "x", "idempotency_key": "1",
        }  # fmt: skip
        assert "not of nought" in body(buyer.post("/season/changes/", said), 400)
        assert not SeasonChange.objects.exists()

    def test_the_plan_within_the_money(self, buyer):
        SeasonFactory(last_day=timezone.localdate() + timedelta(days=250), budget=Decimal(2000))
        sku = SkuFactory(code="T-1", price=Decimal(130))
        PriceBreakFactory(terms=SupplierTermsFactory(sku=sku), unit_price=Decimal(80))
        for n in range(1, 13):
            month = (last_month() - timedelta(days=30 * n)).replace(day=1)
            EarlierSalesFactory(sku=sku, month=month, sold=6)
        page = body(buyer.get("/season/plan/"))
        assert "T-1" in page
        assert "No order within this money" in page
        heads, *lines = rows_of(buyer.get("/season/plan.xlsx"))
        assert heads[0] == "SKU"
        assert [(line[0], line[6]) for line in lines] == [("T-1", "GBP")]
        assert 0 < lines[0][5] <= 2000
        assert "Within this money nothing is worth ordering" in body(
            buyer.get("/season/plan/", {"money": "1"})
        )

    def test_without_money_or_season(self, buyer):
        assert "No money is told" in body(buyer.get("/season/plan/"))
        assert buyer.get("/season/plan.xlsx").status_code == 404
        assert "No season is entered" in body(buyer.get("/season/"))

    def test_a_change_that_stands_is_told_with_who_and_why(self, buyer):
        change = SeasonChangeFactory(last_day=date(2999, 1, 1))
        page = body(buyer.get("/season/"))
        assert change.why in page
        assert str(change.made_by) in page
