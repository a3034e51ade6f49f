"""Columns made from the fields of models."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from inventory.ground.sheets import readers
from inventory.ground.sheets.columns import of, to
from inventory.ground.sheets.references import Reference
from inventory.models.customer import CarWheel
from inventory.models.maker import TyreMaker
from inventory.models.place import Place
from inventory.models.sku import Sku


@pytest.mark.parametrize(
    ("model", "name", "cell", "value"),
    [
        (Sku, "code", "A-1", "A-1"),
        (Sku, "kind", "Rim tape", "rim_tape"),
        (Sku, "price", "12.50", Decimal("12.50")),
        (Sku, "ply", "6", 6),
        (Sku, "expected_on", "2027-02-01", date(2027, 2, 1)),
        (Sku, "note", "one\ntwo", "one\ntwo"),
        (Place, "walk", "10", 10),
        (CarWheel, "tubed", "no", False),
    ],
)
def test_a_field_is_read_as_the_kind_that_it_is(model, name, cell, value):
    assert of(model, name).read(cell) == value


def test_what_a_column_takes_from_its_field():
    assert of(Sku, "code").required
    assert of(Sku, "code").heading == "code"
    assert not of(Sku, "note").required
    assert not of(Sku, "kind").required  # it has a default
    assert of(Sku, "kind").absent == "tyre"
    assert of(Sku, "price").absent is None
    assert of(Sku, "note").absent == ""
    assert of(Place, "walk").absent == 0


def test_what_is_given_goes_before_the_field():
    column = of(
        Sku, "ply", heading="ply", read=readers.text, required=True, example="6", wanted="x"
    )
    assert (column.heading, column.required, column.example, column.wanted) == (
        "ply",
        True,
        "6",
        "x",
    )
    assert column.read("six") == "six"


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("price", "a number, with a point"),
        ("ply", "a whole number"),
        ("expected_on", "a day, such as 2026-03-01"),
        ("code", "text"),
        ("hand", "one of: not handed, left, right"),
        (
            "tube",
            "one of: tube-type, tubeless, a tube allowed, tubeless, a tube refused, not stated",
        ),
    ],
)
def test_what_is_wanted_is_said(name, words):
    assert of(Sku, name).wanted == words


def test_yes_or_no_is_wanted():
    assert of(CarWheel, "tubed").wanted == "yes or no"


def test_a_column_that_names_another_row():
    column = to("maker", "maker", Reference(TyreMaker, "tyre maker"), required=True)
    assert column.absent is None
    assert column.wanted == "a tyre maker that is there already"
    assert column.read(" T  X ".strip()) == "T X"
