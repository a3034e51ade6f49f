"""The counter's pages: every answer, every refusal, nobody without the right."""

from __future__ import annotations

import re
import uuid
from datetime import timedelta

import pytest
from django.utils import timezone

from inventory.activities import receiving
from inventory.models.enquiry import Enquiry
from inventory.models.expected import ExpectedDelivery
from inventory.models.sku import SkuStatus
from tests.factories.approvals import CompetitionClassFactory
from tests.factories.buying import delivery_of, sent_order
from tests.factories.cars import FitmentFactory, VariantFactory
from tests.factories.catalogue import SkuFactory
from tests.factories.stock import stock_in
from tests.factories.when import AT

pytestmark = pytest.mark.django_db
CAR = "/counter/cars/HAL-1600/"


@pytest.fixture
def desk(signed_in):
    return signed_in("counter")


def words(page):
    """The page as it is read: without tags, its white space folded."""
    return " ".join(re.sub(r"<[^>]+>", " ", page.content.decode()).split())


def test_the_empty_box_says_what_can_be_asked(desk):
    page = desk.get("/counter/")
    assert page.status_code == 200
    assert "a chassis number" in words(page)
    assert "autofocus" in page.content.decode()


def test_one_car_is_answered_at_once(desk, car):
    page = desk.get("/counter/", {"q": "Hallmere saloon June 1964"})
    assert (page.status_code, page.url) == (302, f"{CAR}?built=1964-06")


def test_one_tyre_is_answered_at_once(desk, sku):
    assert desk.get("/counter/", {"q": "tb-cairn"}).url == "/counter/tyres/TB-CAIRN/"


def test_several_cars_are_offered(desk, car):
    VariantFactory(code="HAL-1800", search="hallmere sprint 1800 saloon")
    page = desk.get("/counter/", {"q": "hallmere saloon"})
    assert "Which of these cars?" in words(page)
    assert page.content.decode().count("/counter/cars/HAL-") == 2


def test_a_size_shows_sets_not_pieces(desk, sku, set_on_shelf):
    told = words(desk.get("/counter/", {"q": "185 70 15"}))
    assert "1 set" in told
    assert "5 tyres in the racks" in told
    assert "can be read in several ways" in told


def test_a_size_nobody_makes_can_be_noted(desk):
    page = desk.get("/counter/", {"q": "205/70 R 14"})
    assert "No tyre of this kind is in the catalogue" in words(page)
    assert "Note that it was asked for" in words(page)


@pytest.mark.parametrize("text", ["x" * 10_000, "\u202e\x00", "31 June 1964 car", "<b>x</b>"])
def test_nonsense_is_told_and_does_no_harm(desk, text):
    page = desk.get("/counter/", {"q": text})
    assert page.status_code == 200
    assert "Nothing found" in words(page)


def test_a_car_gets_its_answer_with_reasons_and_evidence(desk, car, sku, set_on_shelf, approved):
    told = words(desk.get(CAR, {"built": "1964-06"}))
    for wanted in (
        "What a",
        "1 set",
        "suits",
        "approved by",
        "Bulletin 63/14",
        "pattern of 1961",
        "168 km/h",
        "2 × 1425",
        "Pressures that a source states",
        "1.80",
        "Fitting, tubes, pressures and speed are for a qualified fitter",
    ):
        assert wanted in told, wanted


def test_a_car_without_a_year_is_answered_for_its_whole_time(desk, car, sku):
    assert "1 March 1962 to 31 August 1966" in words(desk.get(CAR))


def test_a_year_with_a_change_names_the_dividing_day(desk, car):
    FitmentFactory(variant=car, size_text="195/65 R 15", built_from="1964-03-15", combination="B")
    told = words(desk.get(CAR, {"built": "1964"}))
    assert "15 March 1964" in told
    assert "Built 1 January 1964 to 14 March 1964" in told


def test_nothing_in_the_catalogue_says_what_to_do(desk, car):
    told = words(desk.get(CAR))
    assert "Nothing in the catalogue suits this car as it stands." in told
    assert "Note that it was asked for" in told


