"""Long answers: a page of offers, all reasons of those at the head, the others a link away."""

from __future__ import annotations

import re

import pytest

from stockist.counter.pages import OFFERS, TOLD_IN_FULL
from tests.factories.cars import FitmentFactory
from tests.factories.catalogue import SkuFactory
from tests.factories.stock import stock_in

pytestmark = pytest.mark.django_db
CAR = "/counter/cars/HAL-1600/"
ANSWER = "/api/v1/answers/which-tyre/"


@pytest.fixture
def desk(signed_in):
    return signed_in("counter")


@pytest.fixture
def many(car, pattern, approved):
    """Three pages of tyres in stock, and a few that are too slow for the car."""
    same = {"pattern": pattern, "maker": pattern.maker}
    made = [SkuFactory(**same, price=100 + n) for n in range(2 * OFFERS + 3)]
    for sku in made[:OFFERS]:
        stock_in(on_hand=4, sku=sku)
    for _ in range(3):
        SkuFactory(size_text="185/70 R 15 89Q")
    return made


def html(answer):
    return answer.content.decode()


def reasons(page):
    """How many offers tell all their reasons, and the addresses that tell those of others."""
    links = re.findall(r'href="([^"]*why=[^"]*)#why"', page)
    return page.count("<summary>All "), [link.replace("&amp;", "&") for link in links]


def test_a_page_has_some_offers_and_leads_to_the_next(desk, many):
    page = html(desk.get(CAR, {"built": "1964-06"}))
    assert f"1 to {OFFERS} of {len(many)}" in page
    told, links = reasons(page)
    assert told == TOLD_IN_FULL
    assert len(links) == OFFERS - TOLD_IN_FULL + 3  # the refused too
    seen = set(re.findall(r"/counter/tyres/([^/]+)/", page))
    last = html(desk.get(CAR, {"built": "1964-06", "from": str(2 * OFFERS)}))
    assert f"{2 * OFFERS + 1} to {len(many)} of {len(many)}" in last
    assert "Those after them" not in last
    assert len(set(re.findall(r"/counter/tyres/([^/]+)/", last)) - seen) == 3


def test_every_reason_is_a_link_away_without_script(desk, many):
    first = html(desk.get(CAR, {"built": "1964-06"}))
    _, links = reasons(first)
    answer = desk.get(CAR + links[0])
    page = html(answer)
    assert page.count('id="why"') == page.count("<details open>") == 1
    opened = page[page.index('id="why"') :]
    assert "UN R30" in opened[: opened.index("</details>")]
    assert reasons(page)[0] == TOLD_IN_FULL + 1


def test_the_reasons_of_what_does_not_suit_are_opened_where_they_stand(desk, many):
    _, links = reasons(html(desk.get(CAR, {"built": "1964-06"})))
    page = html(desk.get(CAR + links[-1]))
    assert page.count("<details open>") == 2


@pytest.mark.parametrize(
    "asked", [{"from": "x"}, {"from": "-1"}, {"from": "99999999"}, {"why": "none"}]
)
def test_an_address_that_makes_no_sense_shows_the_beginning(desk, many, asked):
    answer = desk.get(CAR, {"built": "1964-06", **asked})
    assert answer.status_code == 200
    assert f"1 to {OFFERS} of {len(many)}" in html(answer)


def test_past_the_end_there_is_a_way_back(desk, many):
    page = html(desk.get(CAR, {"built": "1964-06", "from": "900"}))
    assert f"There are only {len(many)}" in page


def test_forms_send_back_the_question_and_not_the_page(desk, many):
    page = html(desk.get(CAR, {"built": "1964-06", "from": str(OFFERS), "why": "0|x"}))
    assert 'name="next" value="/counter/cars/HAL-1600/?built=1964-06"' in page


def test_a_page_of_two_parts_is_light(desk, car, many, pattern):
    FitmentFactory(variant=car, size_text="195/65 R 15", built_from="1964-03-15", combination="B")
    same = {"pattern": pattern, "maker": pattern.maker}
    for _ in range(OFFERS):
        stock_in(on_hand=4, sku=SkuFactory(size_text="195/65 R 15 91V", **same))
    page = html(desk.get(CAR, {"built": "1964"}))
    assert page.count('<section aria-labelledby="part-') == 2
    assert len(page) < 150_000


def test_the_api_gives_every_offer_with_every_reason_in_pages(api, many):
    desk = api("counter")
    asked = {"variant": "HAL-1600", "built": "1964-06"}
    [part] = desk.get(ANSWER, asked).json()["parts"]
    assert part["count"] == len(many) == len(part["offers"])
    assert all(len(one["verdict"]["findings"]) > 20 for one in part["offers"])
    [rest] = desk.get(ANSWER, {**asked, "first": "20"}).json()["parts"]
    assert rest["offers"] == part["offers"][20:]
    assert desk.get(ANSWER, {**asked, "first": "-1"}).status_code == 400
