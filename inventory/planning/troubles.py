"""What is wrong with a SKU's own figures, each in a sentence; the reckoning goes on."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from inventory.planning.pairing import sellable_sets
from inventory.planning.situation import NO_MATE, Situation
from inventory.planning.supply import ANY_TIME, HOUSE_LEAD_DAYS
from inventory.planning.words import days, pieces, said


def troubles(situation: Situation, row: int) -> tuple[str, ...]:
    """The sentences of one SKU, in the order in which a buyer can act on them."""
    return (
        *_of_supply(situation, row),
        *_of_history(situation, row),
        *_of_price(situation, row),
        *_of_sets(situation, row),
    )


def _of_supply(situation: Situation, row: int) -> Iterator[str]:
    supply = situation.position.supply
    if supply.without_terms[row]:
        yield f"No supplier's terms: reckoned with a lead time of {days(HOUSE_LEAD_DAYS)}."
    if supply.missed[row] != ANY_TIME:
        batch = supply.batches[supply.missed[row]]
        yield f"The cut-off of batch {batch.code} was {said(batch.order_by)}: it is closed."
    if supply.unannounced[row]:
        lead = days(int(supply.lands[row]))
        yield f"No open batch is announced: reckoned with a lead time of {lead}."


def _of_history(situation: Situation, row: int) -> Iterator[str]:
    found = situation.learned.forecast
    months = int(found.sale_months[row])
    if months == 0:
        yield "No sale yet: all of the forecast is its range's average."
    elif months == 1:
        own = f"{found.own[row]:.0%}".replace("%", " %")
        yield f"Sold in one month only: {own} of the forecast is its own, the rest its range's."
    odd = float(situation.learned.odd[row])
    if odd > 0:
        yield (
            f"{pieces(odd)} sold in one month are out of all proportion to its others: left out,"
            " look at it."
        )
    returned = float(situation.learned.demand.unexplained[row])
    if returned > 0:
        yield f"{pieces(returned)} came back that no sale in the history explains: left out."


def _of_price(situation: Situation, row: int) -> Iterator[str]:
    if not np.isfinite(situation.catalogue.cost[row]):
        yield "No price known: the cost of the order is left out."


def _of_sets(situation: Situation, row: int) -> Iterator[str]:
    shelf, mate = situation.position.shelf, int(situation.catalogue.mate[row])
    sets = situation.sets.get(row)
    if sets is None or mate == NO_MATE:
        return
    own, other = (int(shelf.on_hand[each] - shelf.held[each]) for each in (row, mate))
    by_number = int(sellable_sets(own, other))
    if sets < by_number:
        yield (
            f"{pieces(own)} free here and {pieces(other)} of {situation.catalogue.code[mate]} would"
            f" be {by_number} sets by number; by date code, mark and what goes with them"
            f" {pieces(sets)} can be promised."
        )
