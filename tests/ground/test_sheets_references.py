"""Cells that name rows of other tables."""

from __future__ import annotations

import pytest

from inventory.ground.sheets.references import Reference, resolve
from inventory.ground.sheets.rows import Report, SheetRow
from inventory.models.customer import Customer
from inventory.models.maker import Pattern, TyreMaker
from tests.factories.catalogue import PatternFactory, TyreMakerFactory
from tests.factories.people import CustomerFactory

pytestmark = pytest.mark.django_db

MAKER = Reference(TyreMaker, "tyre maker")
PATTERN = Reference(Pattern, "pattern", by="name", within=("maker", "pattern_maker"))


def resolved(refers, *cells, name="it", heading="it", **beside):
    """The values after looking, and what was said."""
    report = Report()
    rows = [SheetRow(number, {name: cell, **beside}) for number, cell in enumerate(cells, start=2)]
    resolve(rows, name, heading, refers, report)
    return [row.values[name] for row in rows], [str(problem) for problem in report.problems]


def test_a_row_is_found_by_its_code_whatever_the_capitals():
    maker = TyreMakerFactory(code="Tarn")
    assert resolved(MAKER, "TARN", "tarn", " Tarn ", None) == ([maker, maker, maker, None], [])


def test_what_is_not_there_is_named_with_the_nearest():
    TyreMakerFactory(code="TARN")
    found, told = resolved(MAKER, "TRAN")
    assert told == ["row 2, it: there is no tyre maker “TRAN”. Did you mean TARN?"]
    assert found == ["TRAN"]


def test_what_is_like_nothing_is_only_named():
    TyreMakerFactory(code="TARN")
    assert resolved(MAKER, "Zebra")[1] == ["row 2, it: there is no tyre maker “Zebra”."]
    assert resolved(MAKER, "Z" * 10_000)[1][0].startswith("row 2, it: there is no tyre maker “ZZZ")


def test_only_a_few_guesses_are_made():
    TyreMakerFactory(code="TARN")
    _, told = resolved(MAKER, *[f"TARN{number}" for number in range(30)])
    assert len(told) == 30
    assert sum("Did you mean" in words for words in told) == 20


def test_a_row_is_found_within_another():
    one, other = TyreMakerFactory(name="Tarnbeck"), TyreMakerFactory(name="Okebury")
    mine, theirs = (
        PatternFactory(maker=one, name="Cairn"),
        PatternFactory(maker=other, name="Cairn"),
    )
    assert resolved(PATTERN, "cairn", pattern_maker=one)[0] == [mine]
    assert resolved(PATTERN, "cairn", pattern_maker=other)[0] == [theirs]
    assert resolved(PATTERN, "Fell", pattern_maker=one)[1] == [
        "row 2, it: there is no pattern “Fell” of Tarnbeck."
    ]


def test_the_nearest_is_looked_for_within_the_other_only():
    one, other = TyreMakerFactory(name="Tarnbeck"), TyreMakerFactory(name="Okebury")
    PatternFactory(maker=other, name="Cairnway")
    PatternFactory(maker=one, name="Cairnwey")
    assert "Did you mean Cairnwey?" in resolved(PATTERN, "Cairnway", pattern_maker=one)[1][0]


def test_what_it_stands_within_has_to_be_named():
    PatternFactory(name="Cairnway")
    _, told = resolved(PATTERN, "Cairnway", pattern_maker=None)
    assert told == ["row 2, it: “Cairnway” needs its pattern maker beside it."]


def test_nothing_is_said_twice_where_what_it_stands_within_was_not_found():
    assert resolved(PATTERN, "Cairnway", pattern_maker="NOBODY")[1] == []


def test_a_name_of_several_rows_is_refused():
    CustomerFactory(name="Orrin Tasker")
    CustomerFactory(name="orrin tasker")
    by_name = Reference(Customer, "customer", by="name")
    (words,) = resolved(by_name, "Orrin Tasker")[1]
    assert words == "row 2, it: There are several customers “Orrin Tasker”: give them names apart."


def test_several_names_in_a_cell_become_several_rows():
    one, other = TyreMakerFactory(code="A1"), TyreMakerFactory(code="B1")
    assert resolved(MAKER, ("a1", "B1"), ("B1",), ()) == ([(one, other), (other,), ()], [])


def test_each_name_of_a_cell_that_is_not_there_is_told():
    TyreMakerFactory(code="A1")
    found, told = resolved(MAKER, ("A1", "Q", "Z"))
    assert [words.split("“")[1][0] for words in told] == ["Q", "Z"]
    assert found == [("A1", "Q", "Z")]


def test_a_whole_column_costs_one_query(django_assert_num_queries):
    makers = TyreMakerFactory.create_batch(40)
    with django_assert_num_queries(1):
        found, _ = resolved(MAKER, *[maker.code for maker in makers])
    assert found == makers
