"""Data Matrix symbols (ECC 200, ISO/IEC 16022): what stands in one, as dark and light modules.

Error correction and the placement of the bits are reportlab's; its own symbol has one size and
one encodation, so the codewords and the sizes are chosen here: the smallest square that holds
them, ASCII encodation (two figures or one sign a codeword), FNC1 in front and between where the
data are GS1's. Sizes and encodation: ISO/IEC 16022, tables 2 and 7 (numbers from memory).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from reportlab.graphics.barcode.ecc200datamatrix import ECC200DataMatrix

from inventory.markings.scans import SEPARATOR
from inventory.markings.scans.identifiers import NO_SEPARATOR, SIGNS

Modules = tuple[tuple[bool, ...], ...]
"""Rows from the top, dark ones true; without the quiet zone of one module around."""

_FNC1, _PAD, _UPPER_SHIFT = 232, 129, 235
# Modules a side, regions a side, codewords of data, codewords of correction.
_SIZES = (
    *((10, 1, 3, 5), (12, 1, 5, 7), (14, 1, 8, 10), (16, 1, 12, 12), (18, 1, 18, 14)),
    *((20, 1, 22, 18), (22, 1, 30, 20), (24, 1, 36, 24), (26, 1, 44, 28), (32, 2, 62, 36)),
)


class NotInASymbol(ValueError):
    """Text with signs that no symbol of ours holds, or too long for one."""


def plain_symbol(text: str) -> Modules:
    """A symbol that says a text and nothing more. Raises NotInASymbol."""
    return _modules(list(_codewords(text)))


def gs1_symbol(elements: tuple[tuple[str, str], ...]) -> Modules:
    """A GS1 Data Matrix of these application identifiers and their data. Raises NotInASymbol."""
    words = [_FNC1]
    for number, (identifier, data) in enumerate(elements, start=1):
        if not SIGNS.issuperset(data):
            raise NotInASymbol(f"“{data}” has a sign that GS1 data cannot have.")
        words += _codewords(identifier + data)
        if number < len(elements) and identifier[:2] not in NO_SEPARATOR:
            words.append(_FNC1)
    return _modules(words)


def _codewords(text: str) -> Iterator[int]:
    place = 0
    while place < len(text):
        pair = text[place : place + 2]
        if len(pair) == 2 and pair.isascii() and pair.isdecimal():
            yield 130 + int(pair)
            place += 2
            continue
        yield from _codeword(text[place])
        place += 1


def _codeword(sign: str) -> Iterator[int]:
    value = ord(sign)
    if value > 255 or sign == SEPARATOR:
        raise NotInASymbol(f"“{sign}” is a sign that no symbol of ours holds.")
    if value > 127:
        yield _UPPER_SHIFT
    yield value % 128 + 1


def _modules(words: list[int]) -> Modules:
    fitting = next((size for size in _SIZES if size[2] >= len(words)), None)
    if fitting is None:
        raise NotInASymbol(f"That is too long for a symbol: {len(words)} codewords.")
    side, regions, room, correction = fitting
    drawn: Any = ECC200DataMatrix("")
    drawn.row_modules = drawn.col_modules = side
    drawn.row_regions = drawn.col_regions = regions
    drawn.row_usable_modules = drawn.col_usable_modules = side - 2 * regions
    words = _padded(words, room)
    words += drawn._get_reed_solomon_code(words, correction)
    placed = drawn._create_matrix(words)
    if len(placed) % 4:  # bits are left over: the corner is filled with a fixed pattern
        placed[-1][-1] = placed[-2][-2] = 1
    regions_drawn = drawn._create_data_regions(placed)
    rows = drawn._merge_data_regions(drawn._wrap_data_regions_with_finders(regions_drawn))
    return tuple(tuple(bool(module) for module in row) for row in rows)


def _padded(words: list[int], room: int) -> list[int]:
    """Filled up: one pad, then pads made unlike one another by their place."""
    filled = [*words, _PAD][:room]
    while len(filled) < room:
        value = _PAD + (149 * (len(filled) + 1)) % 253 + 1
        filled.append(value if value <= 254 else value - 254)
    return filled
