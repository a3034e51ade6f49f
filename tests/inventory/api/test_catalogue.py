"""Makers, patterns, compounds, companions, suppliers, sites, places, customers over the API."""

from __future__ import annotations

import pytest

from inventory.models.customer import CarWheel
from inventory.models.maker import Pattern
from tests.factories.catalogue import (
    CompanionFactory,
    CompoundFactory,
    PatternFactory,
    SkuFactory,
    TyreMakerFactory,
)
from tests.factories.people import CustomerCarFactory, CustomerFactory, SupplierFactory
from tests.factories.places import PlaceFactory, SiteFactory
from tests.support.calling import ROOT, every_row, read, refused, write

pytestmark = pytest.mark.django_db


def made(client, path, sent) -> dict:
    answer = write(client, "post", path, sent)
    assert answer.status_code == 201, answer.content
    return answer.json()


def test_a_maker_a_pattern_and_a_compound(api):
    buyer = api("buyer")
    maker = made(buyer, "tyre-makers/", {"code": "ORR", "name": "Orrel"})
    pattern = made(
        buyer, "patterns/", {"maker": maker["id"], "name": "Fellrunner", "introduced": 1962}
    )
    assert (pattern["maker_name"], pattern["tread"], pattern["use"]) == (
        "Orrel", "symmetric", "road",
    )  # fmt: skip
    compound = made(buyer, "compounds/", {"maker": maker["id"], "code": "q7", "year": 2024})
    assert compound["temperature_from_c"] is None


@pytest.mark.parametrize("path", ["tyre-makers/", "patterns/", "compounds/"])
def test_a_change_is_of_a_version(path, api):
    buyer = api("buyer")
    factory = {"t": TyreMakerFactory, "p": PatternFactory, "c": CompoundFactory}[path[0]]
    row = factory()
    sent = {"code": "NEW"} if path != "patterns/" else {"name": "New"}
    refused(write(buyer, "patch", f"{path}{row.pk}/", sent), 428)
    tag = buyer.get(f"{ROOT}{path}{row.pk}/")["ETag"]
    assert write(buyer, "patch", f"{path}{row.pk}/", sent, If_Match=tag).status_code == 200
    refused(write(buyer, "patch", f"{path}{row.pk}/", sent, If_Match=tag), 412)


def test_a_pattern_is_not_withdrawn_before_it_was_introduced(api):
    sent = {"maker": TyreMakerFactory().pk, "name": "F", "introduced": 1970, "withdrawn": 1960}
    refused(write(api("buyer"), "post", "patterns/", sent), 422, "cannot be withdrawn before")
    assert Pattern.objects.count() == 0


def test_patterns_by_their_columns(api):
    one = PatternFactory(name="Fellrunner", wet_racing=True)
    PatternFactory()
    client = api("counter")
    for query in ({"maker": one.maker.pk}, {"weather": "wet"}, {"use": "competition"}):
        assert [row["name"] for row in every_row(client, "patterns/", **query)] == ["Fellrunner"]
    assert len(every_row(client, "patterns/", q="fell")) == 1


def test_a_companion_for_a_size_in_any_form(api):
    tube = SkuFactory(tube_kind=True)
    buyer = api("buyer")
    row = made(buyer, "companions/", {"size_text": "185/70r15", "companion": tube.pk})
    assert row["size_key"]
    CompanionFactory()
    assert [each["id"] for each in every_row(buyer, "companions/", size="185/70 VR 15")] == [
        row["id"]
    ]
    after = write(buyer, "patch", f"companions/{row['id']}/", {"need": "may"})
    assert after.json()["need"] == "may"


def test_a_companion_is_no_tyre_and_has_a_size_or_a_tyre(api):
    tyre, buyer = SkuFactory(), api("buyer")
    sent = {"size_text": "185/70 R 15", "companion": tyre.pk}
    refused(write(buyer, "post", "companions/", sent), 422, "is a tyre", "/companion")
    sent = {"companion": SkuFactory(tube_kind=True).pk}
    refused(write(buyer, "post", "companions/", sent), 422, "one tyre or one size")


