"""The answer for each set of a despatch: it may leave, with the owner's word, or not at all."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime

from fitments.release.judging import Judged, Register, judged
from fitments.release.recording import evidence_of, known
from fitments.release.sold import Sold, read
from fitments.rules import cautions
from fitments.rules.values import Condition, Outcome, Use
from inventory.release import LeavingSet, May, Reason, Release

NO_CAR = "Not sold for a car that is known here: nothing is said of what it suits."
LABELS = {
    Outcome.CAUTION: "Caution",
    Outcome.CANNOT_TELL: "Cannot tell",
    Outcome.DOES_NOT_SUIT: "Does not suit",
}
DISPLAY = "It is for display only, and does not leave to be driven on."


def may_leave(sets: Sequence[LeavingSet], *, at: datetime) -> list[Release]:
    """Say of each set whether it may leave at a moment, why not, and what that rests on.

    What does not suit, is older than the house's limit or the one that the customer asked for, or
    has lost an approval since it was ordered leaves with the owner's word. Tyres for display leave
    for a show only.
    """
    sold = read(sets)
    register = Register()
    found = [judged(one, register, at=at) for one in sold]
    codes = {fact.code for one in found for facts in one.facts.values() for fact in facts}
    papers = evidence_of(codes, at=at)
    return [
        Release(
            key=one.asked.key,
            may=_may(one, what),
            reasons=tuple(_reasons(one, what)),
            said=tuple(_said(one, what)),
            known=known(one, what, papers, at=at),
            known_of={
                lot: {"approvals": [fact.code for fact in what.facts.get(lot, ())]}
                for some in one.tyres.values()
                for lot, _ in some
            },
            cautions=cautions.ALL,
        )
        for one, what in zip(sold, found, strict=True)
    ]


def _may(sold: Sold, found: Judged) -> May:
    if _is_display(sold):
        return May.STAY
    unsuitable = found.verdict is not None and found.verdict.outcome is Outcome.DOES_NOT_SUIT
    return May.WITH_A_WORD if unsuitable or found.lost else May.LEAVE


def _is_display(sold: Sold) -> bool:
    tyres = [tyre for some in sold.tyres.values() for _, tyre in some]
    shown = [tyre for tyre in tyres if tyre.made and tyre.made.condition is Condition.DISPLAY]
    return bool(shown) and sold.use is not Use.SHOW


def _reasons(sold: Sold, found: Judged) -> Iterable[Reason]:
    if _is_display(sold):
        yield Reason("display", DISPLAY)
    if found.verdict is not None and found.verdict.outcome is Outcome.DOES_NOT_SUIT:
        told: dict[str, str] = {}
        for one in found.verdict.worst:
            told.setdefault(f"{one.rule} {one.point} {one.place}".strip(), one.words)
        yield from (Reason(code, words) for code, words in told.items())
    yield from found.lost


def _said(sold: Sold, found: Judged) -> Iterable[str]:
    """What goes with the set on its delivery note: the verdict, and all that is not plain yes."""
    if found.verdict is None:
        return
    if sold.car is None:
        yield NO_CAR
    else:
        yield f"{_sentence(found.verdict.outcome.word)}: {sold.car.variant}, {sold.use} use."
    told = [one for one in found.verdict.findings if (one.counted or Outcome.SUITS) > Outcome.SUITS]
    told.sort(key=lambda one: -(one.counted or 0))
    yield from dict.fromkeys(f"{LABELS[one.counted or one.outcome]}: {one.words}" for one in told)


def _sentence(words: str) -> str:
    return words[:1].upper() + words[1:]
