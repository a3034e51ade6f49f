"""What cannot be read is refused with the place, what was expected there, and a near reading."""

from __future__ import annotations

import time

import pytest

from inventory.markings import UnreadableMarking, read_size


def refusal(text: str) -> UnreadableMarking:
    with pytest.raises(UnreadableMarking) as caught:
        read_size(text)
    return caught.value


@pytest.mark.parametrize(
    ("text", "position", "expected", "near"),
    [
        ("185/7O R 15", 4, "a profile", "185/70 R 15"),
        ("I85/70 R 15", 0, "a width", "185/70 R 15"),
        ("l85/70 R 15", 0, "a width", "185/70 R 15"),
        ("18S/70 R 15", 0, "a width", "185/70 R 15"),
        ("165 R I5", 6, "a rim diameter", "165 R 15"),
        ("165 R 1S", 6, "a rim", "165 R 15"),
        ("5.6O-15", 0, "a width", "5.60-15"),
        ("1885/70 R 15", None, "", "185/70 R 15"),
        ("185/770 R 15", 4, "an overall diameter", "185/70 R 15"),
        ("185/70 R 155", 9, "a millimetre rim", "185/70 R 15"),
        ("1655R15", 0, "", "165 R 15"),
        ("70/185 R 15", 0, "", "185/70 R 15"),
        ("15/185 R 70", 0, "", "185/70 R 15"),
        ("15-5.60", None, "", "5.60-15"),
        ("R15 185/70", 0, "a width", "185/70 R 15"),
        ("158/70 R 15", 0, "a width", "185/70 R 15"),
        ("186/70 R 15", 0, "a width in steps of 5", "185/70 R 15"),
        ("185/71 R 15", 4, "a profile", "185/70 R 15"),
        ("165 R", 5, "a rim diameter", "165 R 15"),
        ("185/70 R", 8, "a rim diameter", "185/70 R 15"),
        ("185/70", 6, "a rim diameter", "185/70-15"),
        ("185/70 V 15", 7, "a rim", "185/70 VR 15"),
        ("185/70 R 15 V", 12, "a load index before a speed symbol", "185/70 VR 15"),
        ("5.60-15 S", 8, "a load index before a speed symbol", "5.60 S 15"),
        ("18570R15", 0, "a width", "185/70 R 15"),
        ("1857015", 0, "a width", "185/70-15"),
        ("16515", 0, "a width", "165-15"),
        ("5 60 15", None, "", "5.60-15"),
        ("6-12", 0, "a width", "6.00-12"),
        ("185/70R1589V", 7, "a rim", "185/70 R 15 89V"),
        ("205/55 R 16 (91W", 16, "a bracket on both sides", "205/55 R 16 (91W)"),
        ("165 R 15 foo", 9, "a service description", "165 R 15"),
        ("165 R 15 86S 87H", 13, "a service description", "165 R 15"),
        ("165 R 15 29S", 9, "a load index", "165 R 15"),
        ("165 R 15 5PR", 9, "a ply rating", "165 R 15"),
        ("26.0/10.0-15", None, "", "10.0/26.0-15"),
        ("185/70 R 45", 9, "a rim diameter", None),
        ("185-14/7.35-15", 12, "the same rim in both halves", None),
        ("345 R 15", 0, "a width", None),
        ("33x6.3", None, "", "33x6.30-15"),
        ("6.00/9.00-16", None, "", None),
        ("5.50/23.0 R 45", None, "a rim", None),
        ("3x30", None, "", "30x3"),
        ("900x400", None, "", None),
        ("abc", 0, "a tyre size", None),
        ("", 0, "a tyre size", None),
        ("   ", 0, "a tyre size", None),
        ("---", 0, "a tyre size", None),
    ],
)
def test_a_refusal_says_where_and_what_and_what_is_near(text, position, expected, near):
    said = refusal(text)
    assert said.text == text
    assert position is None or said.position == position
    assert said.expected.startswith(expected) or expected in said.expected
    assert said.near == near


def test_a_refusal_is_a_sentence():
    assert str(refusal("185/7O R 15")) == (
        "“185/7O R 15” cannot be read at “7O”: a profile (two figures) was expected; "
        "did you mean 185/70 R 15?"
    )
    assert str(refusal("")) == (
        "Nothing to read: a tyre size such as 185/70 R 15 or 5.60-15 was expected."
    )
    assert str(refusal("185/70 R")).startswith("“185/70 R” cannot be read to its end: a rim ")


def test_the_position_is_a_place_in_what_was_typed():
    said = refusal("   185/70   R 15 foo")
    assert said.text[said.position :] == "foo"
    said = refusal("30x3½ zz")
    assert said.text[said.position :] == "zz"


@pytest.mark.parametrize(
    ("text", "position", "named"),
    [
        ("185/70 Р 15", 7, "cyrillic capital letter er"),
        ("165 R １５ 한", 9, "hangul syllable han"),
        ("١٦٥ R 15", 0, "a letter, a figure"),
        ("165\x00R 15", 3, "control character (U+0000)"),
        ("165\tR 15", 3, "control character (U+0009)"),
        ("165\u200bR 15", 3, "control character (U+200B)"),
        ("165 R 15\u202e", 8, "control character (U+202E)"),
        ("165 R 1²", 7, "a letter, a figure"),
        ("165;R 15", 3, "a letter, a figure"),
        ("=165", 0, "a letter, a figure"),
        ("165 R 15 🙂", 9, "a letter, a figure"),
    ],
)
def test_other_scripts_and_control_characters_are_named(text, position, named):
    said = refusal(text)
    assert said.position == position
    assert named in said.expected
    assert str(said).isprintable()


@pytest.mark.parametrize(
    "text", ["1" * 10_000, "185/70 R 15 " * 900, " " * 10_000, "1-" * 5_000, "x" * 61]
)
def test_long_text_is_refused_at_once_in_a_short_sentence(text):
    began = time.perf_counter()
    said = refusal(text)
    assert time.perf_counter() - began < 0.05
    assert said.text == text
    assert len(str(said)) < 200


@pytest.mark.parametrize(
    "unit", ["1 ", "5.60/", "185-", "4PR ", "86S ", "1/2 ", "R ", "(", "½", "O"]
)
def test_hostile_repetition_is_refused_quickly(unit):
    text = (unit * 60)[:60]
    began = time.perf_counter()
    refusal(text)
    assert time.perf_counter() - began < 0.1
