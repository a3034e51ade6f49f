"""Customers and their cars from spreadsheets."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest

from inventory.ground.sheets.shifting import Shift
from inventory.models.companion import RimKind
from inventory.models.customer import Customer, CustomerCar, CustomerKind
from tests.factories.catalogue import SkuFactory
from tests.factories.people import CustomerFactory
from tests.factories.when import TODAY
from tests.ground.sheet_files import xlsx_file
from tests.ground.sheet_loads import loaded, wrong

pytestmark = pytest.mark.django_db

CAR = ["customer", "car"]
WHEELS = ["front rim", "front rim width in", "rear rim", "rear rim width in", "rim", "tubed"]
TYRES = ["front tyre", "front date code", "rear tyre", "rear date code"]


class TestCustomers:
    def test_rows(self):
        loaded("customers", ["name", "kind", "e-mail", "telephone"],
               ["Orrin Tasker", "Museum or collection", "o@tasker.example", "01632 960123"],
               ["Wendle Garage", "", "", ""])  # fmt: skip
        one, other = Customer.objects.order_by("name")
        assert (one.kind, one.email) == (CustomerKind.MUSEUM, "o@tasker.example")
        assert other.kind == CustomerKind.PRIVATE

    def test_a_customer_is_known_by_name(self):
        CustomerFactory(name="Orrin Tasker", telephone="1")
        assert loaded("customers", ["name", "telephone"], ["ORRIN TASKER", "2"]).changed == 1

    def test_a_name_that_two_have_is_refused_in_words(self):
        CustomerFactory(name="Orrin Tasker")
        CustomerFactory(name="Orrin Tasker")
        assert wrong("customer-cars", CAR, ["Orrin Tasker", "Sprint"]) == [
            "row 2, customer: There are several customers “Orrin Tasker”: give them names apart."
        ]

    def test_a_sheet_of_customers_does_not_choose_between_two(self):
        CustomerFactory(name="Orrin Tasker")
        CustomerFactory(name="Orrin Tasker")
        with pytest.raises(Exception, match="several customers “Orrin Tasker”"):
            loaded("customers", ["name"], ["Orrin Tasker"])


class TestCars:
    @pytest.fixture(autouse=True)
    def orrin(self):
        return CustomerFactory(name="Orrin Tasker")

    def test_a_row_with_everything(self, orrin):
        tyre = SkuFactory(code="T1")
        loaded(
            "customer-cars", [*CAR, "registration", "chassis", "built on", *WHEELS, *TYRES],
            ["orrin tasker", "Sprint saloon", "XHM 12", "HS00412", "1964-06-12", "15", "5", "15",
             "5.5", "spoked", "yes", "t1", "0523", "", ""],
        )  # fmt: skip
        car = CustomerCar.objects.get()
        assert (car.customer, car.plate, car.built_on) == (orrin, "XHM 12", date(1964, 6, 12))
        front, rear = car.wheels.order_by("axle")
        assert (front.rim_text, front.rim_mm, front.width_in) == ("15", 381, Decimal(5))
        assert (front.rim_kind, front.tubed) == (RimKind.SPOKED, True)
        assert (front.tyre, front.date_code) == (tyre, "0523")
        assert (rear.width_in, rear.tyre, rear.date_code) == (Decimal("5.5"), None, "")

    def test_loading_again_changes_nothing_and_another_width_is_a_change(self):
        headings = [*CAR, *WHEELS]
        row = ["Orrin Tasker", "Sprint", "15", "5", "15", "5", "steel disc", "no"]
        loaded("customer-cars", headings, row)
        assert loaded("customer-cars", headings, row).same == 1
        row[3] = "5.5"
        assert loaded("customer-cars", headings, row).changed == 1

    def test_a_sheet_without_wheels_leaves_them(self):
        loaded(
            "customer-cars", [*CAR, *WHEELS], ["Orrin Tasker", "Sprint", "15", "5", "", "", "", ""]
        )
        loaded("customer-cars", [*CAR, "registration"], ["Orrin Tasker", "Sprint", "NEW 1"])
        assert CustomerCar.objects.get().wheels.count() == 1

    def test_rows_that_cannot_be(self):
        SkuFactory(code="TUBE", kind="tube", size_text="")
        headings = [*CAR, "front rim", "front rim width in", "front tyre", "front date code"]
        told = wrong(
            "customer-cars", headings,
            ["Orrin Tasker", "A", "51", "5", "", ""],
            ["Orrin Tasker", "B", "", "5", "", ""],
            ["Orrin Tasker", "C", "15", "5", "TUBE", ""],
            ["Orrin Tasker", "D", "15", "5", "", "5299x"],
            ["Nobody", "E", "", "", "", ""],
            ["Orrin Tasker", "F", "15", "5", "", "5226"],
        )  # fmt: skip
        assert told[0].startswith("row 2, front rim: “51” cannot be read")
        assert told[1] == "row 3, front rim: the rim is needed, to say what is on it."
        assert told[2] == "row 4, front tyre: TUBE is no tyre."
        assert told[3].startswith("row 5, front date code: ")
        assert told[4] == "row 6, customer: there is no customer “Nobody”."
        assert told[5].startswith("row 7, front date code: “5226” is no date code to go by")
        assert len(told) == 6

    def test_a_date_code_that_lost_its_nought_is_refused(self):
        data = xlsx_file([*CAR, "front rim", "front date code"], ["Orrin Tasker", "A", "15", 52])
        (words,) = wrong("customer-cars", data=data)
        assert "noughts in front of it are lost" in words

    def test_the_tyres_on_a_car_stay_as_old_as_they_were(self):
        loaded(
            "customer-cars", [*CAR, "front rim", "front date code", "rear rim", "rear date code"],
            ["Orrin Tasker", "A", "15", "1423", "15", "234"],
            shift=Shift.between(TODAY, TODAY + timedelta(weeks=10)),
        )  # fmt: skip
        front, rear = CustomerCar.objects.get().wheels.order_by("axle")
        assert (front.date_code, rear.date_code) == ("2423", "234")
