"""Every list of stock: paged, ordered, strict, in a fixed number of queries."""

from __future__ import annotations

import pytest

from inventory.api.urls import RESOURCES
from tests.inventory.api.scenes import ROWS
from tests.support.calling import ROOT, every_row, read
from tests.support.direct import DirectApi
from tests.support.resources import is_a_list

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


def test_every_resource_that_can_be_read_is_looked_at():
    readable = {name for name, view in RESOURCES.items() if hasattr(view, "list")}
    assert readable == set(ROWS)


@pytest.mark.parametrize("name", sorted(ROWS))
def test_it_is_a_list_like_every_other(name, owner_person, same_queries, subtests):
    client = DirectApi(owner_person)
    asked = is_a_list(client, f"{name}/", RESOURCES[name], ROWS[name], same_queries, subtests)
    assert asked == QUERIES.get(name, 1)


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
