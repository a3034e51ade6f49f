"""The values: outcomes and their order, verdicts, spans of days."""

from __future__ import annotations

from dataclasses import FrozenInstanceError, replace
from datetime import date

import pytest

from fitments.rules.values import (
    ALWAYS,
    Basis,
    DaySpan,
    Finding,
    Market,
    Outcome,
    Spot,
    Standing,
    Tyre,
    Verdict,
    Weight,
)
from tests.fitments.rules.making import (
    CANNOT_TELL,
    CAUTION,
    REFUSED,
    SUITS,
    made,
    race_class,
    sized,
    tyre,
)


def found(outcome: Outcome, rule: str = "rim", counts: Weight = Weight.FULL, look_at: str = ""):
    words = f"{rule} {outcome.word}"
    return Finding(rule, outcome, words, "source", look_at=look_at, counts=counts)


def test_outcomes_in_words_and_signs():
    assert [(each.word, each.sign, each.code) for each in Outcome] == [
        ("suits", "✓", "suits"),
        ("suits with a caution", "!", "caution"),
        ("cannot tell", "?", "cannot_tell"),
        ("does not suit", "✕", "does_not_suit"),
    ]


def test_does_not_suit_goes_before_cannot_tell_before_caution_before_suits():
    assert REFUSED > CANNOT_TELL > CAUTION > SUITS


def test_weights_in_words():
    assert [(each.word, each.code) for each in Weight] == [
        ("not asked", "not_asked"),
        ("note only", "note"),
        ("a caution at most", "caution"),
        ("in full", "full"),
    ]


@pytest.mark.parametrize(
    ("outcomes", "verdict"),
    [
        ([SUITS, SUITS], SUITS),
        ([SUITS, CAUTION], CAUTION),
        ([CAUTION, CANNOT_TELL], CANNOT_TELL),
        ([CANNOT_TELL, REFUSED], REFUSED),
        ([], CANNOT_TELL),
    ],
)
def test_the_strictest_finding_decides(outcomes, verdict):
    assert Verdict.of([found(each) for each in outcomes]).outcome is verdict


def test_notes_are_shown_and_do_not_count():
    verdict = Verdict.of([found(SUITS), found(REFUSED, "shape", Weight.NOTE)])
    assert verdict.outcome is SUITS
    assert [each.rule for each in verdict.notes] == ["shape"]
    assert verdict.reasons == ("rim suits",)


def test_only_notes_tell_nothing():
    assert Verdict.of([found(SUITS, counts=Weight.NOTE)]).outcome is CANNOT_TELL


def test_a_caution_at_most():
    verdict = Verdict.of([found(SUITS), found(REFUSED, "size", Weight.CAUTION)])
    assert verdict.outcome is CAUTION
    assert [each.rule for each in verdict.worst] == ["size"]


def test_reasons_come_strictest_first_and_else_in_order():
    verdict = Verdict.of(
        [found(SUITS, "size"), found(CAUTION, "rim"), found(REFUSED, "load"), found(CAUTION, "use")]
    )
    assert [words.split()[0] for words in verdict.reasons] == ["load", "rim", "use", "size"]


def test_findings_by_rule_and_what_to_look_at():
    verdict = Verdict.of(
        [
            found(SUITS, "rim"),
            found(CANNOT_TELL, "load", look_at="the plate"),
            found(CANNOT_TELL, "rim", look_at="the plate"),
            found(CANNOT_TELL, "tube", look_at="the rim"),
        ]
    )
    assert {rule: len(each) for rule, each in verdict.by_rule.items()} == {
        "rim": 2,
        "load": 1,
        "tube": 1,
    }
    assert verdict.look_at == ("the plate", "the rim")


def test_values_do_not_change():
    for value, field in ((tyre(), "code"), (Spot(), "car"), (found(SUITS), "words")):
        with pytest.raises(FrozenInstanceError):
            setattr(value, field, "other")


def test_a_place_may_be_quite_unknown():
    assert Spot() == Spot(axle=None, rim_mm=None, fitted=())


def test_a_tyre_is_called_by_its_names():
    assert str(tyre()) == "Marrick Vale 165 R 15 86H"
    assert str(Tyre(code="M-1")) == "M-1"
    assert str(sized("5.60-15")) == "5.60-15"


def test_names_in_sentences():
    assert str(race_class()) == "Aldermoor Racing Circle 2026, touring cars"
    assert [each.words for each in Market] == [
        "Great Britain",
        "the EU",
        "the US",
        "this market",
    ]
    assert all(each.words for each in (*Basis, *Standing))


YEAR = DaySpan.year(1964)


def test_a_span_has_both_days():
    assert YEAR.holds(date(1964, 1, 1))
    assert YEAR.holds(date(1964, 12, 31))
    assert not YEAR.holds(date(1965, 1, 1))
    assert DaySpan.day(date(1964, 2, 29)).holds(date(1964, 2, 29))


def test_an_open_end_goes_on():
    assert DaySpan(date(1964, 1, 1), None).holds(date(2099, 1, 1))
    assert DaySpan(None, date(1964, 1, 1)).holds(date(1900, 1, 1))
    assert ALWAYS.covers(YEAR)
    assert not YEAR.covers(ALWAYS)
    assert (ALWAYS.known, YEAR.known, DaySpan(None, date(1964, 1, 1)).known) == (False, True, True)


@pytest.mark.parametrize(
    ("other", "overlaps", "covers"),
    [
        (DaySpan(date(1964, 12, 31), date(1966, 1, 1)), True, False),
        (DaySpan(date(1965, 1, 1), None), False, False),
        (DaySpan(date(1964, 3, 1), date(1964, 4, 1)), True, True),
        (DaySpan(None, date(1964, 1, 1)), True, False),
    ],
)
def test_spans_side_by_side(other, overlaps, covers):
    assert YEAR.overlaps(other) is overlaps
    assert YEAR.covers(other) is covers


def test_a_span_cannot_run_backwards():
    with pytest.raises(ValueError, match="cannot run from 1964-01-02 back to 1964-01-01"):
        DaySpan(date(1964, 1, 2), date(1964, 1, 1))


def test_a_tyre_as_it_was_made_is_the_same_in_all_else():
    one = tyre()
    told = one.as_made(made())
    assert told == replace(one, made=made())
    assert hash(told) == hash(replace(one, made=made()))
    assert told.as_made(None) == one
    assert one.made is None