def test_what_is_coming_is_said(desk, car):
    day = timezone.localdate() + timedelta(days=80)
    SkuFactory(announced=True, expected_on=day)
    assert f"More is expected on {day.day} {day:%B %Y}." in words(desk.get(CAR))


def test_what_is_on_order_is_said_until_it_comes(desk, car):
    sku = SkuFactory(announced=True)
    order = sent_order(8, skus=[sku])
    expected = timezone.localdate() + timedelta(days=80)
    ExpectedDelivery.objects.filter(sku=sku).update(expected_on=expected)
    day = f"{expected.day} {expected:%B %Y}"
    assert f"On order: 8; the next is expected on {day}." in words(desk.get(CAR))
    delivery = delivery_of(order)
    told = {"delivery": delivery, "by": delivery.at_work_by, "at": AT}
    receiving.enter_line(sku=sku, quantity=8, date_code="3026", **told)
    receiving.finish(**told)
    said = words(desk.get(CAR))
    assert "On order" not in said
    assert "announced" not in said
    assert "2 sets" in said


@pytest.mark.parametrize(
    ("days", "said"), [(-1, "was expected on"), (0, "is expected on"), (1, "is expected on")]
)
def test_what_has_not_come_on_its_day_is_late(desk, car, days, said):
    sku, day = SkuFactory(), timezone.localdate() + timedelta(days=days)
    sent_order(8, skus=[sku])
    ExpectedDelivery.objects.filter(sku=sku).update(expected_on=day)
    told = words(desk.get(CAR))
    assert f"On order: 8; the next {said} {day.day} {day:%B %Y}" in told
    assert ("is late" in told) is (days < 0)


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"built": "yesterday"}, "does not say when the car was built"),
        ({"use": "flying"}, "not one of the available choices"),
        ({"front_rim": "13.7"}, "rim diameter"),
        ({"anchor_axle": "front"}, "Say both"),
        ({"anchor_axle": "front", "anchor_code": "5421"}, "week"),
        ({"anchor_axle": "front", "anchor_code": "148"}, "decade"),
        ({"limit": "0"}, "greater than or equal to 1"),
        ({"limit": "2.5"}, "whole number"),
        ({"tolerance": "52", "car_tolerance": "26"}, "wider than 26 weeks round the car"),
        ({"competition_class": "NONE-1"}, "not one of the available choices"),
    ],
)
def test_what_cannot_be_asked_is_told_beside_its_field(desk, car, sku, asked, said):
    page = desk.get(CAR, asked)
    assert page.status_code == 400
    assert said in words(page)
    assert "This cannot be answered as it was asked" in words(page)


def test_other_wheels_change_the_answer(desk, car, sku, set_on_shelf):
    told = words(desk.get(CAR, {"front_rim": "14", "rear_rim": "14"}))
    assert "looked at that does not suit" in told
    assert "wheels typed in" in told


def test_a_car_that_is_not_there(desk):
    assert desk.get("/counter/cars/NO-SUCH/").status_code == 404
    assert desk.get("/counter/tyres/NO-SUCH/").status_code == 404


def test_a_car_that_is_not_listed_is_asked_by_its_wheels(desk, sku, set_on_shelf):
    asked = {
        "car": "Hallmere special",
        "front_rim": "15",
        "front_width": "5",
        "front_size": "185/70 R 15",
        "front_load": "1200 lb",
        "rear_load": "560",
        "top_speed": "98 mph",
    }
    told = words(desk.get("/counter/wheels/", asked))
    assert "What a Hallmere special takes" in told
    assert "158 km/h" in told
    assert "1 set" in told
    assert "on the car now" in told


def test_the_wheels_page_starts_empty_and_tells_what_is_wrong(desk):
    assert "say what wheels it has" in words(desk.get("/counter/wheels/"))
    page = desk.get("/counter/wheels/", {"front_rim": "15", "top_speed": "98 furlongs"})
    assert page.status_code == 400
    assert "speed" in words(page)


