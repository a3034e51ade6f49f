"""How single cells are read, and what is said of those that cannot be."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.ground.sheets import readers
from inventory.ground.sheets.cells import FromNumber
from inventory.ground.sheets.readers import Unread
from inventory.models.sku import Sidewall, TubeType


@pytest.mark.parametrize(
    ("cell", "value"),
    [("12", 12), ("-3", -3), ("+7", 7), ("0", 0), ("007", 7), (FromNumber("12"), 12)],
)
def test_whole_numbers(cell, value):
    assert readers.whole(cell) == value


@pytest.mark.parametrize("cell", ["12.5", "twelve", "12 mm", "1,200", "1e3", "", "１２", "9" * 16])
def test_what_is_no_whole_number(cell):
    with pytest.raises(Unread, match="is not a whole number, written without any mark or unit"):
        readers.whole(cell)


@pytest.mark.parametrize(
    ("cell", "value"),
    [("12", "12"), ("12.50", "12.50"), ("-0.5", "-0.5"), (FromNumber("214.0"), "214.0")],
)
def test_numbers(cell, value):
    assert readers.number(cell) == Decimal(value)


@pytest.mark.parametrize("cell", ["£12", "12 kg", "1.2.3", "NaN", "Infinity", "1e5", "٣", "1 200"])
def test_what_is_no_number(cell):
    with pytest.raises(Unread, match=r"is not a number, such as 12\.5"):
        readers.number(cell)


@pytest.mark.parametrize(("cell", "meant"), [("12,5", "12.5"), ("1,234", "1.234")])
def test_a_comma_is_asked_about_and_never_guessed(cell, meant):
    with pytest.raises(Unread) as refusal:
        readers.number(cell)
    assert str(refusal.value) == f"“{cell}” has a comma: write “{meant}” if that is meant."


def test_days():
    assert readers.day("2026-03-01") == date(2026, 3, 1)


@pytest.mark.parametrize(
    "cell", ["03/04/2026", "1.3.2026", "2026/03/01", "1 March 2026", "2026-3-1", "46082", "2026"]
)
def test_days_in_any_other_order_are_refused_with_what_is_wanted(cell):
    with pytest.raises(Unread, match=r"year-month-day, such as 2026-03-01 for the first of March"):
        readers.day(cell)


@pytest.mark.parametrize("cell", ["2026-02-29", "2026-13-01", "2026-00-10", "0000-01-01"])
def test_days_that_no_calendar_has(cell):
    with pytest.raises(Unread, match=f"“{cell}” is no day of the calendar"):
        readers.day(cell)


@pytest.mark.parametrize(
    ("cell", "value"),
    [("yes", True), ("Y", True), ("TRUE", True), ("1", True), ("x", True), ("no", False),
     ("N", False), ("false", False), ("0", False)],
)  # fmt: skip
def test_yes_and_no(cell, value):
    assert readers.yes_no(cell) is value


def test_neither_yes_nor_no():
    with pytest.raises(Unread, match="“maybe” is neither yes nor no"):
        readers.yes_no("maybe")


@pytest.mark.parametrize(
    "cell", ["tube_type", "Tube type", "tube-type", "TUBE-TYPE: A TUBE ALWAYS", " tube  type "]
)
def test_a_word_of_several_by_code_label_or_its_beginning(cell):
    assert readers.choice(TubeType.choices)(cell) == TubeType.TUBE_TYPE


def test_labels_that_begin_alike_are_told_apart_by_the_whole():
    read = readers.choice(TubeType.choices)
    assert read("tubeless, a tube refused") == TubeType.NO_TUBE
    assert read("tubeless, a tube allowed") == TubeType.TUBELESS
    assert read("tubeless") == TubeType.TUBELESS
    assert read("not stated") == TubeType.UNKNOWN


def test_no_such_word_names_those_there_are():
    with pytest.raises(Unread) as refusal:
        readers.choice(Sidewall.choices)("whitewall")
    assert str(refusal.value) == (
        "“whitewall” is none of: black, white band, red line, raised letters."
    )


def test_several_in_one_cell():
    read = readers.many(readers.code)
    assert read("A; B ;C") == ("A", "B", "C")
    assert read("A;;A; ") == ("A",)
    assert readers.many(readers.whole)("1;2") == (1, 2)
    with pytest.raises(Unread):
        readers.many(readers.whole)("1;two")


def test_figures_keep_their_noughts():
    read = readers.figures(4)
    assert read("0523") == "0523"
    assert read(FromNumber("1523")) == "1523"
    assert read("523") == "523"  # typed as text: three figures are meant


def test_figures_from_a_number_cell_may_have_lost_some():
    with pytest.raises(Unread, match="kept as a number, so that noughts in front of it are lost"):
        readers.figures(4)(FromNumber("523"))


def test_codes_have_single_blanks():
    assert readers.code("R30  E4   12") == "R30 E4 12"


@pytest.mark.parametrize("sign", ["\x00", "\x07", "\x1b", "\x7f", "\x9f", "\u200b", "\u202e", "\n"])
@pytest.mark.parametrize("read", [readers.text, readers.code])
def test_control_characters_are_refused_by_their_place(read, sign):
    with pytest.raises(
        Unread, match=f"Sign 3 of this text is a control character.*{ord(sign):04X}"
    ):
        read(f"ab{sign}c")


def test_ends_of_lines_may_stand_in_a_note_only():
    assert readers.words("one\ntwo\tthree") == "one\ntwo\tthree"
    with pytest.raises(Unread):
        readers.words("one\x00two")


@pytest.mark.parametrize("cell", ["日本タイヤ", "Шины", "ελαστικά", "≋", "ø", "’84"])
def test_other_scripts_are_text(cell):
    assert readers.text(cell) == cell
    assert readers.words(cell) == cell


@given(st.text(max_size=40))
def test_any_text_at_all_is_read_or_refused_in_a_sentence(cell):
    every = [readers.text, readers.words, readers.code, readers.whole, readers.number, readers.day,
             readers.yes_no, readers.figures(4), readers.choice(TubeType.choices),
             readers.many(readers.code)]  # fmt: skip
    for read in every:
        try:
            read(cell)
        except Unread as refusal:
            assert str(refusal).endswith(".")  # noqa: PT017  # most of it is readable
