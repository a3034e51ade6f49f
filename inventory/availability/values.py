"""Questions about the shelf and their answers, as frozen values."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from inventory.markings.datecode import Age
from inventory.markings.datecode.age import age_between
from inventory.models.lot import Condition, Owner
from inventory.models.place import PlaceKind
from inventory.sets.recipe import Recipe

PROMISED_FROM = (PlaceKind.STORAGE.value, PlaceKind.GOODS_IN.value)


@dataclass(frozen=True, slots=True)
class Need:
    """One question "have you got it?": a recipe whose SKUs are keys of ``Sku`` rows.

    key: whatever names it to the caller. site_id: tyres of that site only; None for all sites.
    rim_kind and valve: those of the wheels, as ``Companion`` rows name them ("" where not known);
    the companions that must go with the tyres are added to the recipe by them.
    """

    key: Hashable
    recipe: Recipe
    site_id: int | None = None
    rim_kind: str = ""
    valve: str = ""


@dataclass(frozen=True, slots=True)
class ShelfLot:
    """What lies of one lot in one place, as asked on one day.

    rank: where the place comes on the way round all that was asked for, site by site. blocked: the
    reasons of the blocks that stand.
    """

    lot_id: int
    place_id: int
    site_id: int
    sku_id: int
    code: str
    date_code: str
    week: int | None
    first_day: date | None
    last_day: date | None
    mark: str
    mark_issue: str
    pattern_issue: str
    delivery: str
    received_on: date
    owner: str
    condition: str
    blocked: tuple[str, ...]
    site: str
    place: str
    place_kind: str
    rank: int
    on_hand: int
    held: int
    asked_on: date

    @property
    def free(self) -> int:
        """Tyres that nobody holds."""
        return self.on_hand - self.held

    @property
    def age(self) -> Age | None:
        """The age on the day asked about; None where the week is not known."""
        return None if self.last_day is None else age_between(self.last_day, self.asked_on)

    @property
    def to_sell(self) -> bool:
        """Whether it may be promised unasked: the house's own, new, not blocked, in the racks."""
        ours = self.owner == Owner.HOUSE and self.condition == Condition.NEW
        return ours and not self.blocked and self.place_kind in PROMISED_FROM


@dataclass(frozen=True, slots=True)
class ChosenLot:
    """So many of a lot, for one place on the car."""

    for_place: str
    quantity: int
    lot: ShelfLot


@dataclass(frozen=True, slots=True)
class CompanionFact:
    """What goes with one set: how many of which SKU, and how many are free.

    need: "must", "may" or "must_not", as the companion's row says; of a must not, per_set is 0.
    """

    sku_id: int
    code: str
    name: str
    kind: str
    need: str
    per_set: int
    free: int
    source: str


@dataclass(frozen=True, slots=True)
class Price:
    """The price of one set with its companions; without an amount, the reason in words."""

    amount: Decimal | None
    currency: str = ""
    reason: str = ""


@dataclass(frozen=True, slots=True)
class SetAnswer:
    """What can be promised for one need.

    sets: complete sets, companions included; never more than ``bound`` can exist. reason: why not
    as many as the pieces suggest, "" where they are. pieces: free tyres by place on the car.
    chosen: the best set as it lies, in the recipe's order of places; empty where sets is 0.
    """

    key: Hashable
    sets: int
    bound: int
    reason: str
    pieces: tuple[tuple[str, int], ...]
    chosen: tuple[ChosenLot, ...]
    companions: tuple[CompanionFact, ...]
    price: Price

    @property
    def exact(self) -> bool:
        """Whether it is proven that there can be no more."""
        return self.sets == self.bound


@dataclass(frozen=True, slots=True)
class Figures:
    """What a stock figure means, for one SKU.

    in_the_racks: the house's own in storage and goods in; spoken_for: held of them; to_sell: free,
    new and not blocked; put_aside: the rest of them (blocked, or not new any more).
    in_quarantine, on_the_way (in transit or despatch): the house's own there. not_ours: tyres of
    customers and suppliers, wherever they lie. expected_on: when more comes next, by what is on
    order, else as the SKU says; None where not known. on_order: what is on order and has not come.
    """

    sku_id: int
    code: str
    status: str
    expected_on: date | None
    in_the_racks: int = 0
    spoken_for: int = 0
    to_sell: int = 0
    in_quarantine: int = 0
    on_the_way: int = 0
    not_ours: int = 0
    on_order: int = 0

    @property
    def put_aside(self) -> int:
        """In the racks, held by nobody, and not to be sold as new."""
        return self.in_the_racks - self.spoken_for - self.to_sell

    @property
    def coming(self) -> bool:
        """Whether it is announced, or a day is known on which more comes."""
        return self.status == "announced" or self.expected_on is not None
