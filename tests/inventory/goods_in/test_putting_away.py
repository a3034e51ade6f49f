"""Where tyres best go, and going there."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.activities import putting_away
from inventory.activities.moving import SamePlace
from inventory.activities.putting_away.choosing import Rack, best, takes, why
from inventory.activities.putting_away.moving_in import NotARack, PlaceIsFull
from tests.factories.catalogue import SkuFactory
from tests.factories.people import UserFactory
from tests.factories.places import PlaceFactory, SiteFactory
from tests.factories.stock import LotFactory, stock_in
from tests.factories.when import AT


def rack(code="A", walk=10, room=20, there=0, alike=0, same_week=0):
    return Rack(1, code, walk, room, there, alike, same_week)


@pytest.mark.parametrize(
    ("racks", "chosen"),
    [
        ([rack("A", 1), rack("B", 2, there=4, alike=4, same_week=4)], "B"),
        ([rack("A", 1), rack("B", 2, there=4, alike=4)], "B"),
        ([rack("A", 1, there=4, alike=4), rack("B", 2, there=4, alike=4, same_week=4)], "B"),
        ([rack("A", 2), rack("B", 1)], "B"),
        ([rack("A", 1, there=5), rack("B", 2)], "B"),
        ([rack("A", 1, room=None), rack("B", 2)], "B"),
        ([rack("A", 1, room=3), rack("B", 2, room=4)], "B"),
        ([rack("A", 1, room=5, there=5, alike=5, same_week=5), rack("B", 9)], "B"),
        ([rack("A", 1, room=6, there=4, alike=4, same_week=4), rack("B", 9)], "B"),
        ([rack("A", 1, room=6, there=4, alike=4, same_week=4), rack("B", 2, room=3)], "A"),
        ([rack("A", 1, there=5), rack("B", 2, there=5)], "A"),
    ],
)
def test_the_best_place_for_four(racks, chosen):
    assert best(racks, 4).code == chosen


def test_there_is_none_where_nothing_has_room():
    assert best([rack(room=4, there=4), rack(room=4, there=5)], 1) is None
    assert best([], 1) is None


@pytest.mark.parametrize(
    ("place", "words"),
    [
        (rack(there=4, alike=4, same_week=2), "2 of the same week are there, room for 16 more"),
        (rack(there=4, alike=4), "4 of the same SKU are there, room for 16 more"),
        (rack(room=None), "it is empty, room not known"),
        (rack(there=19), "the next place with room, room for 1 more"),
    ],
)
def test_the_reason_is_told(place, words):
    assert why(place) == words


racks = st.builds(
    rack,
    code=st.text("ABC", min_size=1, max_size=2),
    walk=st.integers(0, 9),
    room=st.none() | st.integers(1, 9),
    there=st.integers(0, 9),
    alike=st.integers(0, 3),
    same_week=st.integers(0, 3),
)


@given(racks=st.lists(racks, max_size=6), quantity=st.integers(1, 9))
def test_a_place_that_takes_all_goes_before_one_that_does_not(racks, quantity):
    chosen = best(racks, quantity)
    if any(takes(one, quantity) for one in racks):
        assert takes(chosen, quantity)
    if chosen is not None:
        assert chosen in racks
        assert chosen.free is None or chosen.free > 0
        assert best(racks[::-1], quantity) == chosen or best(racks[::-1], quantity).walk == (
            chosen.walk
        )


# Against the database

db = pytest.mark.django_db


@pytest.fixture
def site():
    return SiteFactory()


@db
def test_beside_the_same_week_of_the_same_sku(site):
    first, other, empty = (PlaceFactory(site=site, room=20) for _ in range(3))
    sku = SkuFactory()
    stock_in(lot=LotFactory(sku=sku, date_code="1425"), place=first)
    stock_in(lot=LotFactory(sku=sku, date_code="1525"), place=other)
    lot = LotFactory(sku=sku, date_code="1525")
    found = putting_away.suggested(lot, quantity=4, site=site)
    assert (found.place, found.free) == (other, 16)
    nothing_like_it = LotFactory(date_code="1525")
    assert putting_away.suggested(nothing_like_it, quantity=4, site=site).place == empty


@db
def test_undated_tyres_are_of_no_common_week(site):
    place = PlaceFactory(site=site, room=20)
    sku = SkuFactory()
    stock_in(lot=LotFactory(sku=sku, undated=True), place=place)
    found = putting_away.suggested(LotFactory(sku=sku, undated=True), quantity=1, site=site)
    assert found.why.startswith("4 of the same SKU are there")


@db
def test_what_waits_is_told_a_place_each_as_if_those_before_lay_there(site, same_queries):
    goods_in = PlaceFactory(site=site, goods_in=True)
    PlaceFactory(quarantine=True, site=site)
    one, two = PlaceFactory(site=site, room=6), PlaceFactory(site=site, room=6)
    for _ in range(2):
        stock_in(place=goods_in, on_hand=6)
    stock_in(place=PlaceFactory(goods_in=True))
    found = putting_away.waiting(site)
    assert [row.suggestion.place for row in found] == [one, two]
    assert [(row.place, row.quantity, row.held) for row in found] == [(goods_in, 6, 0)] * 2

    def more():
        for _ in range(2):
            stock_in(place=goods_in, on_hand=1)

    assert same_queries(lambda: putting_away.waiting(site), more) == 3


@db
def test_no_room_is_no_suggestion(site):
    stock_in(place=PlaceFactory(site=site, room=4), on_hand=4)
    assert putting_away.suggested(LotFactory(), quantity=1, site=site) is None


def put(balance, target, quantity=4, **told):
    told = {"by": UserFactory(), "at": AT, **told}
    where = {"source": balance.place, "target": target}
    return putting_away.put_away(lot=balance.lot, quantity=quantity, **where, **told)


@db
def test_put_away_is_a_move(site):
    balance = stock_in(place=PlaceFactory(site=site, goods_in=True))
    target = PlaceFactory(site=site, room=4)
    posting = put(balance, target)
    assert (posting.kind, posting.note) == ("move", "put away")
    balance.refresh_from_db()
    assert balance.on_hand == 0


@db
def test_a_full_place_is_refused_unless_somebody_looked(site):
    balance = stock_in(place=PlaceFactory(site=site, goods_in=True))
    target = PlaceFactory(site=site, room=5)
    stock_in(place=target, on_hand=3)
    words = f"{target.code} has room for 5 and holds 3: 4 more are 2 too many"
    with pytest.raises(PlaceIsFull, match=words):
        put(balance, target)
    assert put(balance, target, they_fit=True)


@db
def test_only_into_racks_and_elsewhere(site):
    balance = stock_in(place=PlaceFactory(site=site))
    with pytest.raises(NotARack, match="is despatch, no place to put tyres away in"):
        put(balance, PlaceFactory(site=site, despatch=True))
    with pytest.raises(SamePlace):
        put(balance, balance.place, they_fit=True)
