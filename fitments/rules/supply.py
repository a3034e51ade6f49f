"""Rule 12, supply: a tyre without an E-mark, sold for the road where the law asks for one.

GB: since 1 January 1985 a new car tyre must be approved to UN R30 and E-marked (House of Lords,
Hansard, 26 July 1984). UN R30 leaves out tyres for vintage cars (GOST R 41.30-99, its Russian text)
and for competition (from memory); the exact exemptions in law were not read, so the basis is asked
for, never assumed. EU: Directive 92/23/EEC as amended by 2001/43/EC, for all tyres in scope since
1 October 2009 (as transposed in France, JORFARTI000001078738). Part-worn, GB: E-mark, load and
speed marks, 2 mm, and PART-WORN in letters of 4 mm (businesscompanion.info).
"""

from __future__ import annotations

import re
from datetime import date
from functools import lru_cache

from fitments.rules.values import Condition, Finding, Market, Spot, Terms, TypeApproval, Tyre, Use
from fitments.rules.voice import Findings, Voice
from fitments.rules.words import day

RULE = "supply"
SINCE = {
    Market.GB: (date(1985, 1, 1), "House of Lords, Hansard, 26 July 1984"),
    Market.EU: (
        date(2009, 10, 1),
        "Directive 92/23/EEC as amended by 2001/43/EC, as transposed in France "
        "(JORFARTI000001078738)",
    ),
}
SAYS = Voice(RULE, "House of Lords, Hansard, 26 July 1984")
PART_WORN = Voice(RULE, "businesscompanion.info, part-worn tyres (SI 1994/3117 reg 7)", "part-worn")
_SCHEMES = re.compile(r"\bR\s?0*(30|54|75|117)\b|\b92/23\b|\bE[\s-]?\d{1,2}\b|\bE-MARK", re.I)
_USED = frozenset({Condition.PART_WORN, Condition.TAKE_OFF, Condition.FITTED})


def judge_supply(tyre: Tyre, spot: Spot, terms: Terms) -> Findings:
    since = SINCE.get(terms.market)
    if terms.use is not Use.ROAD or since is None or terms.on < since[0]:
        return ()
    found = _supply(tyre.type_approvals, tyre.supply_basis, terms.market)
    return (found, *_part_worn(tyre, terms))


def is_e_marked(tyre: Tyre) -> bool:
    """Whether one of the type-approval numbers is under a scheme that an E-mark stands for."""
    return _stand_for_e_mark(tyre.type_approvals or ())


def _stand_for_e_mark(numbers: tuple[TypeApproval, ...]) -> bool:
    return any(_SCHEMES.search(f"{each.scheme} {each.number}") for each in numbers)


@lru_cache(maxsize=20_000)  # the numbers of a tyre are its own, and come with every question
def _supply(numbers: tuple[TypeApproval, ...] | None, basis: str, market: Market) -> Finding:
    since, source = SINCE[market]
    says = SAYS.on("", source)
    if _stand_for_e_mark(numbers or ()):
        listed = ", ".join(f"{each.scheme} {each.number}".strip() for each in numbers or ())
        return says.suits(f"Type-approved: {listed}.")
    asks = (
        f"since {day(since)} a new car tyre sold for the road in {market.words} must be "
        "E-marked, tyres for vintage cars and for competition apart"
    )
    if basis:
        return says.warns(f"No E-mark; {asks}. Supplied on this basis: {basis}.")
    has = "Whether it has an E-mark is not on record" if numbers is None else "No E-mark"
    return says.cannot_tell(
        f"{has}; {asks}: on what basis is it supplied?",
        "the sidewall for an E in a circle; else the tyre maker's word on what it is supplied as",
    )


def _part_worn(tyre: Tyre, terms: Terms) -> Findings:
    if terms.market is not Market.GB or tyre.condition not in _USED:
        return ()
    return (
        PART_WORN.warns(
            "A used tyre is sold for the road only with its E-mark, load and speed marks, 2 mm of "
            "tread at the least, and PART-WORN on it in letters of 4 mm.",
            "the tyre itself, inside and out",
        ),
    )
