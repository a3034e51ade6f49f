"""The quote drawn: the set and its price, until when, what it suits and why, and the cautions."""

from __future__ import annotations

from collections.abc import Iterable

from reportlab.platypus import Flowable, KeepTogether

from stockist.papers.quote import NOTHING_HELD, QuotePaper
from stockist.papers.sheet import HEAD, SMALL, STRONG, TITLE, Foot, addressed, printed, words


def drawn(paper: QuotePaper) -> bytes:
    """The quote as PDF; the same quote gives the same bytes."""
    foot = Foot(f"{paper.shop} · quote {paper.number} · good until {paper.good_until.isoformat()}")
    return printed(f"Quote {paper.number}", foot, lambda: _story(paper))


def _story(paper: QuotePaper) -> Iterable[Flowable]:
    yield words(f"Quote {paper.number}", TITLE)
    about = [
        paper.shop,
        f"given on {paper.given_on.isoformat()} by {paper.given_by}",
        f"good until the end of {paper.good_until.isoformat()}",
    ]
    yield addressed(paper.to, about)
    if paper.ended:
        yield words(paper.ended, STRONG)
    yield KeepTogether([words(paper.what, HEAD), *_offer(paper)])
    yield words(NOTHING_HELD)
    if paper.note:
        yield words(paper.note)
    yield words("What was answered, and why", HEAD)
    yield words(paper.verdict, STRONG)
    yield from (words(reason, SMALL) for reason in paper.reasons)
    if paper.lots:
        yield words("What was in stock for it on that day", STRONG)
        yield from (words(lot, SMALL) for lot in paper.lots)
    yield words("Before they are fitted", HEAD)
    yield from (words(caution) for caution in paper.cautions)


def _offer(paper: QuotePaper) -> Iterable[Flowable]:
    if paper.asked:
        yield words(paper.asked)
    for number, line in enumerate(paper.price):
        yield words(line, STRONG if number == 0 else SMALL)
