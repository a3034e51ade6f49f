"""A reader of Data Matrix symbols, written from the standard for the tests alone.

It shares nothing with what draws them: ISO/IEC 16022, ECC 200, squares of up to 26 modules and of
32 (from memory). Bits are found by walking the standard's figure of eight modules; the error
correction is checked by its syndromes; FNC1 is told as a scanner tells it.
"""

from __future__ import annotations

import base64
import itertools
import re
import zlib

from PIL import Image

_GS = "\x1d"
_CORRECTION = {10: 5, 12: 7, 14: 10, 16: 12, 18: 14, 20: 18, 22: 20, 24: 24, 26: 28, 32: 36}
# Places of the eight bits of a codeword, by row and column, from its last.
_FIGURE = ((-2, -2), (-2, -1), (-1, -2), (-1, -1), (-1, 0), (0, -2), (0, -1), (0, 0))


def pages_of(pdf: bytes, dots: float = 4.0) -> list[Image.Image]:
    """The filled rectangles of each page as dots, so many a point: what a printer would burn."""
    boxes = re.findall(rb"/MediaBox \[ 0 0 ([\d.]+) ([\d.]+) \]", pdf)
    streams = re.findall(
        rb"/ASCII85Decode /FlateDecode[^>]*>>\s*stream\r?\n(.*?)endstream", pdf, re.S
    )
    pages = []
    contents = [
        zlib.decompress(base64.a85decode(b"<~" + one.strip(), adobe=True)) for one in streams
    ]
    for box, content in zip(boxes, [one for one in contents if b" re f" in one], strict=True):
        width, height = (round(float(side) * dots) for side in box)
        page = Image.new("L", (width, height), 255)
        for found in re.finditer(rb"([\d.]+) ([\d.]+) ([\d.]+) ([\d.]+) re f", content):
            x, y, w, h = (float(number) * dots for number in found.groups())
            page.paste(0, (round(x), round(height - y - h), round(x + w), round(height - y)))
        pages.append(page)
    return pages


def read_symbol(page: Image.Image) -> str:
    """What the one symbol on a page says, as a scanner sends it: with prefix and separators."""
    modules = _modules(page)
    side = len(modules)
    assert all(row[0] for row in modules), "the left edge is dark"
    assert all(modules[-1]), "the lower edge is dark"
    assert [row[-1] for row in modules] == [n % 2 == 1 for n in range(side)], "the right alternates"
    return _said(_checked(_codewords(_without_finders(modules)), _CORRECTION[side]))


def _modules(page: Image.Image) -> list[list[bool]]:
    """Dark or light, sampled in the middle of each module, within the box of all that is dark."""
    box = page.point(lambda value: 255 if value < 128 else 0).getbbox()
    assert box is not None, "there is something dark"
    symbol = page.crop(box)
    width = symbol.width
    top = [symbol.getpixel((x, 1)) < 128 for x in range(width)]
    changes = sum(1 for a, b in itertools.pairwise(top) if a != b)
    side = changes + 1 + (changes + 1) % 2
    step = width / side
    return [
        [symbol.getpixel((int((x + 0.5) * step), int((y + 0.5) * step))) < 128 for x in range(side)]
        for y in range(side)
    ]


def _without_finders(modules: list[list[bool]]) -> list[list[bool]]:
    """The data alone: the borders of one region, or of two by two, are taken off."""
    side = len(modules)
    regions = 1 if side < 32 else 2
    inner = side // regions
    kept = [n for n in range(side) if 0 < n % inner < inner - 1]
    return [[modules[y][x] for x in kept] for y in kept]


def _codewords(bits: list[list[bool]]) -> list[int]:
    side = len(bits)
    taken = [[False] * side for _ in range(side)]
    words: list[int] = []

    def read(places: list[tuple[int, int]]) -> None:
        value = 0
        for row, column in places:
            if row < 0:
                row, column = row + side, column + 4 - (side + 4) % 8
            if column < 0:
                column, row = column + side, row + 4 - (side + 4) % 8
            value = value * 2 + bits[row][column]
            taken[row][column] = True
        words.append(value)

    def figure(row: int, column: int) -> None:
        if 0 <= row < side and 0 <= column < side and not taken[row][column]:
            read([(row + down, column + across) for down, across in _FIGURE])

    row, column, last = 4, 0, side - 1
    while row < side or column < side:
        if row == side and column == 0:
            right = [(0, last - 1), *((n, last) for n in range(4))]
            read([(last, 0), (last, 1), (last, 2), *right])
        elif row == side - 2 and column == 0 and side % 4:
            read(
                [
                    (last - 2, 0),
                    (last - 1, 0),
                    (last, 0),
                    *((0, n) for n in range(last - 3, side)),
                    (1, last),
                ]
            )
        elif row == side - 2 and column == 0 and side % 8 == 4:
            right = [(0, last - 1), *((n, last) for n in range(4))]
            read([(last - 2, 0), (last - 1, 0), (last, 0), *right])
        elif row == side + 4 and column == 2 and side % 8 == 0:
            pairs = [(n, last - 2 + k) for n in (0, 1) for k in range(3)]
            read([(last, 0), (last, last), *pairs])
        while row >= 0 and column < side:
            figure(row, column)
            row, column = row - 2, column + 2
        row, column = row + 1, column + 3
        while row < side and column >= 0:
            figure(row, column)
            row, column = row + 2, column - 2
        row, column = row + 3, column + 1
    return words


def _checked(words: list[int], correction: int) -> list[int]:
    """The data, if the word is divisible by the generator: every syndrome is nought."""
    power = 1
    for _ in range(correction):
        power = _times(power, 2)
        total = 0
        for word in words:
            total = _times(total, power) ^ word
        assert total == 0, "the error correction fits the data"
    return words[: len(words) - correction]


def _times(a: int, b: int) -> int:
    """Multiplication in the field of 256 elements with the polynomial 301."""
    product = 0
    while b:
        product ^= a if b & 1 else 0
        a = a << 1 ^ (301 if a & 128 else 0)
        b >>= 1
    return product


def _said(words: list[int]) -> str:
    text, shift = "", 0
    for place, word in enumerate(words):
        if word == 129:
            break
        if word == 232:
            text += _GS if place else ""
        elif word == 235:
            shift = 128
        elif word <= 128:
            text, shift = text + chr(word - 1 + shift), 0
        else:
            assert 130 <= word <= 229, "ASCII encodation"
            text += f"{word - 130:02}"
    return f"]d{2 if words[0] == 232 else 1}{text}"
