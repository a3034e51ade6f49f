"""Refusals carry a sentence for people and a code for programs."""

from __future__ import annotations

import pytest

from inventory.ground.refusal import Refusal, StaleVersion


class PlaceIsFull(Refusal):
    sentence = "This place is full: choose another."


class Odd2Word(Refusal):
    code = "named-by-hand"


def test_the_code_follows_from_the_name():
    assert PlaceIsFull.code == "place-is-full"
    assert StaleVersion.code == "stale-version"


def test_or_is_named_by_hand():
    assert Odd2Word().code == "named-by-hand"


def test_the_sentence_is_the_class_s_own_unless_told():
    assert str(PlaceIsFull()) == "This place is full: choose another."
    assert str(PlaceIsFull("R3-B is full.")) == "R3-B is full."


def test_the_field_at_fault_is_kept():
    assert PlaceIsFull(field="place").field == "place"
    assert PlaceIsFull().field is None


@pytest.mark.parametrize(("kind", "status"), [(PlaceIsFull, 409), (StaleVersion, 412)])
def test_status(kind, status):
    assert kind().status == status
