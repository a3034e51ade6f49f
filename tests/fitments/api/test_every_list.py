"""Every list of cars and approvals: paged, ordered, strict, in a fixed number of queries."""

from __future__ import annotations

import pytest

from fitments.api.urls import RESOURCES
from tests.fitments.api.scenes import ROWS
from tests.support.calling import every_row, read
from tests.support.resources import pages_are_whole, previous_leads_back, slips_are_refused

pytestmark = pytest.mark.django_db
# The rows, and one more query for each kind of thing that hangs on them.
QUERIES = {"variants": 2, "classes": 2, "approvals": 3, "approval-versions": 2}
LISTS = sorted(ROWS)


def test_every_resource_that_can_be_read_is_looked_at():
    assert set(RESOURCES) == set(ROWS)


@pytest.mark.parametrize("name", LISTS)
def test_twice_the_rows_cost_no_more_queries(name, api, same_queries):
    owner = api("owner")
    ROWS[name](3)
    asked = same_queries(lambda: read(owner, f"{name}/"), lambda: ROWS[name](3))
    assert asked == QUERIES.get(name, 1)


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