def test_suppliers_sites_and_places(api):
    owner = api("owner")
    supplier = made(owner, "suppliers/", {"code": "OST", "name": "Ostrey Rubber"})
    after = write(owner, "patch", f"suppliers/{supplier['id']}/", {"telephone": "01632 960124"})
    assert after.json() == supplier | {"telephone": "01632 960124"}
    site = made(owner, "sites/", {"code": "ML", "name": "Marrow Lane"})
    place = made(owner, "places/", {"site": site["id"], "code": "A01-1", "walk": 3})
    assert place["site_code"] == "ML"
    sent = {"site": site["id"], "code": "a01-1"}
    refused(write(owner, "post", "places/", sent), 422, "is there already", "/code")


def test_places_by_site_and_kind(api):
    site = SiteFactory()
    PlaceFactory(site=site, code="X1")
    PlaceFactory(site=site, goods_in=True, code="X2")
    PlaceFactory()
    client = api("warehouse")
    assert {row["code"] for row in every_row(client, "places/", site=site.pk)} == {"X1", "X2"}
    assert {row["code"] for row in every_row(client, "places/", kind="goods_in")} == {"X2"}
    assert read(client, "places/", code="x1")["results"][0]["code"] == "X1"
    assert read(client, "sites/", kind="mobile")["results"] == []
    assert len(read(client, "suppliers/", q="ostrey")["results"]) == 0
    SupplierFactory()
    assert len(read(client, "suppliers/", q="ostrey")["results"]) == 1


class TestCustomers:
    """People and their cars, with what is on the wheels."""

    def test_a_customer_and_a_car_with_its_wheels(self, api):
        tyre, counter = SkuFactory(), api("counter")
        customer = made(counter, "customers/", {"name": "Orrin Tasker"})
        car = made(
            counter,
            "customer-cars/",
            {
                "customer": customer["id"],
                "description": "Hallmere Sprint saloon",
                "built_on": "1964-06-12",
                "front": {"rim_text": "15", "width_in": "5", "tyre": tyre.pk, "date_code": "1425"},
                "rear": {"rim_text": "380", "tubed": True},
            },
        )
        assert car["front"] == {
            "rim_text": "15", "width_in": 5.0, "rim_kind": "", "tubed": None, "tyre": tyre.pk,
            "date_code": "1425",
        }  # fmt: skip
        assert car["rear"]["rim_text"] == "380"
        assert CarWheel.objects.get(axle="rear").rim_mm == 381

    def test_wheels_are_changed_one_axle_at_a_time(self, api):
        car, counter = CustomerCarFactory(), api("counter")
        path = f"customer-cars/{car.pk}/"
        write(counter, "patch", path, {"front": {"rim_text": "15"}, "rear": {"rim_text": "15"}})
        after = write(counter, "patch", path, {"rear": None}).json()
        assert after["front"]["rim_text"] == "15"
        assert after["rear"] is None

    def test_a_rim_that_cannot_be_is_told_where_it_stands(self, api):
        sent = {
            "customer": CustomerFactory().pk,
            "description": "saloon",
            "front": {"rim_text": "round"},
        }
        answer = write(api("counter"), "post", "customer-cars/", sent)
        refused(answer, 422, "rim diameter", "/front/rim_text")
        sent["front"] = {"rim_text": "15", "spokes": 72}
        refused(write(api("counter"), "post", "customer-cars/", sent), 400, "no field “spokes”")

    def test_found_by_plate_chassis_and_words(self, api):
        car = CustomerCarFactory(plate="QYZ 12", chassis="ZZ00012", customer__name="Edda Quillan")
        CustomerCarFactory()
        counter = api("counter")
        for query in ({"plate": "qyz 12"}, {"chassis": "zz00012"}, {"q": "edda sprint"}):
            assert [each["id"] for each in every_row(counter, "customer-cars/", **query)] == [
                car.pk
            ]
        assert len(every_row(counter, "customer-cars/", customer=car.customer_id)) == 1
        assert [each["name"] for each in every_row(counter, "customers/", q="quillan")] == [
            "Edda Quillan"
        ]
