"""What can be asked for on an order: sets, pieces, what is held already, what was quoted."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum
from typing import Any

from inventory.activities.holding.parts import Part
from inventory.availability import Need
from inventory.models.hold import Hold
from inventory.models.quote import Quote
from inventory.models.sku import Sku


class Holding(StrEnum):
    """How much of it has to be held as the order is taken."""

    ALL = "all"
    SOME = "some"
    NOTHING = "nothing"


@dataclass(frozen=True, slots=True, kw_only=True)
class AskSets:
    """So many sets of one need; ``shown`` are the lots of one of them, as in `holding`."""

    need: Need
    what: str
    sets: int = 1
    shown: Sequence[Part] | None = None
    other_choice: bool = False
    pinned: bool = False
    said: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class AskPieces:
    """So many pieces of one SKU: tyres, or tubes and the like."""

    sku: Sku
    quantity: int
    what: str = ""
    shown: Sequence[Part] | None = None
    other_choice: bool = False
    site_id: int | None = None
    pinned: bool = False
    said: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class AskHold:
    """What is held for the customer already."""

    hold: Hold


@dataclass(frozen=True, slots=True, kw_only=True)
class AskQuote:
    """Sets as they were quoted, at that price; all that were quoted unless fewer are wanted."""

    quote: Quote
    sets: int | None = None
    pinned: bool = False


Ask = AskSets | AskPieces | AskHold | AskQuote


@dataclass(frozen=True, slots=True)
class Deposit:
    """A deposit as it is noted: nothing is paid here."""

    amount: Decimal
    currency: str
    reference: str
