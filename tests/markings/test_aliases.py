"""One size written otherwise, and sizes that only look alike."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.markings import UnreadableMarking, read_size, same_size, search_keys, size_key
from inventory.markings.tables import rows

SAME = [
    # GB MOT inspection manual, cars, section 4.1 (2012): 80 and 82 % with no profile stated.
    ("165 R 15", "165/80 R 15"),
    ("165 R 15", "165/82 R 15"),
    ("165/80 R 15", "165/82 R 15"),
    ("165 HR 15", "165/80 R 15 87H"),
    ("125 R 12", "125/80 R 12"),
    # Old millimetre marks of inch rims, from memory.
    ("165 R 380", "165 R 15"),
    ("165-380", "165/80 R 15"),
    ("145 R 330", "145 R 13"),
    ("155 R 355", "155 R 14"),
    # Either half of a dual mark (GB MOT inspection manual; UN R30 Annex 5 Table I, from memory).
    ("185-14/7.35-14", "7.35-14"),
    ("185-14/7.35-14", "185-14"),
    ("185-14", "7.35-14"),
    ("6.95/175-14", "175-14/6.95-14"),
    ("4.40/4.50-21", "4.40-21"),
    ("4.40/4.50-21", "4.50-21"),
    ("6.40-13", "6.50-13"),
    ("6.00/6.50-16", "6.00-16"),
    ("6.00/6.50-16", "6.50-16"),
    # An open construction meets each that the mark leaves possible.
    ("155-15", "155 R 15"),
    ("155-15", "155 D 15"),
    ("185 70 15", "185/70 R 15"),
    ("185 70 13", "185/70 B 13"),
    ("245/575-13", "245/575 R 13"),
    ("30x3½", "30x3½ BE"),
    ("30x3½", "30x3½ SS"),
    # What does not make another size.
    ("185/70 VR 15", "185/70 R 15 89V"),
    ("5.60-15", "5.60 S 15 4PR TT"),
    ("P185/75 R 14", "185/75 R 14"),
    ("LT31x10.50 R 15", "31x10.50 R 15 LT"),
    ("185 R 14 C 102/100 R", "185 R 14"),
    ("6.00-15 L", "6.00 L 15"),
]

OTHER = [
    ("165 R 15", "165/70 R 15"),
    ("165 R 15", "165/85 R 15"),
    ("165 R 15", "165 D 15"),
    ("165 R 15", "165 R 14"),
    ("165 R 15", "165 R 400"),
    ("165 R 15", "155 R 15"),
    ("165 R 15", "5.60-15"),
    ("165 D 15", "165/80 D 15"),
    ("185 R 14", "7.35-14"),
    ("185-14/7.35-14", "185 R 14"),
    ("6.00-16", "6.50-16"),
    ("6.5-13", "6.50-13"),
    ("6.40-13", "6.40 R 13"),
    ("5.50-15", "5.50 L 15"),
    ("5.50 L 15", "5.50 M 15"),
    ("FR70-14", "F70-14"),
    ("FR70-14", "GR70-14"),
    ("FR70-14", "FR78-14"),
    ("T125/70 D 15", "125/70 D 15"),
    ("20/54-13", "200/540-13"),
    ("20/54-13", "20/53-13"),
    ("4.50/11.60-15", "4.75/11.60-15"),
    ("30x3½ BE", "30x3½ SS"),
    ("33x5", "33x5 BE"),
    ("820x120", "820x125"),
    ("31x8.00-15", "31x8.00 R 15"),
    ("190/65 R 390", "190/65 R 365"),
]


@pytest.mark.parametrize(("a", "b"), SAME)
def test_one_size_written_otherwise(a, b):
    assert same_size(a, b)
    assert same_size(read_size(b), a)


@pytest.mark.parametrize(("a", "b"), OTHER)
def test_another_size_however_alike(a, b):
    assert not same_size(a, b)
    assert not same_size(read_size(b), a)


@pytest.mark.parametrize(("a", "b"), SAME + OTHER)
def test_same_exactly_when_the_keys_meet(a, b):
    meet = search_keys(read_size(a)) & search_keys(read_size(b))
    assert same_size(a, b) == bool(meet)


@pytest.mark.parametrize(
    ("text", "key", "found_under"),
    [
        ("165/80 R 15 87H", "165-15 R", {"165-15 R"}),
        ("155-15", "155-15 ?", {"155-15 ?", "155-15 R", "155-15 D"}),
        ("F70-14", "F70-14 ?", {"F70-14 ?", "F70-14 D", "F70-14 B"}),
        ("6.00/6.50-16", "6.00-16 D", {"6.00-16 D", "6.50-16 D"}),
        ("190/65 R 390", "190/65-390mm R", {"190/65-390mm R"}),
        ("20/54 R 13", "20x54cm-13 R", {"20x54cm-13 R"}),
    ],
)
def test_the_keys_are_fixed_because_they_are_stored(text, key, found_under):
    size = read_size(text)
    assert size_key(size) == key
    assert search_keys(size) == found_under


def test_every_row_of_the_table_holds_and_names_its_source():
    table = rows("aliases")
    assert all(row["source"] for row in table)
    for row in table:
        if row["kind"] == "profile":
            assert same_size(f"175/{row['mark']} R 14", "175 R 14")
        elif row["kind"] == "prefix":
            assert same_size(f"{row['mark']}195/75 R 14", "195/75 R 14")
        else:
            assert row["kind"] == "cross-ply"
            assert same_size(row["mark"], row["same_as"])


def test_no_mark_of_the_table_stands_for_another_one_in_turn():
    pairs = {r["mark"]: r["same_as"] for r in rows("aliases") if r["kind"] == "cross-ply"}
    assert not set(pairs) & set(pairs.values())


@given(st.lists(st.sampled_from([t for pair in SAME + OTHER for t in pair]), max_size=6))
def test_stated_constructions_make_classes(texts):
    """Where nothing is open and no mark is dual, sameness carries over from pair to pair."""
    plain = [s for s in map(read_size, texts) if not s.alternatives and "?" not in size_key(s)]
    for a, b in combinations(plain, 2):
        assert same_size(a, b) == (size_key(a) == size_key(b))


def test_text_that_is_no_size_is_refused():
    with pytest.raises(UnreadableMarking):
        same_size("165 R 15", "165 R 1S")