def test_a_tyre_tells_its_sidewall_its_shelf_and_its_cars(desk, car, sku, set_on_shelf):
    told = words(desk.get("/counter/tyres/TB-CAIRN/"))
    for wanted in ("What should be read on it", "1 set", "Hallmere", "front and rear", "UN R30"):
        assert wanted in told, wanted


def test_a_pair_of_it_can_be_asked_for(desk, sku, set_on_shelf):
    told = words(desk.get("/counter/tyres/TB-CAIRN/", {"wanted": "front"}))
    assert "2 sets" in told


def test_a_tube_has_a_page_without_cars(desk):
    tube = SkuFactory(tube_kind=True)
    stock_in(on_hand=3, sku=tube, date_code="")
    told = words(desk.get(f"/counter/tyres/{tube.code}/"))
    assert "3 to sell" in told
    assert "Which cars" not in told


def enquiry(**more):
    plain = {
        "idempotency_key": str(uuid.uuid4()),
        "sku": "TB-CAIRN",
        "size": "",
        "pieces": "4",
        "car": "Hallmere saloon",
        "next": CAR,
    }
    return {**plain, **more}


def test_an_unmet_question_is_noted_once_however_often_it_is_sent(desk, sku):
    sent = enquiry()
    for _ in range(2):
        assert desk.post("/counter/enquiries/", sent).url == CAR
    [noted] = Enquiry.objects.all()
    assert (noted.sku, noted.pieces, noted.car) == (sku, 4, "Hallmere saloon")
    assert noted.asked_by.username == "counter"


@pytest.mark.parametrize(
    "wrong",
    [{"pieces": "0"}, {"pieces": "-1"}, {"pieces": "2.5"}, {"pieces": "1000000000"},
     {"sku": "", "size": ""}, {"car": "x" * 121}, {"car": "a\x07b"}],
)  # fmt: skip
def test_a_note_that_makes_no_sense_is_refused_with_the_reason(desk, sku, wrong):
    page = desk.post("/counter/enquiries/", enquiry(**wrong))
    assert page.status_code in (400, 422)
    assert "could not be noted" in words(page)
    assert not Enquiry.objects.exists()


def test_a_note_leads_nowhere_else(desk, sku):
    assert desk.post("/counter/enquiries/", enquiry(next="https://evil.example/")).url == (
        "/counter/"
    )


def test_who_is_not_signed_in_signs_in_first(client, car):
    for path in ("/counter/", CAR, "/counter/wheels/", "/counter/tyres/X/"):
        assert client.get(path).url.startswith("/sign-in/")


def test_the_warehouse_sees_no_cars(signed_in, car):
    assert signed_in("warehouse").get(CAR).status_code == 403


def test_a_buyer_looks_and_does_not_note(signed_in, car):
    buyer = signed_in("buyer")
    assert "Note that it was asked for" not in words(buyer.get(CAR))
    assert buyer.post("/counter/enquiries/", enquiry()).status_code == 403


def test_as_many_queries_for_a_long_list_as_for_a_short_one(desk, sku, same_queries):
    stock_in(on_hand=4, sku=sku)

    def more():
        for _ in range(6):
            stock_in(on_hand=4, sku=SkuFactory())

    assert same_queries(lambda: desk.get("/counter/", {"q": "185/70 R 15"}), more) <= 16


def test_a_discontinued_tyre_with_none_left_is_not_listed(desk, sku):
    sku.status = SkuStatus.DISCONTINUED
    sku.save()
    assert "0 found" in words(desk.get("/counter/", {"q": "185/70 R 15"}))


def test_whether_the_class_admits_this_car(desk, car):
    """As on record: not admitted is told, and so is that nobody has said which cars are."""
    ran = CompetitionClassFactory()
    asked = {"built": "1964-06", "use": "track", "competition_class": ran.code}
    assert "(which cars it admits is not on record)" in words(desk.get(CAR, asked))
    ran.variants.set([VariantFactory()])
    assert "not among those it admits, as on record: ask the organiser" in words(
        desk.get(CAR, asked)
    )
    ran.variants.add(car)
    assert "(it admits this car)" in words(desk.get(CAR, asked))
