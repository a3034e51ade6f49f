"""A sidewall against what was ordered: what disagrees, and in which words."""

from __future__ import annotations

from datetime import date

import pytest

from inventory.activities.receiving import Agreed, Reading, judge
from tests.factories.catalogue import SkuFactory

ARRIVED = date(2026, 11, 23)


def tyre(**fields):
    return SkuFactory.build(maker=None, pattern=None, **fields)


def judged(sku=None, *, oldest=None, made_in="", issue="", ordered=True, **reading):
    return judge(
        sku or tyre(),
        Reading(**{"date_code": "3026", **reading}),
        agreed=Agreed(oldest, made_in, issue),
        ordered=ordered,
        arrived_on=ARRIVED,
    )


def test_what_is_as_it_was_ordered():
    found = judged(tyre(marked=True), mark="HLM", mark_issue="2", size="185/70 R 15 89V", oldest=12)
    assert (found.faults, found.disagrees, found.says) == ((), "", "")


@pytest.mark.parametrize(
    ("reading", "disagrees", "words"),
    [
        ({"size": "175/70 R 15 86V"}, "wrong_tyre", "175/70 R 15 86V was read, 185/70 R 15 89V"),
        ({"size": "185/70 R 15 89H"}, "wrong_service", "89H was read, 89V ordered."),
        ({"size": "185/70 R 15 88V"}, "wrong_service", "88V was read, 89V ordered."),
        ({"mark": "HLM", "mark_issue": "1"}, "wrong_mark", "HLM issue 1 was read, HLM issue 2"),
        ({"mark": "", "mark_issue": ""}, "wrong_mark", "no mark was read, HLM issue 2 ordered."),
        ({"mark": "hlm"}, "", ""),
        ({"found": "damaged"}, "damaged", "Damaged."),
        ({"found": "part_worn"}, "part_worn", "new was ordered"),
        ({"side": "left"}, "wrong_side", "A left one was read, one that is not handed ordered."),
    ],
)
def test_what_disagrees(reading, disagrees, words):
    found = judged(tyre(marked=True), **{"mark": "HLM", "mark_issue": "2", **reading})
    assert not found.faults
    assert found.disagrees == disagrees
    assert words in found.says


@pytest.mark.parametrize(
    ("reading", "disagrees", "says"),
    [
        ({"country": "Norland"}, "", ""),
        ({"country": "NORLAND"}, "", ""),
        ({"country": "Sudland"}, "wrong_country", "Made in Sudland; Norland is agreed."),
        ({"pattern_issue": "b"}, "", ""),
        ({"pattern_issue": "A"}, "wrong_issue", "Pattern issue A was read; B is agreed."),
        ({"country": "", "pattern_issue": ""}, "", ""),
    ],
)
def test_what_was_agreed_of_country_and_pattern_issue(reading, disagrees, says):
    found = judged(made_in="Norland", issue="B", **reading)
    assert (found.faults, found.disagrees, found.says) == ((), disagrees, says)
    assert judged(**reading).disagrees == ""


@pytest.mark.parametrize(
    ("field", "words"),
    [
        ("country", "Read where it was made: Norland is agreed."),
        ("pattern_issue", "Read the pattern issue: B is agreed."),
    ],
)
def test_what_was_agreed_is_to_be_looked_for(field, words):
    (fault,) = judged(made_in="Norland", issue="B", **{field: None}).faults
    assert (fault.field, fault.words) == (field, words)
    assert not judged(**{field: None}).faults


def test_the_apostrophe_of_a_year_does_not_matter():
    sku = tyre(mark="green dot", mark_issue="'84")
    assert judged(sku, mark="Green dot", mark_issue="84").disagrees == ""
    assert judged(sku, mark="green dot", mark_issue="’79").disagrees == "wrong_mark"


def test_the_same_size_written_otherwise_is_the_same():
    assert judged(tyre(size_text="165 R 15 86H"), size="165/80 R 15 86H").disagrees == ""


def test_a_size_without_a_service_description_says_nothing_of_it():
    assert judged(size="185/70 R 15").disagrees == ""


def test_a_handed_tyre_of_the_other_side():
    assert judged(tyre(left=True), side="left").disagrees == ""
    found = judged(tyre(left=True), side="right")
    assert (found.disagrees, found.says) == ("wrong_side", "A right one was read, left ordered.")


def test_all_that_disagrees_is_told_and_the_gravest_is_the_reason():
    found = judged(tyre(marked=True), mark="", found="damaged", date_code="1012", oldest=12)
    assert found.disagrees == "damaged"
    for words in ("Damaged.", "no mark was read", "Made in week 10 of 2012"):
        assert words in found.says


def test_what_is_not_on_the_order():
    sku = tyre()
    found = judged(sku, ordered=False)
    assert (found.disagrees, found.says) == ("not_ordered", f"{sku.code} is not on the order.")


# A limit of 12 months on 23 November 2026: the week that ends on or after 23 November 2025 is the
# oldest allowed one. By the US rule (49 CFR 574.5) week 47 of 2025 ends on Saturday 29 November.
@pytest.mark.parametrize(("code", "disagrees"), [("4725", ""), ("4625", "too_old"), ("4726", "")])
def test_the_oldest_accepted_to_the_week(code, disagrees):
    assert judged(date_code=code, oldest=12).disagrees == disagrees


def test_age_is_told_with_what_was_agreed():
    says = judged(date_code="1024", oldest=18).says
    assert (
        says == "Made in week 10 of 2024, 2 years 8 months old; 18 months are agreed at the most."
    )


@pytest.mark.parametrize("code", ["", "148"])
def test_no_age_can_be_told_where_one_was_agreed(code):
    assert judged(date_code=code, oldest=12).disagrees == "undated"
    assert judged(date_code=code).disagrees == ""


def test_a_tube_has_no_age():
    assert judged(tyre(tube_kind=True), date_code="", oldest=12).disagrees == ""


def test_a_whole_identification_number_is_read():
    found = judged(date_code="DOT B9XY 8LMN 1012", oldest=12)
    assert found.disagrees == "too_old"
    assert "week 10 of 2012" in found.says


@pytest.mark.parametrize(
    ("reading", "field", "words"),
    [
        ({"date_code": "5426"}, "date_code", "54"),
        ({"date_code": "rubbish"}, "date_code", "rubbish"),
        ({"date_code": "0327"}, "date_code", "0327"),
        ({"size": "185-70-15-zz"}, "size_read", "185-70-15-zz"),
        ({"mark": None}, "mark", "Read the approval mark: HLM issue 2 is wanted."),
    ],
)
def test_what_cannot_be_read_is_said_and_nothing_is_judged(reading, field, words):
    found = judged(tyre(marked=True), **{"mark": "HLM", "mark_issue": "2", **reading})
    assert [fault.field for fault in found.faults] == [field]
    assert words in found.faults[0].words
    assert found.disagrees == ""


def test_a_mark_need_not_be_looked_for_where_none_is_wanted():
    assert judged(tyre(), mark=None).disagrees == ""


def test_doubts_about_a_code_are_told():
    assert judged(date_code="148").warnings
