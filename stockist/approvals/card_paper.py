"""The scrutineer's card drawn."""

from __future__ import annotations

from collections.abc import Iterable

from reportlab.lib import colors
from reportlab.platypus import Flowable, Table, TableStyle

from stockist.approvals.card import Card, CardLine
from stockist.papers.sheet import HEAD, SMALL, STRONG, TITLE, WIDTH, Foot, printed, words

COLUMNS = ("Place", "Tyres", "Pattern", "Size", "Compound", "Date code", "The list", "Age")
WIDTHS = tuple(part * WIDTH for part in (0.08, 0.08, 0.19, 0.14, 0.11, 0.1, 0.17, 0.13))
RULED = TableStyle(
    [("VALIGN", (0, 0), (-1, -1), "TOP"), ("LINEBELOW", (0, 0), (-1, -1), 0.4, colors.black),
     ("LEFTPADDING", (0, 0), (-1, -1), 0)]
)  # fmt: skip
NOT_STATED = (
    "This card says what the shop has on record on its day. The organiser's own list and the "
    "scrutineer decide; roadworthiness is not stated."
)


def drawn(card: Card) -> bytes:
    """The card as PDF; the same card gives the same bytes."""
    foot = Foot(f"{card.shop} · card for {card.hold} · {card.on.isoformat()}")
    return printed(f"Scrutineer's card {card.hold}", foot, lambda: _story(card))


def _story(card: Card) -> Iterable[Flowable]:
    yield words(f"{card.class_name}", TITLE)
    yield words(f"{card.organiser}, season {card.season}, edition {card.edition}", STRONG)
    yield words(card.terms)
    if card.car:
        yield words(f"For {card.car}")
    heads: list[Flowable] = [words(name, SMALL) for name in COLUMNS]
    rows = [heads, *(_row(line) for line in card.lines)]
    yield Table(rows, colWidths=WIDTHS, style=RULED, repeatRows=1, hAlign="LEFT")
    yield words("What is not stated", HEAD)
    yield words(NOT_STATED)
    yield from (words(caution, SMALL) for caution in card.cautions)


def _row(line: CardLine) -> list[Flowable]:
    return [
        words(line.place),
        words(str(line.quantity), STRONG),
        words(line.tyre),
        words(line.size),
        words(line.compound),
        words(line.date_code, STRONG),
        words(line.list_says, SMALL),
        words(f"{line.age_says}; {line.condition}", SMALL),
    ]
