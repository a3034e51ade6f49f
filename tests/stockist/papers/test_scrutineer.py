"""A card for the scrutineer: what is on the tyres, and what an edition of the list says of them."""

from __future__ import annotations

from datetime import date

import pytest
from django.db import connection
from django.db.backends.postgresql.psycopg_any import DateRange
from django.test.utils import CaptureQueriesContext

from fitments.rules.values import Outcome
from stockist.papers.scrutineer import DECIDES, card_of
from stockist.papers.scrutineer_card import drawn
from tests.factories.approvals import ApprovalFactory, CompetitionClassFactory
from tests.factories.catalogue import CompoundFactory, SkuFactory
from tests.factories.sending import Shop, a_line, an_order, hold_for
from tests.factories.when import AT, TODAY
from tests.support.pdf_text import text_of

pytestmark = pytest.mark.django_db
MEETING = date(2026, 12, 5)


@pytest.fixture
def ran():
    return CompetitionClassFactory(
        code="FHR-26", season=2026, edition="2", name="Group F saloons", buffing_allowed=False
    )


@pytest.fixture
def sku():
    return SkuFactory(code="TB-RACE", compound=CompoundFactory(code="K5"))


def held(*skus, date_code="1425", **lot):
    """Two tyres in front of the first SKU and two behind of the last."""
    shop = Shop()
    line = a_line(an_order(), sku=skus[0], quantity=4)
    lots = [shop.stock(4, sku=one, date_code=date_code, **lot) for one in skus]
    parts = [(lots[0], shop.racks[0], 2, "front"), (lots[-1], shop.racks[0], 2, "rear")]
    return hold_for(line, *parts)


def entry(ran, sku, **said):
    """An entry of the list for one axle: size, pattern and compound of a SKU, no mark."""
    return ApprovalFactory(
        organisers=True, competition_class=ran, pattern=sku.pattern, compound=sku.compound, **said
    )


def both(ran, sku, **said):
    for axle in ("front", "rear"):
        entry(ran, sku, axle=axle, code=f"E-{axle}", **said)


def card(hold, ran, on=MEETING):
    return card_of(hold, ran, on=on, at=AT)


def test_listed_tyres_with_their_entries(ran, sku):
    both(ran, sku)
    found = card(held(sku), ran)
    assert [(one.for_place, one.quantity, one.entries) for one in found.lines] == [
        ("front", 2, ("E-front",)),
        ("rear", 2, ("E-rear",)),
    ]
    assert {one.compound for one in found.lines} == {"K5"}
    assert {one.date_code for one in found.lines} == {"1425"}
    assert {one.pattern for one in found.lines} == {str(sku.pattern)}
    assert all(one.outcome < Outcome.DOES_NOT_SUIT for one in found.lines)
    assert found.limits == ("Oldest tyre allowed: 60 months.", "Buffing is not allowed.")


def test_one_axle_that_is_not_listed_is_told(ran, sku):
    entry(ran, sku, axle="front", code="E-front")
    front, rear = card(held(sku), ran).lines
    assert front.entries == ("E-front",)
    assert (rear.entries, rear.outcome) == ((), Outcome.CANNOT_TELL)
    assert "not on the list of" in rear.said[0]


def test_another_compound_is_not_listed(ran, sku):
    both(ran, sku)
    other = SkuFactory(pattern=sku.pattern, compound=CompoundFactory(code="K7"))
    assert {one.entries for one in card(held(other), ran).lines} == {()}


def test_tyres_that_are_too_old_on_the_day_of_the_meeting(ran, sku):
    both(ran, sku)
    hold = held(sku, date_code="0522")
    assert card(hold, ran, on=date(2027, 1, 20)).lines[0].outcome < Outcome.DOES_NOT_SUIT
    late = card(hold, ran, on=date(2027, 3, 20)).lines[0]
    assert late.outcome is Outcome.DOES_NOT_SUIT
    assert any("older than" in words for words in late.said)


def test_an_entry_that_has_ended_by_then_is_not_shown(ran, sku):
    both(ran, sku, version__valid=DateRange(date(2026, 1, 1), date(2026, 12, 1)))
    assert card(held(sku), ran, on=date(2026, 11, 30)).lines[0].entries == ("E-front",)
    ended = card(held(sku), ran).lines[0]
    assert ended.entries == ()
    assert ended.outcome is Outcome.DOES_NOT_SUIT


def test_the_questions_do_not_grow_with_the_lines(ran, sku):
    both(ran, sku)
    one, two = held(sku), held(sku, SkuFactory())
    with CaptureQueriesContext(
        connection,
    ) as few:
        card(one, ran)
    with CaptureQueriesContext(connection) as more:
        card(two, ran)
    assert len(few) == len(more)


def test_the_words_of_the_paper(ran, sku):
    both(ran, sku)
    found = card(held(sku), ran)
    words = text_of(drawn(found))
    for wanted in ("Group F saloons", "Edition 2", "K5", "1425", "2026-12-05", DECIDES[:40]):
        assert wanted in words
    assert drawn(found) == drawn(found)


class TestPage:
    def test_it_asks_and_hands_out(self, signed_in, ran, sku):
        both(ran, sku)
        hold = held(sku)
        client = signed_in("counter")
        page = client.get(f"/papers/scrutineer-cards/{hold.pk}/")
        assert page.status_code == 200
        assert b"Group F saloons" in page.content
        got = client.get(f"/papers/scrutineer-cards/{hold.pk}/?run_in=FHR-26&on=2026-12-05")
        assert got["Content-Type"] == "application/pdf"
        assert got["Content-Disposition"].startswith("attachment;")
        assert "Group F saloons" in text_of(got.content)

    @pytest.mark.parametrize(
        "asked", ["run_in=FHR-26&on=tomorrow", "run_in=FHR-99&on=2026-12-05", "run_in=FHR-26"]
    )
    def test_a_class_or_a_day_that_is_none(self, signed_in, ran, sku, asked):
        hold = held(sku)
        answer = signed_in("owner").get(f"/papers/scrutineer-cards/{hold.pk}/?{asked}")
        assert answer.status_code == 400
        assert b"errorlist" in answer.content

    def test_tubes_alone_have_no_card(self, signed_in, ran):
        shop, tube = Shop(), SkuFactory(tube_kind=True)
        lot = shop.stock(4, sku=tube, undated=True)
        hold = hold_for(a_line(an_order(), sku=tube, quantity=1), (lot, shop.racks[0], 1, ""))
        answer = signed_in("owner").get(
            f"/papers/scrutineer-cards/{hold.pk}/?run_in=FHR-26&on={TODAY.isoformat()}"
        )
        assert answer.status_code == 400
        assert b"No tyre is on this hold" in answer.content

    def test_it_is_for_those_who_are_signed_in(self, client):
        assert client.get("/papers/scrutineer-cards/1/").status_code == 302
