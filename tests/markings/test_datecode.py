"""Date codes as typed: figures alone, whole identification numbers, and what is refused."""

import pickle
from datetime import date, timedelta

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from inventory.markings.datecode import (
    UnreadableDateCode,
    first_day_of_week,
    read_date_code,
    week_index,
    week_of,
    weeks_in_year,
)
from inventory.markings.errors import UnreadableMarking

TODAY = date(2026, 3, 1)
WEEK = timedelta(weeks=1)


def read(text, today=TODAY, **how):
    return read_date_code(text, today, **how)


def years(code):
    return [candidate.year for candidate in code.candidates]


def test_four_figures_are_week_and_year():
    code = read("0825")
    assert (code.week, code.year, code.canonical, code.decade_known) == (8, 2025, "0825", True)
    assert (code.first_day, code.last_day) == (date(2025, 2, 23), date(2025, 3, 1))
    assert (code.has_date, code.warnings, code.candidates) == (True, (), ())
    assert code.words == "week 08 of 2025"
    assert str(code) == "0825"


def test_a_week_of_doubt_stands_either_side():
    code = read("0825")
    assert (code.earliest, code.latest) == (date(2025, 2, 16), date(2025, 3, 8))


def test_no_doubt_where_the_plants_calendar_is_known():
    code = read("0825", plant_calendar_known=True)
    assert (code.earliest, code.latest) == (code.first_day, code.last_day)


def test_a_53rd_week_in_a_year_of_52_is_kept_with_a_warning_and_its_doubt():
    code = read("5320", plant_calendar_known=True)
    assert (code.week, code.year, code.canonical) == (53, 2020, "5320")
    assert code.first_day == date(2021, 1, 3)
    assert code.earliest == date(2020, 12, 27)  # ISO week 53 of 2020 begins on 28 December
    assert "2020 had 52 weeks" in code.warnings[0]


def test_a_53rd_week_by_the_rule_has_no_warning():
    assert read("5323").warnings == ()


def test_the_53rd_week_of_a_plants_own_calendar_is_not_of_the_future():
    # 31 December 2026 is in ISO week 53; by the US rule that week is 52
    assert read("5326", date(2026, 12, 31)).year == 2026


@pytest.mark.parametrize(
    ("text", "today", "year"),
    [
        ("5299", TODAY, 1999),
        ("0199", TODAY, 1999),
        ("0826", TODAY, 2026),
        ("0926", TODAY, 2026),
        ("1026", date(2126, 3, 1), 2026),  # week 10 of 2126 is still to come
        ("0826", date(2126, 3, 1), 2126),
    ],
)
def test_the_year_is_the_latest_not_after_today_and_1999_at_the_earliest(text, today, year):
    assert read(text, today).year == year


@pytest.mark.parametrize("text", ["1026", "5226", "0127", "0198", "0180"])
def test_the_future_is_refused(text):
    with pytest.raises(UnreadableDateCode, match="still to come on 1 March 2026"):
        read(text)


@pytest.mark.parametrize("text", ["0000", "0025", "5425", "9925", "000", "541", "990"])
def test_weeks_that_no_year_has_are_refused(text):
    with pytest.raises(UnreadableDateCode, match=f"there is no week {text[:2]}"):
        read(text)


def test_three_figures_leave_the_decade_open():
    code = read("031")
    assert (code.week, code.year, code.canonical, code.decade_known) == (3, None, "031", False)
    assert (code.first_day, code.last_day, code.week_index) == (None, None, None)
    assert years(code) == [1971, 1981, 1991]
    assert (code.earliest, code.latest) == (date(1971, 1, 10), date(1991, 2, 2))
    assert code.warnings == ("Three figures do not tell the decade: 1971 or 1981 or 1991.",)
    assert code.words == "week 03 of 1971 or 1981 or 1991"
    assert code.age_on(TODAY) is None


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("010", [1980, 1990, 2000]),
        ("260", [1980, 1990, 2000]),  # the last week before four figures were mandatory
        ("270", [1980, 1990]),
        ("019", [1979, 1989, 1999]),
    ],
)
def test_codes_that_end_in_nought_may_be_of_2000_until_its_middle(text, expected):
    assert years(read(text)) == expected


def test_a_53rd_week_is_kept_for_each_decade_and_doubted_where_there_was_none():
    code = read("538")
    assert years(code) == [1978, 1988, 1998]
    assert [bool(each.warnings) for each in code.candidates] == [False, True, True]


def test_candidates_are_never_of_the_future():
    assert years(read("031", date(1985, 1, 1))) == [1971, 1981]
    with pytest.raises(UnreadableDateCode, match="still to come"):
        read("031", date(1970, 6, 1))


