"""Which listing a tyre is, and which size it would replace."""

from __future__ import annotations

from datetime import date

from fitments.rules.listed import governing, listed_as, replaced_by
from fitments.rules.values import DaySpan, Standing
from tests.fitments.rules.making import fitted, sized, spot

BEFORE = DaySpan(None, date(1964, 5, 31))
AFTER = DaySpan(date(1964, 6, 1), None)
LISTED = (
    fitted("5.60-15", built=BEFORE),
    fitted("165 R 15", built=AFTER),
    fitted("185/70 R 15", standing=Standing.ACCEPTED),
)


def test_listings_are_parted_by_build_days():
    tyre = sized("165 R 15")
    assert listed_as(tyre, spot(fitted=LISTED)).sure == (LISTED[1],)
    assert listed_as(tyre, spot(fitted=LISTED, built=None)).perhaps == (LISTED[1],)
    assert listed_as(tyre, spot(fitted=LISTED, built=DaySpan.year(1964))).perhaps == (LISTED[1],)
    assert listed_as(tyre, spot(fitted=LISTED, built=DaySpan.year(1963))).not_this == (LISTED[1],)


def test_the_best_listing_is_a_sure_one_before_one_of_better_standing():
    both = (fitted(built=BEFORE), fitted(standing=Standing.ACCEPTED))
    listed = listed_as(sized("165 R 15"), spot(fitted=both, built=None))
    assert listed.best == both[1]
    assert listed_as(sized("165 R 15"), spot(fitted=())).best is None


def test_what_is_replaced_was_fitted_to_this_car():
    assert replaced_by(sized("195/65 R 15"), spot(fitted=LISTED)) == LISTED[1]
    early = spot(fitted=LISTED, built=DaySpan.year(1963))
    assert replaced_by(sized("195/65 R 15"), early) == LISTED[0]
    assert replaced_by(sized("195/65 R 15"), spot(fitted=())) is None


def test_where_only_other_cars_have_listings_nothing_is_replaced():
    assert replaced_by(sized("195/65 R 15"), spot(fitted=(fitted(built=BEFORE),))) is None


def test_of_several_the_nearest_in_diameter_and_the_first_where_that_is_not_known():
    two = (fitted("6.70-15"), fitted("5.60-15"))
    assert replaced_by(sized("165 R 15"), spot(fitted=two)) == two[1]
    assert replaced_by(sized("5.50 L 15"), spot(fitted=two)) == two[0]


def test_one_whose_diameter_is_not_known_is_the_last_choice():
    two = (fitted("5.50 L 15"), fitted("5.60-15"))
    assert replaced_by(sized("165 R 15"), spot(fitted=two)) == two[1]


def test_the_demands_are_those_of_its_own_listing_else_of_what_it_replaces():
    place = spot(fitted=LISTED)
    assert governing(sized("185/70 R 15"), place) == LISTED[2]
    assert governing(sized("195/65 R 15"), place) == LISTED[1]


def test_keys_are_read_where_they_were_not_given():
    bare = sized("165/80 R 15", size_keys=frozenset())
    assert listed_as(bare, spot(fitted=(fitted(keys=frozenset()),))).sure
