"""The short way to the first page of stock says what the way of every list says."""

from __future__ import annotations

import pytest

from inventory.api import lots
from inventory.api.stock_page import first_page
from inventory.models.balance import Balance
from tests.factories.places import PlaceFactory
from tests.factories.stock import LotFactory, stock_in
from tests.support.calling import ROOT, every_row

pytestmark = pytest.mark.django_db
ORDERS = [f"{sign}{word}" for word in lots.Stock.orderings for sign in ("", "-")]


@pytest.fixture
def here():
    """Two lots of one tyre in places that share a step of the walk, one of them emptied; others."""
    first = stock_in(on_hand=5, held=2)
    lot = LotFactory(sku=first.lot.sku)
    again = stock_in(lot=lot, place=PlaceFactory(site=first.place.site), on_hand=5)
    stock_in(lot=lot, place=first.place, on_hand=1)
    stock_in()
    Balance.objects.filter(pk=again.pk).update(on_hand=0)
    return first


@pytest.fixture
def both_ways(api, monkeypatch):
    """Status and bytes of the short way where it answers, and of the ordinary way."""
    client = api("warehouse")
    quick = []

    def seen(request):
        quick.append(first_page(request))
        return quick[-1]

    def ask(**query):
        found = []
        for way in (seen, lambda request: None):
            monkeypatch.setattr(lots, "first_page", way)
            answer = client.get(ROOT + "stock/", query)
            found.append((answer.status_code, answer.content))
        return (*found, quick[-1] is not None)

    return ask


def test_every_order_and_filter_is_answered_alike(here, both_ways):
    narrowed = (
        {"lot": here.lot_id}, {"place": here.place_id}, {"site": here.place.site_id},
        {"sku": here.lot.sku_id, "place": here.place_id}, {"empty": "true"},
        {"empty": "false", "page_size": 2}, *({"ordering": order} for order in ORDERS),
        *({"sku": here.lot.sku_id, "ordering": order, "page_size": 1} for order in ORDERS),
    )  # fmt: skip
    for query in narrowed:
        short, ordinary, quick = both_ways(**query)
        assert quick
        assert short == ordinary


@pytest.mark.parametrize(
    "query",
    [{"sku": "0"}, {"sku": "one"}, {"sku": ""}, {"sku": "9" * 19}, {"sku": "²"}, {"page_size": 0},
     {"page_size": 101}, {"page_size": "x"}, {"ordering": "code"}, {"ordering": "--id"},
     {"empty": "perhaps"}, {"empty": "1"}, {"shelf": "1"}, {"sku": ["1", "2"]}, {"cursor": "x"},
     {"place": "999999"}],
)  # fmt: skip
def test_all_else_goes_the_way_of_every_list(here, both_ways, query):
    short, ordinary, quick = both_ways(**query)
    assert not quick
    assert short == ordinary


def test_a_page_begun_the_short_way_goes_on(here, api):
    rows = every_row(api("warehouse"), "stock/", page_size=1, ordering="-walk")
    assert len(rows) == Balance.objects.count()
    assert len({row["id"] for row in rows}) == len(rows)