def test_a_triangle_is_told_and_decides_nothing():
    code = read("031 △")
    assert years(code) == [1971, 1981, 1991]
    assert "common practice, no source" in code.warnings[-1]


def test_four_figures_with_two_readings_keep_both():
    code = read("2425")
    assert (code.year, code.week) == (2025, 24)
    assert [(each.year, each.week) for each in code.candidates] == [(2025, 24), (1975, 42)]
    assert code.candidates[1].form == "day, week and year figure"
    assert code.candidates[1].canonical == "4275"


def test_the_1970s_reading_is_taken_where_the_person_says_so():
    code = read("2425", day_first=True)
    assert (code.year, code.week, code.candidates) == (1975, 42, ())
    assert read("5421", day_first=True).year == 1971
    with pytest.raises(UnreadableDateCode, match="not a day"):
        read("8421", day_first=True)


def test_a_year_before_1999_is_told_to_have_three_figures():
    with pytest.raises(UnreadableDateCode, match="of 1978 carries three figures, week and 8"):
        read("1278")


def test_a_refusal_names_the_1970s_way_out():
    with pytest.raises(UnreadableDateCode, match="give the last three alone: 421"):
        read("5421")
    with pytest.raises(UnreadableDateCode, match="give the last three alone: 327"):
        read("2327")
    with pytest.raises(UnreadableDateCode) as refusal:
        read("9925")
    assert "1970s" not in str(refusal.value)


UNREADABLE = ["", "  ", "DOT", "hello", "08", "08/25", "12/2023", "week 12 2023", "W12 2023"]
UNREADABLE += ["2023-W12", "MAR 2023", "5012345678900", "122023", "08\x0025", "٠٨٢٥", "08\n25"]
UNREADABLE += ["0a25", "ab", "DOT AB", "AB12 XYP 0825 EXTRA", "x" * 10_000, "week", "no code"]


@pytest.mark.parametrize("text", UNREADABLE, ids=lambda text: ascii(text[:20]))
def test_what_is_no_code_is_refused_in_a_sentence(text):
    with pytest.raises(UnreadableDateCode, match=r"[.?]$") as refusal:
        read(text)
    error = refusal.value
    assert isinstance(error, UnreadableMarking)
    assert (error.text, bool(error.expected)) == (text, True)
    assert 0 <= error.position <= len(text)
    assert len(str(error)) < 300


@pytest.mark.parametrize("text", ["12/2023", "week 12 2023", "wk 12 23", "12 2023", "12.23"])
def test_a_near_reading_is_offered(text):
    with pytest.raises(UnreadableDateCode, match="mean 1223") as refusal:
        read(text)
    assert refusal.value.near == "1223"


def test_a_refusal_survives_pickling():
    with pytest.raises(UnreadableDateCode) as refusal:
        read("5421")
    assert str(pickle.loads(pickle.dumps(refusal.value))) == str(refusal.value)  # noqa: S301


# -- properties ---------------------------------------------------------------------------------

days = st.dates(date(1971, 1, 1), date(2060, 12, 31))


@given(days)
def test_every_day_lies_in_the_week_it_is_marked_with(day):
    year, week = week_of(day)
    first = first_day_of_week(year, week)
    assert first <= day < first + WEEK
    assert first.isoweekday() == 7
    assert 1 <= week <= weeks_in_year(year)


@given(days, st.sampled_from(["", "AB12 XYP ", "1AB 123ABC ", "DOT "]))
def test_the_code_of_a_day_is_read_back(day, number):
    year, week = week_of(day)
    assume(year >= 1999)
    code = read(f"{number}{week:02}{year % 100:02}", day)
    assert (code.year, code.week, code.warnings) == (year, week, ())
    assert code.earliest < code.first_day <= day <= code.last_day < code.latest
    assert code.week_index == week_index(day)
    assert read(code.canonical, day).first_day == code.first_day


@given(st.dates(date(1971, 1, 3), date(2000, 7, 1)))
def test_the_three_figure_code_of_a_day_has_that_day_among_its_candidates(day):
    year, week = week_of(day)
    code = read(f"{week:02}{year % 10}")
    assert any(each.first_day <= day <= each.last_day for each in code.candidates)
    assert code.earliest <= day <= code.latest


@given(days)
def test_week_numbers_run_on_over_the_years(day):
    assert week_index(day + WEEK) == week_index(day) + 1
    assert week_index(day + timedelta(days=1)) - week_index(day) == (day.isoweekday() == 6)


@given(st.text(max_size=60), st.dates(date(1960, 1, 1), date(2100, 1, 1)))
def test_any_text_is_read_or_refused_in_words(text, today):
    try:
        said = read(text, today).words
    except UnreadableDateCode as refusal:
        said = str(refusal)
    assert said.strip()
