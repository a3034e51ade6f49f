"""Whole tyre identification numbers: plant, codes and date, with or without spaces."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.markings.datecode import NO_DATE, UnreadableDateCode, read_date_code

TODAY = date(2026, 3, 1)


def read(text):
    return read_date_code(text, TODAY)


def years(code):
    return [candidate.year for candidate in code.candidates]


NUMBERS = [
    ("DOT 1AB 123ABC 0825", "1AB", None, "123ABC", "0825", 2025),
    ("1AB123ABC0825", "1AB", None, "123ABC", "0825", 2025),
    ("dot-1ab-123abc-0825", "1AB", None, "123ABC", "0825", 2025),
    ("D.O.T. AB 12 0825", "AB", "12", None, "0825", 2025),
    ("AB12 XY 0825", "AB", "12", "XY", "0825", 2025),
    ("AB12 WXYP 0825", "AB", "12", "WXYP", "0825", 2025),
    ("ABC 0825", "ABC", None, None, "0825", 2025),
    ("AB C1 021", "AB", "C1", None, "021", None),
    ("AB C1 XYW 538", "AB", "C1", "XYW", "538", None),
    ("AB C1 XYWP 031", "AB", "C1", "XYWP", "031", None),
]


@pytest.mark.parametrize(("text", "plant", "size", "maker", "canonical", "year"), NUMBERS)
def test_a_whole_number(text, plant, size, maker, canonical, year):
    code = read(text)
    assert (code.plant, code.size_code, code.maker_code) == (plant, size, maker)
    assert (code.canonical, code.year, code.text) == (canonical, year, text)
    for candidate in code.candidates:
        assert (candidate.plant, candidate.size_code) == (plant, size)


def test_dot_before_the_figures_alone():
    assert read("DOT 0825").form == "four figures"
    assert read("DOT 031").form == "three figures"


def test_without_spaces_every_reading_is_kept():
    code = read("AB12XY1021")
    assert (code.year, code.maker_code) == (2021, "XY")
    assert years(code) == [2021, 1971, 1981, 1991]
    assert [each.maker_code for each in code.candidates] == ["XY", "XY1", "XY1", "XY1"]


def test_without_spaces_only_the_possible_reading_is_kept():
    assert years(read("AB12XY5421")) == [1971, 1981, 1991]
    assert years(read("AB12XY0825")) == []


def test_with_spaces_an_impossible_week_is_refused():
    with pytest.raises(UnreadableDateCode, match="no week 54"):
        read("AB12 XY 5421")
    with pytest.raises(UnreadableDateCode, match="no week 00"):
        read("AB12XY0000")


@pytest.mark.parametrize(
    ("text", "plant", "size", "maker"),
    [
        ("DOT AB12", "AB", "12", None),
        ("AB12 XYP", "AB", "12", "XYP"),
        ("DOT ABCD", "AB", "CD", None),
        ("1AB 123ABC", "1AB", None, "123ABC"),
    ],
)
def test_a_number_without_its_date_is_no_date(text, plant, size, maker):
    code = read(text)
    assert (code.has_date, code.year, code.first_day, code.canonical) == (False, None, None, "")
    assert (code.plant, code.size_code, code.maker_code) == (plant, size, maker)
    assert "other sidewall" in code.warnings[0]
    assert code.age_on(TODAY) is None
    assert (str(code), code.words) == ("no date", "no date")


def test_no_date():
    assert (NO_DATE.has_date, NO_DATE.candidates, NO_DATE.words) == (False, (), "no date")


@pytest.mark.parametrize(("text", "letter"), [("O825", "O"), ("5I23", "I"), ("0S1", "S")])
def test_letters_that_are_figures_are_read_with_a_warning(text, letter):
    code = read(text)
    assert code.canonical == text.replace("O", "0").replace("I", "1").replace("S", "5")
    assert code.warnings[-1].startswith(f"The letter {letter} is not used")


@pytest.mark.parametrize(
    ("text", "said"),
    [("AO12 0825", "is it a 0?"), ("AG12 0825", "look again"), ("AB12 XYP O825", "read as 0")],
)
def test_letters_never_used_are_warned_of(text, said):
    assert said in " ".join(read(text).warnings)


@given(st.from_regex(r"(DOT )?[0-9A-Z]{2,3} ?[0-9A-Z]{2,6} ?[0-9]{3,4}", fullmatch=True))
def test_candidates_hold_the_reading_taken_and_are_all_dated(text):
    try:
        code = read(text)
    except UnreadableDateCode:
        return
    for each in code.candidates:
        assert each.first_day <= TODAY or each.warnings
        assert each.candidates == ()
    if code.candidates and code.decade_known:
        assert code.candidates[0].first_day == code.first_day
