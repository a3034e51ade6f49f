"""What a delivery fills of its order."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from inventory.activities.receiving.sharing import Came, Share, shared


def test_what_is_right_fills_the_order_first():
    came = [Came(1, 7, 2, False), Came(2, 7, 4, True)]
    shares, left = shared(came, {7: 5})
    assert shares == {1: Share(disputes=1), 2: Share(kept=4)}
    assert left == {7: 0}


def test_what_finds_no_room_is_over_and_the_later_is():
    shares, _ = shared([Came(2, 7, 4, True), Came(1, 7, 3, True)], {7: 5})
    assert shares == {1: Share(kept=3), 2: Share(kept=2, over=2)}


def test_without_an_order_everything_right_is_kept():
    shares, left = shared([Came(1, None, 9, True), Came(2, None, 3, False)], {})
    assert shares == {1: Share(kept=9), 2: Share()}
    assert left == {}


lines = st.lists(
    st.tuples(st.sampled_from([None, 7, 8]), st.integers(1, 9), st.booleans()), max_size=8
)


@given(told=lines, seven=st.integers(0, 20), eight=st.integers(0, 20))
def test_no_order_line_is_filled_beyond_its_room_and_no_tyre_is_lost(told, seven, eight):
    came = [Came(n, line, quantity, right) for n, (line, quantity, right) in enumerate(told)]
    room = {7: seven, 8: eight}
    shares, left = shared(came, room)
    for number in room:
        of_it = [shares[one.line] for one in came if one.order_line == number]
        filled = sum(share.kept + share.disputes for share in of_it)
        assert filled + left[number] == room[number]
        assert left[number] >= 0
        # Nothing right is over while the order has room, or wrong ones fill it.
        if any(share.over for share in of_it):
            assert sum(share.kept for share in of_it) == room[number]
    for one in came:
        share = shares[one.line]
        assert share.kept + share.over == (one.quantity if one.right else 0)
        assert share.disputes <= (0 if one.right else one.quantity)
