"""Order lines as they are written: one for each price, with what is held for it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any

from django.contrib.auth.models import User
from django.utils import timezone

from inventory.activities.ordering.asks import Holding
from inventory.activities.prices import terms_of
from inventory.availability.charging import NOUGHT, Charge, Terms
from inventory.ground.entries.alone import refuse_faulty
from inventory.ground.violations import named_violation
from inventory.models.hold import Hold
from inventory.models.quote import Quote
from inventory.models.sale import Asks, Order, OrderLine
from inventory.models.sku import Sku


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What a line asks for, whatever it costs."""

    what: str
    sku: Sku | None = None
    recipe: dict[str, Any] | None = None
    answer: Mapping[str, Any] = field(default_factory=dict)
    quote: Quote | None = None


@dataclass(slots=True)
class Taking:
    """An order in hand: its terms, the day of its prices, the lines so far.

    told: sets that the customer was told of earlier, to be looked at again before the end.
    held: every hold that a line has now.
    """

    order: Order
    holding: Holding
    by: User
    at: datetime
    position: int = 0
    terms: Terms = field(init=False)
    lines: list[OrderLine] = field(default_factory=list)
    told: list[tuple[Hold, datetime]] = field(default_factory=list)
    held: list[Hold] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.terms = terms_of(self.order.customer)

    @property
    def on(self) -> date:
        """The day by which ages and prices go."""
        return timezone.localtime(self.at).date()

    def line(self, wanted: Wanted, charge: Charge, quantity: int = 1) -> OrderLine:
        """A line for so many more of it: the last one's if that is the same at the same price."""
        last = self.lines[-1] if self.lines else None
        if last is not None and _same(last, wanted, charge):
            last.quantity += quantity
            refuse_faulty(last, ["quantity"])
            last.save(update_fields=["quantity"])
            return last
        self.position += 1
        made = _new(self.order, self.position, wanted, charge, quantity)
        self.lines.append(made)
        return made


def _same(line: OrderLine, wanted: Wanted, charge: Charge) -> bool:
    asked = (line.what, line.sku, line.recipe, line.quote)
    costs = (line.price, line.step, line.currency, line.price_words)
    return asked == (wanted.what, wanted.sku, wanted.recipe, wanted.quote) and costs == (
        charge.amount,
        charge.step,
        charge.currency,
        charge.words,
    )


def _new(order: Order, position: int, wanted: Wanted, charge: Charge, quantity: int) -> OrderLine:
    line = OrderLine(
        order=order,
        position=position,
        asks=Asks.SETS if wanted.recipe else Asks.PIECES,
        what=wanted.what,
        sku=wanted.sku,
        recipe=wanted.recipe,
        answer=dict(wanted.answer),
        quote=wanted.quote,
        quantity=quantity,
        price=charge.amount,
        step=charge.step if charge.amount is not None else NOUGHT,
        currency=charge.currency if charge.amount is not None else "",
        price_words=charge.words,
    )
    refuse_faulty(line, ["what", "quantity"])
    with named_violation():
        line.save(force_insert=True)
    return line
