"""Customers and their cars on pages: found, entered, changed, and led to the counter's answer."""

from __future__ import annotations

import re
from html import unescape

import pytest

from fitments.models.car import IdentifiedCar
from inventory.models.customer import Customer, CustomerCar
from tests.factories.cars import FitmentFactory, IdentifiedCarFactory, VariantFactory
from tests.factories.catalogue import CompanionFactory, SkuFactory
from tests.factories.people import CarWheelFactory, CustomerCarFactory, CustomerFactory
from tests.factories.selling import PriceClassFactory
from tests.factories.stock import stock_in

pytestmark = pytest.mark.django_db


@pytest.fixture
def counter(signed_in):
    return signed_in("counter")


def body(answer, status=200):
    assert answer.status_code == status, answer.content.decode()[:3000]
    return unescape(answer.content.decode())


def send(client, path, key="k", **said):
    return client.post(path, {"idempotency_key": key, **said})


CAR = {"description": "Hallmere Sprint saloon"}


def test_somebody_new_with_a_price_class_and_a_car(counter):
    trade = PriceClassFactory(name="trade")
    said = {"name": "Withy Lane Garage", "kind": "trade", "price_class": trade.pk}
    answer = send(counter, "/customers/new/", **said, telephone="01632 960221")
    made = Customer.objects.get()
    page = body(counter.get(answer["Location"]))
    assert "trade, trade" in page
    assert "No car is told." in page
    body(send(counter, "/customers/new/", **said, telephone="01632 960221"), 302)
    assert Customer.objects.count() == 1
    variant = VariantFactory(code="HAL-1600", search="hallmere sprint 1600 saloon")
    tyre = SkuFactory(code="TB-CAIRN")
    answer = send(
        counter, f"/customers/{made.pk}/cars/new/", "k2", **CAR, variant="hallmere sprint",
        built_on="1964-06-12", front_rim_text="15", front_width_in="5.5", front_rim_kind="spoked",
        front_tubed="yes", front_tyre="tb-cairn", front_date_code="1425",
    )  # fmt: skip
    page = body(counter.get(answer["Location"]))
    assert IdentifiedCar.objects.get().variant == variant
    assert "rim 15 x 5.5 in, spoked, tubed" in page
    assert "of 1425" in page
    car = CustomerCar.objects.get()
    assert car.wheels.get().tyre == tyre


def link(page: str, words: str) -> str:
    return re.search(r'href="([^"]*)"[^>]*>' + re.escape(words), page)[1]


def test_from_the_car_straight_to_the_answer_as_it_stands(counter):
    variant = VariantFactory(code="HAL-1600", with_wheels=True)
    FitmentFactory(variant=variant)
    FitmentFactory(variant=variant, rear=True)
    sku = SkuFactory()
    stock_in(on_hand=5, sku=sku)
    car = CustomerCarFactory()
    for axle in ("front", "rear"):
        CarWheelFactory(car=car, axle=axle, tyre=sku, date_code="1425")
    IdentifiedCarFactory(customer_car=car, variant=variant)
    page = body(counter.get(f"/customers/{car.customer_id}/"))
    answer = body(counter.get(link(page, "What does it take?")))
    assert "built 12 June 1964" in answer
    assert "on a 381 mm rim" in answer
    assert "1 set" in answer
    more = body(counter.get(link(page, "one more like it")))
    assert "5 sets" in more


def test_a_car_that_is_not_listed_is_asked_for_by_its_wheels(counter):
    car = CustomerCarFactory(description="A special", built_on=None)
    page = body(counter.get(f"/customers/{car.customer_id}/"))
    assert link(page, "What does it take?").startswith("/counter/wheels/?")
    CarWheelFactory(car=car, tyre=SkuFactory(size_text="185/70 R 15 89H"))
    page = body(counter.get(f"/customers/{car.customer_id}/"))
    answer = body(counter.get(link(page, "What does it take?")))
    assert "A special" in answer
    assert "185/70 R 15" in answer


