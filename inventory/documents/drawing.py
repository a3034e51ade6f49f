"""Labels drawn as PDF, one a page, the page as large as the label."""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO
from itertools import groupby

from reportlab.lib.units import mm
from reportlab.pdfbase.pdfmetrics import registerFont, stringWidth
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from inventory.documents.symbols import Modules, NotInASymbol, gs1_symbol, plain_symbol
from inventory.documents.values import Label, LabelSize

# Of reportlab's own: it has the letters of all of Europe's Latin alphabets, the standard fonts not.
_FONT, _BOLD = "Vera", "VeraBd"
_EDGE = 3 * mm
_SMALLEST = 5.0
_LARGEST_MODULE = 1.8 * mm
_SYMBOL_SHARE = 0.64  # of the height


def drawn(labels: Sequence[Label], size: LabelSize = LabelSize.LARGE) -> bytes:
    """The labels as PDF; the same labels give the same bytes."""
    for font in (_FONT, _BOLD):
        registerFont(TTFont(font, f"{font}.ttf"))
    width, height = (side * mm for side in size.mm)
    data = BytesIO()
    canvas = Canvas(data, pagesize=(width, height), invariant=1)
    canvas.setTitle("Labels")
    for label in labels:
        _label(canvas, label, width, height)
        canvas.showPage()
    canvas.save()
    return data.getvalue()


def _label(canvas: Canvas, label: Label, width: float, height: float) -> None:
    top, code_at = height - _EDGE, _EDGE + 1
    _text(canvas, label.code, _EDGE, code_at, width - 2 * _EDGE, 8)
    symbol = _symbol(label)
    if symbol:
        side = _modules(canvas, symbol, _EDGE, top, height * _SYMBOL_SHARE)
    else:
        side = height * _SYMBOL_SHARE
        _text(canvas, "no symbol holds this code", _EDGE, top - 10, side, 7)
    left = _EDGE + side + 2 * mm
    _words(canvas, label, (left, code_at + 12, width - left - _EDGE, top))


def _words(canvas: Canvas, label: Label, box: tuple[float, float, float, float]) -> None:
    """Title, lines and foot within left, below, width and top."""
    left, below, room, top = box
    high = top - below
    large = high * (0.26 if label.foot else 0.6)
    foot = high * 0.22 if label.foot else 0
    _text(canvas, label.title, left, top - large * 0.8, room, large, _BOLD)
    _text(canvas, label.foot, left, below, room, foot, _BOLD)
    lines = [line for line in label.lines if line]
    step = min((high - large - foot) / max(len(lines), 1), high / 6)
    for number, line in enumerate(lines, start=1):
        _text(canvas, line, left, top - large - step * (number - 0.3), room, step * 0.75)


def _symbol(label: Label) -> Modules | None:
    try:
        return gs1_symbol(label.elements) if label.elements else plain_symbol(label.plain)
    except NotInASymbol:
        return None


def _modules(canvas: Canvas, symbol: Modules, left: float, top: float, most: float) -> float:
    """Dark modules as runs, from the top left, and the side that they take.

    A quiet module is kept free on each side of the symbol.
    """
    module = min(most / (len(symbol) + 2), _LARGEST_MODULE)
    for number, row in enumerate(symbol, start=2):
        start = 0
        for dark, run in groupby(row):
            length = len(list(run))
            if dark:
                across = left + (start + 1) * module
                canvas.rect(across, top - number * module, length * module, module, 0, 1)
            start += length
    return module * (len(symbol) + 2)


def _text(
    canvas: Canvas, text: str, left: float, below: float, room: float, size: float,
    font: str = _FONT,
) -> None:  # fmt: skip
    """One line, set smaller until it fits; what does not even then is cut, and says so."""
    if not text:
        return
    wide = stringWidth(text, font, size)
    if wide > room:
        size = max(size * room / wide * 0.999, _SMALLEST)
    while len(text) > 1 and stringWidth(text, font, size) > room:
        text = f"{text[:-2]}…"
    canvas.setFont(font, size)
    canvas.drawString(left, below, text)
