"""What is held or was quoted already becomes an order's."""

from __future__ import annotations

from collections import Counter

from inventory.activities import answers
from inventory.activities.holding.parts import Part
from inventory.activities.ordering.asks import AskQuote, AskSets
from inventory.activities.ordering.filling import add_sets
from inventory.activities.ordering.writing import Taking, Wanted
from inventory.activities.prices import price_of
from inventory.activities.quoting.withdrawing import end_quote
from inventory.models.hold import Hold, HoldLine
from inventory.models.quote import Quote, QuoteState


def add_hold(taking: Taking, hold: Hold) -> None:
    """A line for what a hold holds, and the hold is that line's. It is locked and stands."""
    rows = HoldLine.objects.filter(hold=hold).select_related("lot__sku").order_by("pk")
    lines = list(rows)
    parts = [Part(one.for_place, one.lot_id, one.place_id, one.quantity) for one in lines]
    if hold.recipe is not None:
        wanted = Wanted(what=hold.what, recipe=hold.recipe, answer=hold.answer)
        line = taking.line(wanted, price_of(parts, taking.terms, on=taking.on))
        _give(taking, hold, line)
        return
    wanted = Wanted(what=hold.what, sku=lines[0].lot.sku, answer=hold.answer)
    each = Counter(
        price_of([Part("", one.lot_id, 0, 1)], taking.terms, on=taking.on) for one in parts
    )
    # One hold is for one line: pieces of several prices are charged at the least of them.
    charge = min(each, key=lambda one: (one.amount is None, one.amount or 0))
    line = taking.line(wanted, charge, sum(part.quantity for part in parts))
    _give(taking, hold, line)


def _give(taking: Taking, hold: Hold, line: object) -> None:
    hold.order_line = line  # type: ignore[assignment]
    hold.save(update_fields=["order_line"])
    taking.told.append((hold, hold.made_at))
    taking.held.append(hold)


def add_quote(taking: Taking, ask: AskQuote, quote: Quote) -> None:
    """Lines for the sets of a quote at its price; the quote is locked, and taken up by this."""
    need = answers.need_of(quote.recipe, quote.answer)
    said = answers.said_of(quote.answer)
    sets = ask.sets if ask.sets is not None else quote.sets
    asked = AskSets(need=need, what=quote.what, sets=sets, pinned=ask.pinned, said=said)
    made = add_sets(taking, asked, quote=quote)
    taking.told += [(hold, quote.made_at) for hold in made]
    why = f"taken up by {taking.order.number}"
    end_quote(quote, QuoteState.TAKEN, why=why, by=taking.by, at=taking.at)
