"""Data Matrix symbols: drawn by the house, read by a reader that shares nothing with it."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from inventory.documents.symbols import NotInASymbol, gs1_symbol, plain_symbol
from inventory.markings import read_scan
from inventory.markings.scans.identifiers import SIGNS
from tests.support.symbols import _checked, _codewords, _without_finders, read_symbol

NUMBER = "09520123456788"


def picture(modules, dots=3):
    side = len(modules)
    image = Image.new("L", (side, side), 255)
    image.putdata([0 if dark else 255 for row in modules for dark in row])
    framed = Image.new("L", (side + 4, side + 4), 255)
    framed.paste(image, (2, 2))
    return framed.resize(((side + 4) * dots,) * 2, Image.Resampling.NEAREST)


def test_the_standards_own_example():
    # ISO/IEC 16022, annex O: "123456" is 142 164 186, corrected by 114 25 5 88 102 (from memory).
    modules = plain_symbol("123456")
    assert len(modules) == 10
    words = _codewords(_without_finders([list(row) for row in modules]))
    assert words == [142, 164, 186, 114, 25, 5, 88, 102]
    assert _checked(words, 5) == [142, 164, 186]


@pytest.mark.parametrize("length", range(1, 63))
def test_every_length_that_a_symbol_holds_is_read_again(length):
    text = "".join(chr(65 + n * 7 % 26) for n in range(length))
    assert read_symbol(picture(plain_symbol(text))) == f"]d1{text}"


def test_what_is_too_long_or_has_other_signs_is_refused():
    with pytest.raises(NotInASymbol, match="too long for a symbol: 63"):
        plain_symbol("A" * 63)
    with pytest.raises(NotInASymbol, match="“Ł” is a sign"):
        plain_symbol("Ł-01")
    with pytest.raises(NotInASymbol, match="cannot have"):
        gs1_symbol((("91", "A B"),))


def test_a_place_may_have_an_umlaut():
    assert read_symbol(picture(plain_symbol("ÄÖ-01"))) == "]d1ÄÖ-01"


def test_a_separator_stands_only_where_it_is_needed():
    wanted = (("01", NUMBER), ("10", "AB"), ("21", "7"))
    said = read_symbol(picture(gs1_symbol(wanted)))
    assert said == f"]d201{NUMBER}10AB\x1d217"
    assert read_scan(said).elements == wanted


@settings(max_examples=40)
@given(st.text(sorted(SIGNS), min_size=1, max_size=20))
def test_any_lot_is_read_again(lot):
    scan = read_scan(read_symbol(picture(gs1_symbol((("01", NUMBER), ("10", lot))))))
    assert (scan.gtin, scan.lot) == (NUMBER, lot)
    own = read_scan(read_symbol(picture(gs1_symbol((("91", lot),)))))
    assert own.own == lot
