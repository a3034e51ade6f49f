"""What a customer pays for tyres and what goes with them: the list, less a class, less a step.

Pure. Amounts are rounded to the hundredth, half away from nought, tyre by tyre (common practice, no
source), so that the parts of a price always add up to it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_UP, Decimal

from inventory.availability.pricing import Priced, set_price
from inventory.markings.datecode.age import age_between

NOUGHT = Decimal("0.00")
_CENT = Decimal("0.01")
_HUNDRED = Decimal(100)


@dataclass(frozen=True, slots=True)
class Piece:
    """So many of one SKU of one lot, at the list's price; made: the last day of its week."""

    code: str
    pieces: int
    price: Decimal | None
    currency: str
    made: date | None = None


@dataclass(frozen=True, slots=True)
class Terms:
    """How a customer's price differs from the list.

    steps: (from so many months, per cent off), rising; the last that a tyre has reached counts.
    """

    class_name: str = ""
    percent_off: Decimal = NOUGHT
    steps: tuple[tuple[int, Decimal], ...] = ()


@dataclass(frozen=True, slots=True)
class Charge:
    """The price of one set or piece, what of it was taken off for older stock, and why.

    Without an amount the words say why there is none.
    """

    amount: Decimal | None
    currency: str = ""
    step: Decimal = NOUGHT
    words: str = ""


def charged(pieces: Iterable[Piece], terms: Terms, *, on: date) -> Charge:
    """What is charged for these pieces together on a day."""
    parts = list(pieces)
    listed = set_price([Priced(one.code, one.pieces, one.price, one.currency) for one in parts])
    if listed.amount is None:
        return Charge(None, words=listed.reason)
    said = [f"{listed.amount:.2f} by the list"]
    total, step = NOUGHT, NOUGHT
    off_by_step: dict[tuple[int, Decimal], int] = {}
    for one in parts:
        each = _less(one.price or NOUGHT, terms.percent_off)
        reached = _step(one.made, terms.steps, on)
        now = _less(each, reached[1]) if reached else each
        if reached:
            off_by_step[reached] = off_by_step.get(reached, 0) + one.pieces
        total += now * one.pieces
        step += (each - now) * one.pieces
    if terms.percent_off:
        said.append(f"{_percent(terms.percent_off)} off, {terms.class_name}")
    said += [
        f"{count} made {months} months ago or more: {_percent(percent)} off"
        for (months, percent), count in sorted(off_by_step.items())
    ]
    return Charge(total, listed.currency, step, "; ".join(said)[:500])


def _step(
    made: date | None, steps: Sequence[tuple[int, Decimal]], on: date
) -> tuple[int, Decimal] | None:
    """The step that a tyre has reached; none for one of unknown age."""
    if made is None:
        return None
    age = age_between(made, on)
    months = age.years * 12 + age.months
    reached = [step for step in steps if step[0] <= months and step[1] > 0]
    return max(reached, default=None)


def _less(price: Decimal, percent: Decimal) -> Decimal:
    return (price * (_HUNDRED - percent) / _HUNDRED).quantize(_CENT, ROUND_HALF_UP)


def _percent(number: Decimal) -> str:
    return f"{number.normalize():f} %"
