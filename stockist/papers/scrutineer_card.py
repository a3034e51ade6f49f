"""The scrutineer's card drawn: one row a lot, with a box to tick at the car."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.utils import timezone
from reportlab.platypus import Flowable, KeepTogether, Table

from stockist.papers.delivery_note import RULED
from stockist.papers.scrutineer import Card, CardLine
from stockist.papers.sheet import BODY, HEAD, SMALL, STRONG, TITLE, WIDTH, Foot, printed, words

COLUMNS = ("Tyres", "Place", "Pattern, compound", "Size", "Mark", "Date code", "Entry", "Seen")
WIDTHS = tuple(part * WIDTH for part in (0.07, 0.09, 0.28, 0.16, 0.1, 0.11, 0.12, 0.07))


def drawn(card: Card) -> bytes:
    """The card as PDF; the same card gives the same bytes."""
    known = timezone.localtime(card.known_at)
    foot = Foot(f"{card.shop} · {card.held} · as known on {known:%Y-%m-%d, %H:%M}")
    return printed(f"Scrutineer's card {card.held}", foot, lambda: _story(card))


def _story(card: Card) -> Iterable[Flowable]:
    yield words("For the scrutineer", TITLE)
    yield words(f"{card.organiser}, season {card.season}: {card.run_in}", STRONG)
    yield words(f"Edition {card.edition} of the list, for a meeting on {card.on.isoformat()}.")
    yield words(card.car or "The car was not named.")
    yield from (words(limit) for limit in card.limits)
    yield words("Tyres", HEAD)
    rows: list[list[Any]] = [[words(name, SMALL) for name in COLUMNS]]
    rows += [_row(line) for line in card.lines]
    yield Table(rows, colWidths=WIDTHS, style=RULED, repeatRows=1, hAlign="LEFT")
    yield words("What the list says of them", HEAD)
    yield from (KeepTogether(list(_said(line))) for line in card.lines)
    yield words("To be borne in mind", HEAD)
    yield from (words(caution) for caution in card.cautions)


def _row(line: CardLine) -> list[Flowable]:
    pattern = ", ".join(part for part in (line.pattern, line.compound) if part)
    return [
        words(str(line.quantity), STRONG),
        words(line.for_place or "any"),
        words(pattern or "not on record"),
        words(line.size),
        words(line.mark or "none"),
        words(line.date_code or "none"),
        words(", ".join(line.entries) or "none", SMALL),
        words("[   ]", BODY),
    ]


def _said(line: CardLine) -> Iterable[Flowable]:
    of = ", ".join(part for part in (line.for_place, line.pattern, line.date_code) if part)
    yield words(f"{of}: {line.outcome.word}", STRONG)
    yield from (words(said) for said in line.said)
