"""What is said of a scanner by what it made of the test symbol."""

from __future__ import annotations

import pytest

from inventory.markings.scans.arriving import TEST_ELEMENTS, names_of, what_arrived

SENT = "]d2010952012345678810Y7-zA_+/?\x1d21Test=1"


def words(text):
    return {one.what: (one.right, one.words) for one in what_arrived(text)}


def test_the_sentence_of_a_scanner_that_is_set_right():
    assert all(one.right for one in what_arrived(SENT))
    assert "01" + TEST_ELEMENTS[0][1] in SENT


@pytest.mark.parametrize(
    ("text", "what", "right", "said"),
    [
        (SENT[3:], "prefix", True, "None arrived"),
        ("]Q3" + SENT[3:], "prefix", False, "]Q3 arrived"),
        ("+d2" + SENT[3:], "prefix", False, "+ arrived for ]"),
        (SENT.replace("\x1d", "^]"), "separator", True, "as ^]"),
        (SENT.replace("\x1d", "^]"), "letters and signs", True, "All as printed"),
        (SENT.replace("\x1d", ""), "separator", False, "It was lost"),
        (SENT.replace("\x1d", "|"), "separator", False, "| may stand for it"),
        ("]d2", "separator", False, "it was not found"),
        (SENT.swapcase(), "letters and signs", False, "Caps Lock"),
        (SENT.upper(), "letters and signs", False, "are not kept"),
        (SENT.replace("Y", "Z").replace("z", "y"), "letters and signs", False, "Y and Z"),
        (SENT.replace("_", "?"), "letters and signs", False, "question mark came for _"),
        (SENT[:-3], "letters and signs", False, "missing at the end"),
    ],
)
def test_what_is_not_as_it_should_be_is_told(text, what, right, said):
    found = words(text)[what]
    assert found[0] is right
    assert said in found[1]


def test_each_sign_has_a_name():
    assert names_of("A \x1d\x07") == ["A", "blank", "separator (GS)", "U+0007"]
