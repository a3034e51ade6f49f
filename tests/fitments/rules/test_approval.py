"""Rule 7: by the car's maker or on a list, which issue, in force, on which conditions, on what."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from fitments.rules.approval import judge_approval
from fitments.rules.values import Basis, Condition, DaySpan, Use
from tests.fitments.rules.making import (
    CANNOT_TELL,
    CAUTION,
    OTHER_PATTERN,
    REFUSED,
    SUITS,
    TODAY,
    approval,
    listing,
    made,
    one,
    race_class,
    spot,
    terms,
    tyre,
)

MARKED = {"mark": "HT", "mark_issue": "2"}
DAY = timedelta(days=1)


def asked(approvals, tyre_=None, on=None, **place):
    place = spot(approvals=tuple(approvals), **place)
    return judge_approval(tyre_ or tyre(**MARKED), place, on or terms())


def by_maker(*approvals, tyre_=None):
    return one(asked(approvals, tyre_), "maker")


def test_approved_in_force_and_checked():
    found = by_maker(approval())
    assert found.outcome is SUITS
    assert found.words == (
        "Approved by Hallmere for Tern, mark HT, issue 2; it rests on evidence checked by a second "
        "person."
    )
    assert found.source == "the register of approvals, HAL-TERN-1: letter 14/2020, Hallmere"


def test_by_list_needs_no_mark():
    found = by_maker(approval(by_list=True, mark="", mark_issue=""), tyre_=tyre())
    assert found.outcome is SUITS
    assert "by list" in found.words


def test_marks_are_read_in_any_case():
    assert by_maker(approval(mark="ht"), tyre_=tyre(mark="HT", mark_issue="2")).outcome is SUITS


@pytest.mark.parametrize(
    ("basis", "outcome", "words"),
    [
        (Basis.CHECKED, SUITS, "checked by a second person"),
        (Basis.SELF_CHECKED, SUITS, "checked only by the person who recorded it"),
        (Basis.CLAIMED, CAUTION, "a claim whose evidence nobody has checked"),
        (Basis.NONE, CAUTION, "nothing on file"),
    ],
)
def test_what_it_rests_on(basis, outcome, words):
    found = by_maker(approval(basis=basis))
    assert found.outcome is outcome
    assert words in found.words


@pytest.mark.parametrize(
    ("changes", "outcome", "words"),
    [
        ({"valid": DaySpan(TODAY, TODAY)}, SUITS, ""),
        ({"valid": DaySpan(TODAY + DAY, None)}, REFUSED, "only from 24 November 2026 on"),
        ({"valid": DaySpan(None, TODAY - DAY)}, REFUSED, "ran out on 22 November 2026"),
        ({"withdrawn_on": TODAY}, REFUSED, "withdrawn on 23 November 2026"),
        ({"withdrawn_on": TODAY + DAY}, SUITS, ""),
        ({"superseded_by": "HT issue 3"}, CAUTION, "superseded by HT issue 3"),
        (
            {"superseded_by": "HT issue 3", "valid": DaySpan(None, date(2024, 5, 31))},
            CAUTION,
            "superseded since 1 June 2024 by HT issue 3: tyres of this issue may still be sold",
        ),
    ],
)
def test_in_force_on_the_day(changes, outcome, words):
    found = by_maker(approval(**changes))
    assert found.outcome is outcome
    assert words in found.words


def test_a_withdrawal_goes_before_a_successor():
    gone = approval(superseded_by="HT issue 3", withdrawn_on=date(2025, 1, 1))
    assert by_maker(gone).outcome is REFUSED


@pytest.mark.parametrize(("index", "outcome"), [(86, SUITS), (82, SUITS), (87, REFUSED)])
def test_a_least_load_index_among_its_conditions(index, outcome):
    assert by_maker(approval(least_load_index=index)).outcome is outcome


def test_a_least_load_index_against_an_unknown_one():
    found = by_maker(approval(least_load_index=84), tyre_=tyre(load_index=None, **MARKED))
    assert found.outcome is CANNOT_TELL
    assert "load index on the sidewall" in found.look_at


@pytest.mark.parametrize(
    ("allowed", "outcome"), [(True, SUITS), (False, REFUSED), (None, CANNOT_TELL)]
)
def test_buffing_among_its_conditions(allowed, outcome):
    buffed = tyre(made=made(condition=Condition.BUFFED, buffed_to_mm=4), **MARKED)
    assert by_maker(approval(buffing_allowed=allowed), tyre_=buffed).outcome is outcome


def test_buffing_is_not_asked_of_a_tyre_as_it_came():
    found = by_maker(approval(buffing_allowed=False), tyre_=tyre(made=made(), **MARKED))
    assert found.outcome is SUITS


def test_conditions_in_words_are_a_caution_and_are_read_out():
    found = by_maker(approval(conditions="front pressure at least 210 kPa"))
    assert found.outcome is CAUTION
    assert found.words.endswith("On condition: front pressure at least 210 kPa.")


@pytest.mark.parametrize(
    ("mark", "issue", "carries"),
    [("", "", "carries no mark"), ("HT", "1", "carries HT 1"), ("HX", "", "carries HX")],
)
def test_another_mark_is_not_the_approved_one(mark, issue, carries):
    found = by_maker(approval(), tyre_=tyre(mark=mark, mark_issue=issue))
    assert found.outcome is REFUSED
    assert "only with the mark HT 2" in found.words
    assert carries in found.words


def test_an_approval_that_holds_goes_before_one_that_does_not():
    old = approval(code="HAL-TERN-0", withdrawn_on=date(2025, 1, 1))
    found = asked([old, approval()])
    assert [(each.point, each.outcome) for each in found] == [("maker", SUITS), ("also", REFUSED)]


@pytest.mark.parametrize(
    "changes",
    [
        {"axle": "rear"},
        {"keys": frozenset({"185-14 R"})},
        {"pattern_key": OTHER_PATTERN},
        {"compound_key": 3},
    ],
)
def test_an_approval_of_another_tyre_says_nothing_of_this_one(changes):
    (found,) = asked([approval(**changes)])
    assert found.outcome is CANNOT_TELL
    assert found.point in ("others", "unknown")
    assert "does not say that there is none" in found.words


def test_others_approved_here_are_named():
    (found,) = asked([approval(pattern_key=OTHER_PATTERN)])
    assert found.point == "others"
    assert "approved by Hallmere for Tern, mark HT, issue 2" in found.words


def test_not_known_is_not_not_approved():
    (found,) = asked([])
    assert (found.point, found.outcome) == ("unknown", CANNOT_TELL)


def test_an_old_mark_no_longer_in_force_makes_no_demand():
    expired = approval(valid=DaySpan(None, date(2024, 1, 1)))
    (found,) = asked([expired], tyre(mark="", mark_issue=""))
    assert found.point == "unknown"


def on_list(*approvals, tyre_=None, ran=True):
    place = {"competition_class": race_class() if ran else None}
    found = asked(approvals, tyre_ or tyre(), terms(Use.TRACK), **place)
    return [each for each in found if each.point in ("list", "no class")]


def test_on_the_organisers_list():
    (found,) = on_list(listing())
    assert found.outcome is SUITS
    assert found.words.startswith("On the list of Aldermoor Racing Circle for touring cars; it")


def test_not_on_the_list_as_it_is_on_record():
    (found,) = on_list(listing(pattern_key=OTHER_PATTERN))
    assert found.outcome is CANNOT_TELL
    assert "not on the list of Aldermoor Racing Circle 2026, touring cars" in found.words
    assert found.look_at == "the organiser's list for 2026"


def test_a_list_of_another_season_is_another_list():
    (found,) = on_list(listing(season=2025))
    assert found.outcome is CANNOT_TELL


def test_withdrawn_from_the_list():
    (found,) = on_list(listing(withdrawn_on=date(2026, 6, 1)))
    assert found.outcome is REFUSED


def test_on_the_track_without_a_class_no_list_is_asked():
    (found,) = on_list(listing(), ran=False)
    assert (found.point, found.outcome) == ("no class", CANNOT_TELL)


def test_on_the_road_a_class_may_still_be_named():
    found = asked([listing()], tyre(), competition_class=race_class())
    assert one(found, "list").outcome is SUITS
