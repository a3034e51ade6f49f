"""A sheet of paper: its size and edges, its type, and the foot of each page."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from io import BytesIO
from unicodedata import normalize
from xml.sax.saxutils import escape

from reportlab.lib.pagesizes import A4
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfbase.pdfmetrics import registerFont
from reportlab.pdfbase.ttfonts import TTFont, TTFontFace
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import (
    BaseDocTemplate,
    Flowable,
    Frame,
    PageTemplate,
    Paragraph,
    Table,
    TableStyle,
)

# Of reportlab's own: it has more of Europe's letters than the standard fonts.
FONT, BOLD = "Vera", "VeraBd"
EDGE = 18 * mm
WIDTH = A4[0] - 2 * EDGE

BODY = ParagraphStyle("body", fontName=FONT, fontSize=9, leading=12.5)
SMALL = ParagraphStyle("small", parent=BODY, fontSize=7.5, leading=10)
STRONG = ParagraphStyle("strong", parent=BODY, fontName=BOLD)
HEAD = ParagraphStyle("head", parent=STRONG, fontSize=11, leading=15, spaceBefore=8)
TITLE = ParagraphStyle("title", parent=STRONG, fontSize=18, leading=24)
PLAIN = TableStyle([("VALIGN", (0, 0), (-1, -1), "TOP"), ("LEFTPADDING", (0, 0), (-1, -1), 0)])


@dataclass(frozen=True, slots=True)
class Foot:
    """What stands at the foot of each page, before the number of the page."""

    words: str


def words(text: str, style: ParagraphStyle = BODY) -> Paragraph:
    """A paragraph of plain text: nothing in it is taken for mark-up."""
    return Paragraph(escape(spelt(text)), style)


def addressed(to: Sequence[str], about: Sequence[str]) -> Flowable:
    """The head of a paper: whom it is for, and beside that what it is; first lines are strong."""
    sides = [
        [words(line, STRONG if number == 0 else BODY) for number, line in enumerate(side)]
        for side in (to, about)
    ]
    return Table([sides], colWidths=[WIDTH / 2, WIDTH / 2], style=PLAIN)


def spelt(text: str) -> str:
    """The text in letters that the type has: ź as z; a question mark for what has none at all."""
    known = _face().charToGlyph
    return "".join(one if ord(one) in known else _plainer(one, known) for one in text)


def _plainer(letter: str, known: Mapping[int, int]) -> str:
    plain = "".join(one for one in normalize("NFKD", letter) if ord(one) in known)
    return plain or "?"


@cache
def _face() -> TTFontFace:
    return TTFont(FONT, f"{FONT}.ttf").face


Story = Callable[[], Iterable[Flowable]]


def printed(title: str, foot: Foot, story: Story) -> bytes:
    """The story as PDF on A4; the same story gives the same bytes.

    Laid out twice, and asked for twice: each page says of how many it is one, so that a lost sheet
    is noticed.
    """
    for font in (FONT, BOLD):
        registerFont(TTFont(font, f"{font}.ttf"))
    pages = _laid_out(title, foot, story, 0)[1]
    return _laid_out(title, foot, story, pages)[0]


def _laid_out(title: str, foot: Foot, story: Story, pages: int) -> tuple[bytes, int]:
    data = BytesIO()

    def at_foot(canvas: Canvas, document: BaseDocTemplate) -> None:
        canvas.setFont(FONT, 7.5)
        canvas.drawString(EDGE, 10 * mm, spelt(foot.words))
        told = f"page {document.page} of {pages}"
        canvas.drawRightString(A4[0] - EDGE, 10 * mm, told)

    document = BaseDocTemplate(data, pagesize=A4, title=title, author="", invariant=1)
    frame = Frame(EDGE, EDGE, WIDTH, A4[1] - 2 * EDGE, 0, 0, 0, 0)
    document.addPageTemplates(PageTemplate(frames=[frame], onPage=at_foot))
    document.build(list(story()))
    return data.getvalue(), document.page
