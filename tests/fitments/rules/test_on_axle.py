"""Set-level rules on one axle: one size, construction, SKU, mark and issue, sidewall; hands."""

from __future__ import annotations

import pytest

from fitments.rules.on_axle import judge_axle
from fitments.rules.placed import Placed
from fitments.rules.values import Axle, Hand, Sidewall
from tests.fitments.rules.making import CANNOT_TELL, REFUSED, SUITS, one, sized, terms, tyre

MARKED = {"mark": "HT", "mark_issue": "2"}


def axle(*tyres):
    return judge_axle(Placed(tyres={Axle.FRONT: tyres}, terms=terms()), Axle.FRONT)


def test_two_of_one_sku_match_in_everything():
    found = axle(tyre(**MARKED), tyre(**MARKED))
    assert {each.outcome for each in found} == {SUITS}
    assert [each.point for each in found] == ["size", "construction", "SKU", "mark", "sidewall"]
    assert one(found, "mark").words == "One approval mark on the axle: HT, issue 2."


def test_one_tyre_named_alone_is_compared_with_nothing():
    assert axle(tyre()) == ()
    assert axle() == ()


def test_two_sizes_on_one_axle():
    found = one(axle(tyre(), tyre("185/70 R 15 88H")), "size")
    assert found.outcome is REFUSED
    assert found.words == "Two sizes on one axle: 165 R 15 86H and 185/70 R 15 88H."


def test_one_size_written_otherwise_is_one_size():
    found = axle(tyre(), tyre("165/80 R 15 87H"))
    assert one(found, "size").outcome is SUITS
    assert one(found, "SKU").outcome is REFUSED


def test_an_unknown_size():
    blind = tyre(size=None, size_keys=frozenset(), code="B")
    assert one(axle(tyre(), blind), "size").outcome is CANNOT_TELL


@pytest.mark.parametrize(
    ("front", "other", "outcome"),
    [
        ("165 R 15", "185/70 R 15", SUITS),
        ("165 R 15", "5.60-15", REFUSED),
        ("185/70 B 13", "185/70 R 13", REFUSED),
        ("185/70 B 13", "6.40-13", REFUSED),
        ("155-15", "155 R 15", CANNOT_TELL),
        ("155-15", "155 D 15", CANNOT_TELL),
        ("155-15", "185/70 B 15", REFUSED),
        ("155-15", "165-15", CANNOT_TELL),
    ],
)
def test_constructions_on_one_axle(front, other, outcome):
    assert one(axle(sized(front), sized(other)), "construction").outcome is outcome


def test_one_sku_has_one_construction_even_where_its_size_is_open():
    assert one(axle(sized("155-15"), sized("155-15")), "construction").outcome is SUITS


@pytest.mark.parametrize(
    "other", [{"mark": "HT", "mark_issue": "1"}, {"mark": ""}, {"mark": "HX", "mark_issue": "2"}]
)
def test_two_marks_or_issues(other):
    found = one(axle(tyre(**MARKED), tyre(**(MARKED | {"mark_issue": ""} | other))), "mark")
    assert found.outcome is REFUSED
    assert "HT, issue 2" in found.words


def test_no_mark_on_either_is_one_way():
    assert one(axle(tyre(), tyre()), "mark").words == "No approval mark on the axle."


def test_two_sidewalls():
    banded = tyre(sidewall=Sidewall.WHITE_BAND, band_mm=40)
    found = one(axle(tyre(), banded), "sidewall")
    assert found.outcome is REFUSED
    assert found.words == "Two sidewalls on one axle: black and white band of 40 mm."


def test_bands_of_two_widths_are_two_sidewalls():
    bands = [tyre(sidewall=Sidewall.WHITE_BAND, band_mm=width) for width in (40, 50)]
    assert one(axle(*bands), "sidewall").outcome is REFUSED


def handed(hand: Hand):
    return tyre(hand=hand, code=f"V-{hand}")


def test_a_left_and_a_right_match():
    found = axle(handed(Hand.LEFT), handed(Hand.RIGHT))
    assert {each.outcome for each in found} == {SUITS}
    assert one(found, "SKU").words == "The left and the right of one handed tyre."


def test_two_of_one_hand_do_not():
    assert one(axle(handed(Hand.LEFT), handed(Hand.LEFT)), "hand").outcome is REFUSED


def test_a_handed_tyre_beside_one_that_is_not():
    assert one(axle(handed(Hand.LEFT), tyre()), "hand").outcome is REFUSED


def test_a_handed_tyre_alone_asks_for_its_partner():
    found = one(axle(handed(Hand.LEFT)), "hand")
    assert (found.outcome, found.look_at) == (CANNOT_TELL, "the tyre on the other side")


def test_a_left_and_a_right_of_two_patterns_are_no_pair():
    found = axle(handed(Hand.LEFT), tyre(hand=Hand.RIGHT, pattern="Fell", code="F-right"))
    assert one(found, "SKU").outcome is REFUSED


def test_a_temporary_spare_is_not_compared():
    assert axle(tyre(), sized("T125/90 D 15")) == ()
