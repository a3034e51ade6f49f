"""Every list of stock: paged, ordered, strict, in a fixed number of queries."""

from __future__ import annotations

import pytest

from inventory.api.urls import RESOURCES
from tests.inventory.api.scenes import ROWS
from tests.support.calling import ROOT, every_row, read
from tests.support.resources import pages_are_whole, previous_leads_back, slips_are_refused

pytestmark = pytest.mark.django_db
# The rows, and one more query for each kind of thing that hangs on them.
QUERIES = {
    **{"skus": 3, "gtins": 2, "customer-cars": 2, "lots": 2, "postings": 2},
    **{"supplier-terms": 2, "production-batches": 2, "purchase-orders": 3, "deliveries": 2},
    **{"holds": 4, "orders": 2, "pre-orders": 3, "pick-lists": 5, "despatches": 2, "returns": 2},
    "transfers": 3,
    "counts": 3,
    "storages": 4,
    "consignments": 3,
}
LISTS = sorted(ROWS)


def test_every_resource_that_can_be_read_is_looked_at():
    readable = {name for name, view in RESOURCES.items() if hasattr(view, "list")}
    assert readable == set(ROWS)


@pytest.mark.parametrize("name", LISTS)
def test_twice_the_rows_cost_no_more_queries(name, api, same_queries):
    owner = api("owner")
    ROWS[name](3)
    assert same_queries(lambda: read(owner, f"{name}/"), lambda: ROWS[name](3)) == QUERIES.get(
        name, 1
    )


@pytest.mark.parametrize("name", LISTS)
def test_each_row_comes_once_in_every_order(name, api):
    ROWS[name](5)
    pages_are_whole(api("owner"), f"{name}/", RESOURCES[name])


@pytest.mark.parametrize("name", LISTS)
def test_previous_leads_back(name, api):
    ROWS[name](5)
    previous_leads_back(api("owner"), f"{name}/")


@pytest.mark.parametrize("name", LISTS)
def test_a_slip_is_refused(name, api):
    slips_are_refused(api("owner"), f"{name}/")


@pytest.mark.parametrize("name", LISTS)
def test_a_row_alone_is_the_row_of_the_list(name, api):
    owner = api("owner")
    ROWS[name](2)
    for row in every_row(owner, f"{name}/"):
        assert read(owner, f"{name}/{row['id']}/") == row


@pytest.mark.parametrize("name", LISTS)
def test_an_empty_list_is_an_answer(name, api):
    answer = read(api("owner"), f"{name}/")
    assert (answer["next"], answer["previous"], answer["results"]) == (None, None, [])


def test_rows_added_meanwhile_neither_repeat_nor_hide_others(api):
    owner = api("owner")
    ROWS["suppliers"](4)
    first = read(owner, "suppliers/", page_size=2, ordering="-id")
    ROWS["suppliers"](3)
    rest = owner.get(first["next"]).json()["results"]
    ids = [row["id"] for row in first["results"] + rest]
    assert ids == sorted(ids, reverse=True)
    assert len(set(ids)) == 4


def test_a_cursor_of_another_order_is_no_cursor(api):
    owner = api("owner")
    ROWS["tyre-makers"](4)
    next_page = read(owner, "tyre-makers/", page_size=2, ordering="id")["next"]
    answer = owner.get(next_page.replace("ordering=id", "ordering=name"))
    assert answer.status_code == 404


def test_rows_alike_in_the_first_column_are_told_apart(api):
    from tests.factories.people import CustomerFactory

    CustomerFactory.create_batch(7, name="Orrin Tasker")
    found = every_row(api("owner"), "customers/", page_size=2, ordering="name")
    assert len({row["id"] for row in found}) == 7


def test_an_address_beyond_every_number_is_nowhere(api):
    assert api("owner").get(f"{ROOT}skus/{'9' * 40}/").status_code == 404
