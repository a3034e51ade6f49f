"""Text fields take no control characters, and say where one stands."""

from __future__ import annotations

import pytest
from django.core.exceptions import ValidationError

from inventory.ground.fields import Line, Words


@pytest.mark.parametrize("sign", ["\x00", "\x1d", "\n", "\t", "\x7f", "\x85", "\u202e", "\ud800"])
def test_a_line_takes_no_controls(sign):
    with pytest.raises(ValidationError) as error:
        Line().run_validators(f"ab{sign}c")
    assert "Sign 3" in error.value.messages[0]
    assert f"U+{ord(sign):04X}" in error.value.messages[0]


@pytest.mark.parametrize("text", ["Écurie Tarn", "tyres, 4″ × 15", "日本", "a–b"])
def test_a_line_takes_every_script(text):
    Line().run_validators(text)


def test_words_take_ends_of_lines_and_no_other_controls():
    Words().run_validators("one\r\n\ttwo")
    with pytest.raises(ValidationError):
        Words().run_validators("one\x1dtwo")


def test_lengths_are_set_unless_told():
    assert (Line().max_length, Line(max_length=5).max_length) == (120, 5)
    assert Words().max_length == 4000
