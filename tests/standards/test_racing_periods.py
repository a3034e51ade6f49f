"""Racing and historic periods by two schemes that use the same letters with other dates.

FIA Appendix K, article 3.2, as quoted in a forum thread (tentenths.com 151850, secondary); C, D, E
and F agree with the FIA's tender for historic tyres of 2005 (doczz.fr 2439709); I and J2:
fia.com/fr/node/6951; IR, IC and J1 from memory. The table in data/ holds those rows as noted from
their sources, and the package's was taken from it; the worked cases below were set down by
themselves. FIVA's classes by day of building: philpa.gr and vccusti.cz, pages of two member clubs
(both read).
"""

from __future__ import annotations

import csv
from datetime import date, timedelta
from pathlib import Path

import pytest

from fitments.rules.racing_periods import (
    APPENDIX_K,
    FIVA,
    SCHEMES,
    classes,
    period_suggestions,
    periods,
)

DATA = Path(__file__).parent / "data" / "fia_periods.csv"
ROWS = list(csv.DictReader(DATA.read_text(encoding="utf-8").splitlines()))
DAY = timedelta(days=1)
GT, TOURING = "general (GT and touring)", "homologated touring and GT"
SINGLE, F3 = "single-seat and two-seat racing", "formula 3"


def letters(scheme: str, applies_to: str | None, day: date) -> list[str]:
    found = period_suggestions(scheme, applies_to, day)
    return list(dict.fromkeys(each.letter for each in found))


# The worked cases of the sources' tables.
@pytest.mark.parametrize(
    ("applies_to", "day", "letter"),
    [
        (GT, date(1904, 12, 31), "A"),
        (GT, date(1905, 1, 1), "B"),
        (SINGLE, date(1930, 12, 31), "C"),
        (GT, date(1946, 12, 31), "D"),
        (GT, date(1961, 6, 1), "E"),
        (SINGLE, date(1961, 6, 1), "F"),
        (GT, date(1965, 12, 31), "F"),
        (TOURING, date(1966, 1, 1), "G1"),
        (TOURING, date(1970, 1, 1), "G2"),
        (SINGLE, date(1971, 12, 31), "GR"),
        (F3, date(1964, 5, 1), "GR"),
        (F3, date(1971, 5, 1), "HR"),
        (TOURING, date(1976, 5, 1), "H2"),
        (TOURING, date(1981, 12, 31), "I"),
        (TOURING, date(1986, 1, 1), "J2"),
    ],
)
def test_appendix_k_by_class_and_day(applies_to, day, letter):
    assert letters(APPENDIX_K, applies_to, day) == [letter]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['period']}-{row['applies_to']}")
def test_every_row_on_its_first_and_last_day(row):
    for end, step in (("from_date", -DAY), ("to_date", DAY)):
        if row[end]:
            day = date.fromisoformat(row[end])
            assert row["period"] in letters(APPENDIX_K, row["applies_to"], day)
            assert row["period"] not in letters(APPENDIX_K, row["applies_to"], day + step)


def test_the_table_has_just_these_periods():
    ours = {(p.letter, p.applies_to) for p in periods() if p.scheme == APPENDIX_K}
    assert ours == {(row["period"], row["applies_to"]) for row in ROWS}


@pytest.mark.parametrize(
    ("first", "last", "letter"),
    [
        (None, date(1904, 12, 31), "A"),
        (date(1905, 1, 1), date(1918, 12, 31), "B"),
        (date(1919, 1, 1), date(1930, 12, 31), "C"),
        (date(1931, 1, 1), date(1945, 12, 31), "D"),
        (date(1946, 1, 1), date(1960, 12, 31), "E"),
        (date(1961, 1, 1), date(1970, 12, 31), "F"),
        (date(1971, 1, 1), date(1980, 12, 31), "G"),
        (date(1981, 1, 1), None, "H"),
    ],
)
def test_fiva_by_day_of_building(first, last, letter):
    for day in filter(None, (first, last)):
        assert letters(FIVA, None, day) == [letter]


@pytest.mark.parametrize("day", [date(1946, 6, 1), date(1961, 6, 1), date(1966, 6, 1)])
def test_the_same_letter_means_other_days_in_the_other_scheme(day):
    assert letters(APPENDIX_K, GT, day) != letters(FIVA, None, day)


def test_without_a_class_every_class_is_suggested():
    assert letters(APPENDIX_K, None, date(1961, 6, 1)) == ["E", "F"]


def test_nothing_is_suggested_by_a_scheme_that_is_not_known():
    assert period_suggestions("another", None, date(1961, 6, 1)) == ()


def test_every_period_has_its_source():
    assert SCHEMES == (APPENDIX_K, FIVA)
    assert all(each.source for each in periods())
    assert classes(FIVA) == ("all",)
    assert SINGLE in classes(APPENDIX_K)
