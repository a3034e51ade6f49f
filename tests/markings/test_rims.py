"""Rims are one when diameter and bead seat are one."""

from __future__ import annotations

import pytest

from inventory.markings import Rim, UnreadableMarking, read_size, rim_from, rim_of, rims_match


@pytest.mark.parametrize(
    ("text", "rim"),
    [
        ("165 R 15", Rim(381, "15", "5-degree")),
        ("165-380", Rim(381, "380", "5-degree")),
        ("145 R 330", Rim(330, "330", "5-degree")),
        ("165 R 400", Rim(400, "400", "old millimetre")),
        ("190/65 R 390", Rim(390, "390", "metric")),
        ("8.75-16.5", Rim(419, "16.5", "15-degree")),
        ("5.60-15", Rim(381, "15", "5-degree")),
        ("185-14/7.35-14", Rim(356, "14", "5-degree")),
        ("20/54-13", Rim(330, "13", "5-degree")),
        ("31x10.50 R 15 LT", Rim(381, "15", "5-degree")),
        ("820x120", Rim(580, "580", "beaded edge")),
        ("33x5", Rim(584, "23", "straight side")),
        ("28x3 BE", Rim(559, "22", "beaded edge")),
        ("30x3½", Rim(584, "23", "beaded edge or straight side")),
    ],
)
def test_the_rim_of_a_size(text, rim):
    assert rim_of(read_size(text)) == rim


@pytest.mark.parametrize(
    ("a", "b"),
    [
        (15, 15.0),
        (15, "15"),
        (15, '15"'),
        (15, "15 in"),
        ("15", 380),
        ("380 mm", 15),
        (330, 13),
        (355, 14),
        (390, "390mm"),
        (16.5, "16.5"),
        ("165 R 380", "5.60-15"),
        ("165 R 15", 15),
        (read_size("165-380"), read_size("165 R 15")),
        (rim_from(15), "185/70 VR 15"),
        ("820x120", rim_from(580, "beaded edge")),
        ("30x3½", "30x3½"),
    ],
)
def test_these_rims_match(a, b):
    assert rims_match(a, b)
    assert rims_match(b, a)


@pytest.mark.parametrize(
    ("a", "b"),
    [
        (15, 390),
        (16, 390),
        (16, 400),
        (15, 400),
        (16, 415),
        (13, 340),
        (12, 315),
        (14, 365),
        (16.5, 16),
        (14.5, 14),
        (14.5, 15),
        (17.5, 17),
        (17.5, 18),
        (15, 16),
        (400, 415),
        ("33x5", 23),
        ("33x5", "33x5 BE"),
        ("28x3 BE", "28x3 SS"),
        ("30x3½", "30x3½ SS"),
        (rim_from(23, "straight side"), rim_from(23)),
        ("190/65 R 390", "165 R 15"),
        ("165 R 400", "165 R 380"),
    ],
)
def test_these_rims_never_match(a, b):
    assert not rims_match(a, b)
    assert not rims_match(b, a)


@pytest.mark.parametrize("mark", ["", "x", "15.3", 7, 580, 1e9, float("nan"), "1" * 5000, "15 kg"])
def test_a_mark_that_is_no_rim_is_refused(mark):
    with pytest.raises(UnreadableMarking, match="rim diameter"):
        rim_from(mark)


def test_text_that_is_neither_rim_nor_size_is_refused():
    with pytest.raises(UnreadableMarking):
        rims_match("fifteen", 15)
    with pytest.raises(UnreadableMarking):
        rims_match(15, "1" * 5000)


def test_an_unknown_bead_is_refused():
    with pytest.raises(ValueError, match="A bead is “beaded edge” or “straight side”"):
        rim_from(580, "hooked")