def test_another_tyre_is_on_it_now(counter):
    wheel = CarWheelFactory(rear=True, tyre=SkuFactory(), date_code="1417")
    path = f"/customers/cars/{wheel.car_id}/"
    page = body(counter.get(path))
    assert 'value="1964-06-12"' in page
    assert 'value="1417"' in page
    said = {**CAR, "rear_rim_text": "15", "rear_date_code": "0226"}
    assert send(counter, path, **said).status_code == 302
    assert [one.date_code for one in wheel.car.wheels.all()] == ["0226"]


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({"description": ""}, "This field is required."),
        ({"built_on": "soon"}, "Enter a valid date."),
        ({"front_rim_text": "round"}, "round"),
        ({"front_width_in": "5"}, "rim"),
        ({"front_rim_text": "15", "front_width_in": "0"}, "greater than or equal to 1"),
        ({"front_rim_text": "15", "front_width_in": "-1"}, "greater than or equal to 1"),
        ({"front_rim_text": "15", "front_width_in": "1000000000"}, "less than or equal to 20"),
        ({"front_rim_text": "15", "front_width_in": "2.555"}, "no more than 2 decimal places"),
        ({"front_rim_text": "15", "front_width_in": "127 mm"}, "Enter a number."),
        ({"front_rim_text": "15", "front_tyre": "NO"}, "the code of a SKU is wanted"),
        ({"front_rim_text": "15", "front_tyre": "TUBE-1"}, "is no tyre"),
        ({"variant": "bluebottle"}, "No car in the list is called “bluebottle”."),
        ({"variant": "hallmere"}, "write the code of one"),
    ],
)
def test_what_cannot_be_said_of_a_car(said, words, counter):
    for code in ("HAL-1600", "HAL-1800"):
        VariantFactory(code=code, search=f"hallmere {code.lower()}")
    CompanionFactory(companion__code="TUBE-1")
    owner = CustomerFactory()
    answer = send(counter, f"/customers/{owner.pk}/cars/new/", **{**CAR, **said})
    assert words in body(answer, 400)
    assert not CustomerCar.objects.exists()


def test_a_customer_is_changed(counter):
    one = CustomerFactory(note="Rings before he comes.")
    path = f"/customers/{one.pk}/change/"
    assert "Rings before he comes." in body(counter.get(path))
    assert send(counter, path, name="Orrin Tasker", kind="museum").status_code == 302
    one.refresh_from_db()
    assert (one.kind, one.note) == ("museum", "")
    assert "Select a valid choice" in body(send(counter, path, "2", name="x", kind="king"), 400)


@pytest.mark.parametrize("asked", ["orrin", "960123", "XHM 77", "sprint HS00"])
def test_found_by_whatever_is_said_on_the_telephone(asked, counter):
    owner = CustomerFactory(name="Orrin Tasker", telephone="01632 960123")
    CustomerCarFactory(customer=owner, plate="XHM 77", chassis="HS00001")
    CustomerCarFactory(customer=owner, description="Hallmere Sprint estate")
    other = CustomerCarFactory(
        description="Cavatine", plate="Q", chassis="C1", customer__telephone="",
        customer__name="Lucien Brassart",
    ).customer  # fmt: skip
    page = body(counter.get("/customers/", {"q": asked}))
    assert page.count("Orrin Tasker") == 1
    assert other.name not in page


def test_listed_in_pages_by_kind_class_and_order(counter, same_queries):
    trade = PriceClassFactory()

    def more():
        CustomerFactory.create_batch(25, price_class=trade)

    more()
    museum = CustomerFactory(museum=True, name="Zinnia Hall")
    assert same_queries(lambda: body(counter.get("/customers/")), more) <= 9
    assert "Zinnia Hall" not in body(counter.get("/customers/"))
    assert "Zinnia Hall" in body(counter.get("/customers/", {"page": 2}))
    assert "Zinnia Hall" in body(counter.get("/customers/", {"order": "-pk"}))
    page = body(counter.get("/customers/", {"kind": "museum"}))
    assert museum.name in page
    assert "list price" in page
    assert "Nobody like that." in body(
        counter.get("/customers/", {"kind": "museum", "price_class": trade.pk})
    )


def test_the_page_of_a_customer_asks_no_more_with_more_cars(counter, same_queries):
    owner = CustomerFactory()

    def more():
        for car in CustomerCarFactory.create_batch(2, customer=owner):
            CarWheelFactory(car=car, tyre=SkuFactory())
            IdentifiedCarFactory(customer_car=car)

    more()
    assert same_queries(lambda: body(counter.get(f"/customers/{owner.pk}/")), more) <= 18
