"""When a car was built, as people say it."""

from __future__ import annotations

from datetime import date
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitments.lookup.span import Span, UnreadableDay, find_span, parts_of, read_span

DAYS = st.dates(date(1900, 1, 1), date(2050, 12, 31))


@pytest.mark.parametrize(
    ("text", "first", "last"),
    [
        ("1964", date(1964, 1, 1), date(1964, 12, 31)),
        ("June 1964", date(1964, 6, 1), date(1964, 6, 30)),
        ("jun 1964", date(1964, 6, 1), date(1964, 6, 30)),
        ("Feb. 1964", date(1964, 2, 1), date(1964, 2, 29)),
        ("1964-06", date(1964, 6, 1), date(1964, 6, 30)),
        ("6/1964", date(1964, 6, 1), date(1964, 6, 30)),
        ("12 June 1964", date(1964, 6, 12), date(1964, 6, 12)),
        ("12th June, 1964", date(1964, 6, 12), date(1964, 6, 12)),
        ("1964-06-12", date(1964, 6, 12), date(1964, 6, 12)),
        ("1964-03-01/1965-05-02", date(1964, 3, 1), date(1965, 5, 2)),
    ],
)
def test_reads(text: str, first: date, last: date) -> None:
    assert read_span(text) == Span(first, last)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "64",
        "June",
        "31 June 1964",
        "1964-13-01",
        "1700",
        "June 1964 or so",
        "1965-05-02/1964-03-01",
        "١٩٦٤ ",
        "1964" * 200,
    ],
)
def test_says_what_would_be_understood(text: str) -> None:
    with pytest.raises(UnreadableDay, match="does not say when the car was built"):
        read_span(text)


def test_finds_the_time_in_a_question_and_leaves_the_rest() -> None:
    span, rest = find_span("Marbrook saloon, June 1964")
    assert (span, rest) == (read_span("June 1964"), "Marbrook saloon")


def test_leaves_a_chassis_number_alone() -> None:
    span, rest = find_span("HS 12345 of 1964")
    assert span == read_span("1964")
    assert rest == "HS 12345 of"


def test_a_question_without_a_time_has_none() -> None:
    assert find_span(" Marbrook saloon ") == (None, "Marbrook saloon")


def test_a_day_that_does_not_exist_is_said_in_a_question() -> None:
    with pytest.raises(UnreadableDay, match="no calendar has that day"):
        find_span("Marbrook saloon 31 June 1964")


@given(DAYS, DAYS)
def test_code_reads_back(one: date, other: date) -> None:
    span = Span(min(one, other), max(one, other))
    assert read_span(span.code) == span


@given(DAYS, DAYS, st.lists(st.tuples(st.none() | DAYS, st.none() | DAYS), max_size=6))
def test_parts_cover_the_span_and_no_period_changes_inside_one(
    one: date, other: date, edges: list[tuple[date | None, date | None]]
) -> None:
    span = Span(min(one, other), max(one, other))
    parts = parts_of(span, edges)
    assert parts[0].first == span.first
    assert parts[-1].last == span.last
    for before, after in pairwise(parts):
        assert (after.first - before.last).days == 1
    for part in parts:
        for first, last in edges:
            if (first and last) and last < first:
                continue
            assert part.within(first, last) or not part.touches(first, last)


def test_a_change_inside_a_year_names_the_dividing_day() -> None:
    parts = parts_of(read_span("1964"), [(None, date(1964, 3, 14)), (date(1964, 3, 15), None)])
    assert [part.words for part in parts] == [
        "1 January 1964 to 14 March 1964",
        "15 March 1964 to 31 December 1964",
    ]
