"""What a scanner sends: GS1 data in every dress, article numbers, and codes of the house."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.markings import SEPARATOR, Form, UnreadableScan, check_digit, read_scan
from inventory.markings.scans.identifiers import KNOWN, SIGNS, identifier_at

GTIN = "09520123456788"
LOT_AND_SERIAL = (("01", GTIN), ("10", "ABC123"), ("21", "12345"))


@pytest.mark.parametrize(
    "text",
    [
        f"01{GTIN}10ABC123{SEPARATOR}2112345",
        f"]d201{GTIN}10ABC123{SEPARATOR}2112345",
        f"]C101{GTIN}10ABC123^]2112345",
        f"]Q301{GTIN}10ABC123\N{SYMBOL FOR GROUP SEPARATOR}2112345",
        f"01{GTIN}10ABC123<GS>2112345",
        f"{SEPARATOR}01{GTIN}{SEPARATOR}10ABC123{SEPARATOR}2112345{SEPARATOR}",
        f"]e0{SEPARATOR}01{GTIN}10ABC123{SEPARATOR}2112345",
        f"(01){GTIN}(10)ABC123(21)12345",
        f"]Q1https://id.example/01/{GTIN}/10/ABC123/21/12345",
        f"https://id.example/tyres/01/{GTIN}/10/ABC123/21/12345?linkType=all",
    ],
)
def test_the_same_data_in_every_dress(text):
    scan = read_scan(f" {text}\r")
    assert scan.elements == LOT_AND_SERIAL
    assert (scan.gtin, scan.lot, scan.serial) == (GTIN, "ABC123", "12345")
    assert scan.lots == ("ABC123",)


def test_what_comes_without_prefix_or_separator_may_still_be_a_code():
    assert read_scan(f"01{GTIN}10A7").code == f"01{GTIN}10A7"
    assert read_scan(f"]d201{GTIN}10A7").code == ""
    assert read_scan(f"01{GTIN}10A7^]21B").code == ""


def test_a_lost_separator_leaves_shorter_readings_of_the_lot_behind_the_long_one():
    scan = read_scan(f"]d201{GTIN}10ABC12321XYZ")
    assert scan.lots == ("ABC12321XYZ", "ABC123")
    assert scan.lot == "ABC12321XYZ"


def test_our_own_label_has_a_code_of_the_house_alone():
    assert read_scan("]d291LOT-0140").own == "LOT-0140"
    plain = read_scan("91LOT-0140")
    assert (plain.own, plain.code) == ("LOT-0140", "91LOT-0140")


@pytest.mark.parametrize("text", ["A-01-2", "LOT-0140", "]d1A-01-2", "]A0X", "(shelf) 3", "ÄÖ"])
def test_anything_else_on_one_line_is_a_code(text):
    scan = read_scan(text)
    assert scan.form == Form.CODE
    assert scan.code == text.removeprefix("]d1").removeprefix("]A0")
    assert (scan.gtin, scan.elements, scan.doubt) == ("", (), "")


@pytest.mark.parametrize(
    ("text", "gtin"),
    [
        ("6291041500213", "06291041500213"),
        ("]E06291041500213", "06291041500213"),
        ("]E402345673", "00000002345673"),
        ("02345673", "00000002345673"),
        ("416000336108", "00416000336108"),
        ("12345678901231", "12345678901231"),
    ],
)
def test_an_article_number_of_each_length(text, gtin):
    scan = read_scan(text)
    assert (scan.form, scan.gtin) == (Form.GTIN, gtin)


def test_figures_with_a_wrong_check_digit_may_be_a_code_and_say_why_no_article():
    scan = read_scan("6291041500214")
    assert (scan.form, scan.gtin, scan.code) == (Form.CODE, "", "6291041500214")
    assert "the last figure is 3, not 4" in scan.doubt
    assert "check digit 8" in read_scan("0109520123456789").doubt


@pytest.mark.parametrize(
    ("text", "position", "expected"),
    [
        ("", 0, "a label or an article number"),
        (" \x1d ", 0, "a label or an article number"),
        ("A\x07B", 1, "a printable sign"),
        ("x" * 501, 500, "no more than 500 signs"),
        ("]", 1, "a letter and a figure"),
        ("]d", 1, "a letter and a figure"),
        ("]d2", 3, "what the symbol says"),
        ("]d299", 2, "1 to 90"),
        ("]d2AB", 0, "an application identifier"),
        ("]d2010952012345678", 15, "14 figures of (01)"),
        ("]d20109520123456789", 15, "the check digit 8 of (01)"),
        ("]d20109520123X56788", 10, "14 figures of (01)"),
        ("]d2" + f"01{GTIN}17251325", 20, "a month 01 to 12"),
        ("]d2" + f"01{GTIN}17251232", 22, "a day 00 to 31"),
        ("]d2" + f"01{GTIN}10ABC DEF", 21, "1 to 20 letters, figures or signs of (10)"),
        ("]d2" + f"01{GTIN}10{'A' * 21}", 38, "1 to 20"),
        ("]d2" + f"10A{SEPARATOR}10B", 6, "(10) once"),
        ("]d2" + f"01{GTIN}10{SEPARATOR}21X", 18, "1 to 20"),
        ("(01)0952012345678", 17, "14 figures"),
        ("(01", 0, "in brackets"),
        ("]E0629104150021", 12, "13 figures behind ]E0"),
        ("]E06291041500214", 12, "a valid check digit"),
        (f"HtTp://id.example/01/{GTIN}", 0, "http or https"),
        ("https://id.example/01/9520123456788", 35, "14 figures of (01)"),
        (f"https://id.example/01/{GTIN}/10/A/22/B", 42, "22, 10, 21"),
        (f"https://id.example/01/{GTIN}?21=7", 37, "(21) in the path"),
        ("https://id.example/tyres/", 25, "behind /01/"),
        ("http://[bad", 0, "a web address"),
    ],
)
def test_what_cannot_be_read_says_where_and_what_was_expected(text, position, expected):
    with pytest.raises(UnreadableScan) as raised:
        read_scan(text)
    assert raised.value.position == position
    assert expected in raised.value.expected
    assert expected in str(raised.value)


def test_no_identifier_begins_another():
    for name in KNOWN:
        assert identifier_at(f"{name}0", 0) == KNOWN[name]


SIGN = st.sampled_from(sorted(SIGNS))
VALUE = st.text(SIGN, min_size=1, max_size=20)


@given(st.text("0123456789", min_size=13, max_size=13), VALUE, VALUE, st.sampled_from(["", "]d2"]))
def test_whatever_is_put_together_is_read_again(figures, lot, serial, prefix):
    gtin = figures + str(check_digit(figures))
    scan = read_scan(f"{prefix}01{gtin}10{lot}{SEPARATOR}21{serial}")
    assert scan.elements == (("01", gtin), ("10", lot), ("21", serial))


@given(st.text(max_size=60))
def test_any_text_is_read_or_refused_with_a_place_in_it(text):
    try:
        scan = read_scan(text)
    except UnreadableScan as error:
        stopped = error
    else:
        assert scan.code or scan.elements or scan.gtin
        return
    assert 0 <= stopped.position <= len(stopped.text)
    assert str(stopped)
