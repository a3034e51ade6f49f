"""What a buyer sees on each line of the alerts: every number, and one sentence made from them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from enum import Enum


class Cause(Enum):
    """What binds: the reason that is named first."""

    SHORT_NOW = "short now"
    LATE_DELIVERY = "delivery late"
    CUT_OFF = "cut-off"
    SEASON = "season"
    MATE_SHORT = "holds up its mate"
    MINIMUM = "minimum"
    DEMAND = "demand"


@dataclass(frozen=True, slots=True)
class Mate:
    """The tyre of the other axle, and the sets that the two make, 2 + 2."""

    code: str
    free: int
    sets: int
    """Complete sets of what is free of the two."""
    binding: bool
    """Whether it is this SKU, not the mate, that there are too few of."""
    by_number: int
    """Sets that so many free pieces would make if all matched."""


@dataclass(frozen=True, slots=True)
class OnShelf:
    """Pieces as of a time; ``kept_out`` are in quarantine, blocked or too old, and do not count."""

    on_hand: int
    held: int
    kept_out: int
    as_of: datetime

    @property
    def free(self) -> int:
        return self.on_hand - self.held


@dataclass(frozen=True, slots=True)
class Arrival:
    """A delivery that is expected. ``in_time``: before the last day that is to be covered."""

    reference: str
    units: int
    due: date
    in_time: bool
    overdue: bool


@dataclass(frozen=True, slots=True)
class ToCover:
    """Demand from today to ``until``, when the order after this one comes: expected, and what is
    enough with the chance ``service``."""

    since: date
    lands: date
    until: date
    expected: float
    level: int
    service: float
    queued: int
    """Pre-orders that what comes by then is already spoken for by."""


@dataclass(frozen=True, slots=True)
class Uplift:
    """What the season makes of demand over the same days; ``level`` without it."""

    index: float
    category: str
    years: int
    units: float
    level: int


@dataclass(frozen=True, slots=True)
class OrderBy:
    """The last day to order. ``batch`` is the run whose cut-off it is, "" where it is the lead
    time's. ``missed`` names a run whose cut-off has passed."""

    day: date | None
    days_left: int
    batch: str
    missed: str
    short_meanwhile: float
    """Pieces expected to be short before an order can land."""

    @property
    def late(self) -> bool:
        return self.day is not None and self.days_left < 0


@dataclass(frozen=True, slots=True)
class Order:
    """What to order: need, least quantity, packs, and what a cheaper lot adds. ``left`` are pieces
    expected over at the season's end, ``chance_left`` that of ``left_at_least`` or more."""

    need: int
    after_minimum: int
    after_pack: int
    pieces: int
    minimum: int
    pack: int
    extra_money: float | None
    left: float
    left_at_least: int
    chance_left: float

    @property
    def extra(self) -> int:
        """Pieces beyond the need."""
        return self.pieces - self.need


@dataclass(frozen=True, slots=True)
class Money:
    """``cost`` of the order, None where the price is not known. With a plan: its share of the
    budget, what a unit of money spent on it is expected to earn, and what the plan's last one
    earns; a line that earns less is out of the plan."""

    cost: float | None
    share_of_budget: float | None = None
    gain: float | None = None
    price_of_money: float | None = None


@dataclass(frozen=True, slots=True)
class Confidence:
    """What the forecast rests on: ``own`` is the share that is the SKU's own history."""

    sale_months: int
    units: float
    own: float

    @property
    def thin(self) -> bool:
        return self.sale_months < 6


@dataclass(frozen=True, slots=True)
class Chances:
    """Of running out until ``ToCover.until``: before an order can land, and after that without
    and with the order."""

    before_it_lands: float
    without: float
    with_order: float


@dataclass(frozen=True, slots=True)
class Override:
    """What the buyer orders instead; the tool's own number stays visible."""

    pieces: int
    by: str
    why: str
    at: datetime


@dataclass(frozen=True, slots=True)
class AlertLine:
    """One SKU that is at risk. ``row`` is its row in all arrays; ``place`` front, rear or ""."""

    row: int
    code: str
    size: str
    place: str
    mate: Mate | None
    shelf: OnShelf
    coming: tuple[Arrival, ...]
    cover: ToCover
    season: Uplift
    first_risk: date
    order_by: OrderBy
    order: Order
    money: Money
    confidence: Confidence
    chances: Chances
    cause: Cause
    problems: tuple[str, ...]
    sentence: str = ""
    override: Override | None = None

    @property
    def to_order(self) -> int:
        """The buyer's number where there is one, else the tool's."""
        return self.order.pieces if self.override is None else self.override.pieces
