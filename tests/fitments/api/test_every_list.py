"""Every list of cars and approvals: paged, ordered, strict, in a fixed number of queries."""

from __future__ import annotations

import pytest

from fitments.api.urls import RESOURCES
from tests.fitments.api.scenes import ROWS
from tests.support.direct import DirectApi
from tests.support.resources import is_a_list

pytestmark = pytest.mark.django_db
# The rows, and one more query for each kind of thing that hangs on them.
QUERIES = {"variants": 2, "classes": 2, "approvals": 3, "approval-versions": 2}


def test_every_resource_that_can_be_read_is_looked_at():
    assert set(RESOURCES) == set(ROWS)


@pytest.mark.parametrize("name", sorted(ROWS))
def test_it_is_a_list_like_every_other(name, owner_person, same_queries, subtests):
    client = DirectApi(owner_person)
    asked = is_a_list(client, f"{name}/", RESOURCES[name], ROWS[name], same_queries, subtests)
    assert asked == QUERIES.get(name, 1)
