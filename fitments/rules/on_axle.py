"""On an axle: one size, one construction, one SKU, one mark of one issue, one sidewall."""

from __future__ import annotations

from collections.abc import Callable

from fitments.rules.construction import named
from fitments.rules.measures import tyre_keys
from fitments.rules.mixing import SOURCE, could_be, is_temporary_spare
from fitments.rules.placed import Placed, are_partners, pairs
from fitments.rules.values import Axle, Finding, Hand, Tyre
from fitments.rules.voice import Findings, Voice

RULE = "on an axle"
SAYS = Voice(RULE)
SIZE = SAYS.on("size", "GB: SI 2001/25 Sch 3 para 5N(2)-5; Commercial Motor, 18 June 1976, page 5")
CONSTRUCTION = SAYS.on("construction", SOURCE)
SKU, MARK, SIDEWALL, HAND = (SAYS.on(point) for point in ("SKU", "mark", "sidewall", "hand"))

NO_MARK = "no mark"


def judge_axle(car: Placed, axle: Axle) -> Findings:
    """What the tyres of one axle are to each other; nothing where fewer than two are told.

    A temporary spare on the axle is not compared with the others: it is there to get home on.
    """
    tyres = tuple(each for each in car.on(axle) if not is_temporary_spare(each))
    asked: tuple[Callable[[tuple[Tyre, ...]], Finding], ...] = (
        _size,
        _construction,
        _sku,
        _mark,
        _sidewall,
    )
    found = [ask(tyres) for ask in asked] if len(tyres) > 1 else []
    return (*found, *_hands(tyres))


def _size(tyres: tuple[Tyre, ...]) -> Finding:
    if any(not tyre_keys(each) for each in tyres):
        words = "The sizes of the tyres on the axle are not all known."
        return SIZE.cannot_tell(words, "the sidewalls")
    if all(tyre_keys(one) & tyre_keys(other) for one, other in pairs(tyres)):
        return SIZE.suits(f"One size on the axle: {tyres[0].size}.")
    sizes = " and ".join(dict.fromkeys(str(each.size) for each in tyres))
    return SIZE.refuses(f"Two sizes on one axle: {sizes}.")


def _construction(tyres: tuple[Tyre, ...]) -> Finding:
    if len({each.code for each in tyres}) == 1:
        return CONSTRUCTION.suits("One SKU on the axle, so one construction.")
    possible = [could_be(each) for each in tyres]
    if all(each == possible[0] for each in possible) and len(possible[0]) == 1:
        return CONSTRUCTION.suits(f"One construction on the axle: {named(tyres[0])}.")
    told = " and ".join(dict.fromkeys(named(each) for each in tyres))
    if not frozenset.intersection(*possible):
        return CONSTRUCTION.refuses(f"Two constructions on one axle: {told}.")
    return CONSTRUCTION.cannot_tell(
        f"Whether the axle has one construction is not known: {told}.",
        "the word RADIAL on each sidewall",
    )


def _sku(tyres: tuple[Tyre, ...]) -> Finding:
    if len({each.code for each in tyres}) == 1:
        return SKU.suits("One SKU on the axle.")
    if len(tyres) == 2 and are_partners(*tyres):
        return SKU.suits("The left and the right of one handed tyre.")
    told = " and ".join(dict.fromkeys(str(each) for each in tyres))
    return SKU.refuses(f"Two different tyres on one axle: {told}.")


def _mark(tyres: tuple[Tyre, ...]) -> Finding:
    marks = dict.fromkeys(mark_words(each) for each in tyres)
    if list(marks) == [NO_MARK]:
        return MARK.suits("No approval mark on the axle.")
    if len(marks) == 1:
        return MARK.suits(f"One approval mark on the axle: {next(iter(marks))}.")
    return MARK.refuses(f"Two approval marks, or issues, on one axle: {' and '.join(marks)}.")


def mark_words(tyre: Tyre) -> str:
    """The mark and its issue, in capitals; ``no mark`` where there is none."""
    if not tyre.mark:
        return NO_MARK
    issue = f", issue {tyre.mark_issue.upper()}" if tyre.mark_issue else ""
    return f"{tyre.mark.upper()}{issue}"


def _sidewall(tyres: tuple[Tyre, ...]) -> Finding:
    styles = dict.fromkeys(_style(each) for each in tyres)
    if len(styles) == 1:
        return SIDEWALL.suits(f"One sidewall on the axle: {next(iter(styles))}.")
    return SIDEWALL.refuses(f"Two sidewalls on one axle: {' and '.join(styles)}.")


def _style(tyre: Tyre) -> str:
    band = f" of {tyre.band_mm} mm" if tyre.band_mm else ""
    return f"{tyre.sidewall.replace('_', ' ')}{band}"


def _hands(tyres: tuple[Tyre, ...]) -> Findings:
    """A handed tyre wants its partner across the axle."""
    hands = [each.hand for each in tyres if each.hand is not Hand.NONE]
    if not hands:
        return ()
    if set(hands) == {Hand.LEFT, Hand.RIGHT} and hands.count(Hand.LEFT) * 2 == len(tyres):
        return (HAND.suits("As many left-hand as right-hand tyres on the axle."),)
    if len(tyres) == 1:
        words = f"Handed: this is the {hands[0]} one; its partner is not told."
        return (HAND.cannot_tell(words, "the tyre on the other side"),)
    return (HAND.refuses("Handed tyres: an axle takes one left and one right."),)
