"""Measured values at the edge: with a unit, in the house's own, or refused in words."""

from __future__ import annotations

import pytest
from django import forms
from rest_framework import serializers

from inventory.ground.quantities import QuantityField, QuantityFormField
from inventory.markings.units import to_kmh, to_mm


class Speed(serializers.Serializer):
    top = QuantityField(read=to_kmh, unit="km/h", lowest=1, highest=500, required=False)


class Wheel(forms.Form):
    diameter = QuantityFormField(read=to_mm, unit="mm", lowest=200, highest=700)


@pytest.mark.parametrize(
    ("sent", "kmh"),
    [(158, 158), (158.5, 158.5), ("158", 158), ("98 mph", 157.716), ("44 m/s", 158.4)],
)
def test_the_api_takes_numbers_and_texts(sent, kmh):
    asked = Speed(data={"top": sent})
    assert asked.is_valid(), asked.errors
    assert asked.validated_data["top"] == pytest.approx(kmh, abs=0.001)


@pytest.mark.parametrize(
    ("sent", "words"),
    [
        ("98 kg", "speed"),
        ("fast", ""),
        ("", ""),
        (True, "not a measurement"),
        ([98], "not a measurement"),
        (None, "null"),
        (0, "0 km/h is below 1 km/h"),
        ("400 mph", "is above 500 km/h"),
        ("9" * 5000, ""),
    ],
)
def test_the_api_refuses_the_rest_in_words(sent, words):
    asked = Speed(data={"top": sent})
    assert not asked.is_valid()
    told = str(asked.errors["top"][0])
    assert words in told
    assert len(told) < 400


def test_the_api_answers_with_a_number():
    assert Speed({"top": 158.0}).data == {"top": 158.0}


@pytest.mark.parametrize(("typed", "mm"), [("15 in", 381), (" 381 ", 381), ("38.1 cm", 381)])
def test_a_form_takes_what_people_type(typed, mm):
    form = Wheel({"diameter": typed})
    assert form.is_valid(), form.errors
    assert form.cleaned_data["diameter"] == pytest.approx(mm)


@pytest.mark.parametrize("typed", ["", "15 mph", "big", "1 m", "1 in", "1" * 200, "15\x00in"])
def test_a_form_refuses_the_rest(typed):
    form = Wheel({"diameter": typed})
    assert not form.is_valid()
    assert form.errors["diameter"]


def test_a_form_field_may_be_left_empty():
    field = QuantityFormField(read=to_mm, unit="mm", required=False)
    assert field.clean("") is None
