"""Article numbers: checked, and made 14 digits."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.markings.identifiers import BadIdentifier, check_digit, normalise_gtin

bodies = st.sampled_from([7, 11, 12, 13]).flatmap(
    lambda n: st.text("0123456789", min_size=n, max_size=n)
)


@pytest.mark.parametrize(
    ("text", "stored"),
    [
        ("02345673", "00000002345673"),
        ("416000336108", "00416000336108"),
        ("6291041500213", "06291041500213"),
        ("12345678901231", "12345678901231"),
        (" 6291041-500 213 ", "06291041500213"),
    ],
)
def test_every_length_is_stored_as_fourteen(text, stored):
    assert normalise_gtin(text) == stored


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "Nothing to read"),
        ("  - ", "Nothing to read"),
        ("6291041500214", "the last figure is 3, not 4"),
        ("629104150021", "the last figure is 4, not 1"),
        ("12345", "has 5 figures: an article number has 8, 12, 13 or 14"),
        ("123456789012345", "has 15 figures"),
        ("62910415O0213", "“O” is not a figure"),
        ("٦٢٩١٠٤١٥", "is not a figure"),
        ("6291041500213\n", "is not a figure"),
        ("0000000000000", "only noughts"),
        ("1" * 10_000, "has 10000 figures"),
    ],
)
def test_what_is_wrong_is_said(text, said):
    with pytest.raises(BadIdentifier, match=r"\.$") as refusal:
        normalise_gtin(text)
    assert said in str(refusal.value)
    assert len(str(refusal.value)) < 200


@pytest.mark.parametrize("digits", ["", "12a", "१२३"])
def test_a_check_digit_needs_figures(digits):
    with pytest.raises(BadIdentifier, match="not a row of figures"):
        check_digit(digits)


@given(bodies.filter(lambda body: body.strip("0")))
def test_the_right_check_digit_passes_and_the_nine_others_do_not(body):
    right = check_digit(body)
    assert normalise_gtin(f"{body}{right}") == f"{body}{right}".zfill(14)
    for wrong in set(range(10)) - {right}:
        with pytest.raises(BadIdentifier):
            normalise_gtin(f"{body}{wrong}")


@given(bodies, st.data())
def test_any_one_figure_misread_changes_the_check_digit(body, data):
    place = data.draw(st.integers(0, len(body) - 1))
    other = data.draw(st.sampled_from([d for d in "0123456789" if d != body[place]]))
    assert check_digit(body[:place] + other + body[place + 1 :]) != check_digit(body)


@given(bodies.filter(lambda body: body.strip("0")))
def test_padding_changes_nothing(body):
    stored = normalise_gtin(f"{body}{check_digit(body)}")
    assert normalise_gtin(stored) == stored
