"""What is held for order lines, chosen under the locks of whoever takes or changes the order."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from inventory.activities import answers, recipes
from inventory.activities.holding.choosing import Chosen, choose_pieces, choose_set
from inventory.activities.holding.making import hold_chosen
from inventory.activities.holding.parts import Part
from inventory.activities.holding.refusals import NoSet, NotEnough
from inventory.activities.holding.writing import Purpose, write_hold
from inventory.activities.ordering.asks import AskPieces, AskSets, Holding
from inventory.activities.ordering.writing import Taking, Wanted
from inventory.activities.prices import list_price, price_of
from inventory.availability import promises
from inventory.availability.charging import Charge, Piece, charged
from inventory.models.hold import Hold
from inventory.models.quote import Quote
from inventory.models.sale import OrderLine


def add_sets(taking: Taking, ask: AskSets, *, quote: Quote | None = None) -> list[Hold]:
    """Lines for sets, each set held as far as is asked; at the quote's price where there is one."""
    recipe = recipes.kept(ask.need.recipe)
    kept = answers.frozen(ask.said, ask.need)
    wanted = Wanted(what=ask.what, recipe=recipe, answer=kept, quote=quote)
    made = []
    going_on = taking.holding is not Holding.NOTHING
    for number in range(ask.sets):
        chosen = _next_set(taking, ask, number) if going_on else None
        going_on = chosen is not None
        charge = _quoted(quote) if quote else _charge(taking, ask, chosen)
        line = taking.line(wanted, charge)
        if chosen is not None:
            purpose = purpose_of(line, pinned=ask.pinned)
            made.append(
                hold_chosen(purpose, ask.need, chosen, ask.said, by=taking.by, at=taking.at)
            )
    taking.held += made
    return made


def _next_set(taking: Taking, ask: AskSets, number: int) -> Chosen | None:
    shown = ask.shown if number == 0 else None
    try:
        return choose_set(ask.need, shown=shown, other_choice=ask.other_choice, at=taking.at)
    except NoSet as refused:
        if taking.holding is Holding.ALL:
            raise NoSet(refused.reason, found=number, asked=ask.sets) from None
        return None


def _charge(taking: Taking, ask: AskSets, chosen: Chosen | None) -> Charge:
    if chosen is not None:
        return price_of(chosen.parts, taking.terms, on=taking.on)
    (answer,) = promises([ask.need], at=taking.at)
    return list_price(answer.price, taking.terms, on=taking.on)


def _quoted(quote: Quote) -> Charge:
    words = f"As quoted in {quote.number}: {quote.price_words}"[:500]
    return Charge(quote.price, quote.currency, words=words)


def add_pieces(taking: Taking, ask: AskPieces) -> None:
    """Lines for pieces, one for each price, and what of them is held."""
    wanted = Wanted(what=ask.what or str(ask.sku), sku=ask.sku, answer=ask.said)
    parts = _parts(taking, ask)
    by_price: dict[Charge, list[Part]] = {}
    for part in parts:
        single = Part(part.for_place, part.lot_id, part.place_id, 1)
        by_price.setdefault(price_of([single], taking.terms, on=taking.on), []).append(part)
    for charge, some in by_price.items():
        line = taking.line(wanted, charge, sum(part.quantity for part in some))
        purpose = purpose_of(line, answer=ask.said, pinned=ask.pinned)
        taking.held.append(write_hold(purpose, some, by=taking.by, at=taking.at))
    rest = ask.quantity - sum(part.quantity for part in parts)
    if rest:
        one = Piece(ask.sku.code, 1, ask.sku.price, ask.sku.currency)
        taking.line(wanted, charged([one], taking.terms, on=taking.on), rest)


def _parts(taking: Taking, ask: AskPieces) -> tuple[Part, ...]:
    if taking.holding is Holding.NOTHING:
        return ()
    asked: Mapping[str, Any] = {
        "site_id": ask.site_id, "other_choice": ask.other_choice, "at": taking.at
    }  # fmt: skip
    try:
        return choose_pieces(ask.sku, ask.quantity, shown=ask.shown, **asked)
    except NotEnough as refused:
        if taking.holding is Holding.ALL or not refused.free:
            if taking.holding is Holding.ALL:
                raise
            return ()
        return choose_pieces(ask.sku, refused.free, shown=None, **asked)


def purpose_of(
    line: OrderLine, *, answer: Mapping[str, Any] | None = None, pinned: bool = False
) -> Purpose:
    """To hold something for an order line: it runs as long as the order."""
    return Purpose(
        customer=line.order.customer,
        car=line.order.car,
        what=line.what,
        order_line=line,
        answer=answer or {},
        pinned=pinned,
    )
