"""A tyre and a place that suit each other in everything, to change one thing at a time in.

Every maker, pattern, car, mark and organiser here is invented.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from functools import cache

from fitments.rules.values import (
    ApprovalFact,
    Axle,
    Basis,
    CompetitionClass,
    DaySpan,
    Finding,
    FittedSize,
    IssuerKind,
    Made,
    Market,
    Outcome,
    RimKind,
    Shoulder,
    Spot,
    Standing,
    StatedPressure,
    Terms,
    Tread,
    TubeType,
    TypeApproval,
    Tyre,
    TyreUse,
    Use,
)
from inventory.markings import Size, read_size, search_keys

SUITS, CAUTION = Outcome.SUITS, Outcome.CAUTION
CANNOT_TELL, REFUSED = Outcome.CANNOT_TELL, Outcome.DOES_NOT_SUIT
TODAY = date(2026, 11, 23)
PATTERN, OTHER_PATTERN = 7, 8
BUILT = DaySpan.day(date(1964, 6, 12))


@cache
def size(text: str) -> Size:
    return read_size(text)


def sized(text: str, **changes) -> Tyre:
    """A tyre of which the sidewall alone is known: size and service description."""
    read = size(text)
    speed = f"({read.speed})" if read.bracketed else read.speed or ""
    told = {
        "code": text,
        "size": read,
        "size_keys": search_keys(read),
        "load_index": read.load_index,
        "load_index_dual": read.load_index_dual,
        "speed": speed,
    }
    return Tyre(**(told | changes))


def tyre(text: str = "165 R 15 86H", **changes) -> Tyre:
    """A road tyre of which everything is known."""
    known = {
        "maker": "Marrick",
        "pattern": "Vale",
        "pattern_key": PATTERN,
        "introduced": 1958,
        "tread": Tread.SYMMETRIC,
        "shoulder": Shoulder.ROUNDED,
        "use": TyreUse.ROAD,
        "tube": TubeType.TUBELESS,
        "rim_width_min_in": 4,
        "rim_width_max_in": 5.5,
        "type_approvals": (TypeApproval(scheme="UN R30", number="0212345"),),
    }
    return sized(text, **(known | changes))


def fitted(text: str = "165 R 15", standing: Standing = Standing.FITTED_NEW, **changes):
    read = size(text)
    told = {"size": read, "keys": search_keys(read), "standing": standing, "combination": "A"}
    return FittedSize(**(told | {"source": "handbook, page 12"} | changes))


def pressure(kpa: int = 180, text: str = "165 R 15", **changes) -> StatedPressure:
    told = {"kpa": kpa, "source": "handbook, page 14", "size": text}
    return StatedPressure(**(told | {"keys": search_keys(size(text))} | changes))


def spot(**changes) -> Spot:
    """The front of an invented saloon of June 1964, everything known."""
    known = {
        "axle": Axle.FRONT,
        "car": "Hallmere Tern saloon",
        "rim_mm": 381,
        "bead": "5-degree",
        "width_in": 4.5,
        "rim_kind": RimKind.DISC,
        "tubed": True,
        "axle_load_kg": 690,
        "wheels": 2,
        "top_speed_kmh": 175,
        "pressures": (pressure(),),
        "built": BUILT,
        "first_used": date(1964, 7, 1),
        "fitted": (fitted(),),
        "arch_room_mm": 680,
    }
    return Spot(**(known | changes))


def terms(use: Use = Use.ROAD, market: Market = Market.GB, **changes) -> Terms:
    return Terms(**({"use": use, "market": market, "on": TODAY} | changes))


def approval(**changes) -> ApprovalFact:
    """Approved by the car's maker, by mark, on evidence that a second person checked."""
    told = {
        "code": "HAL-TERN-1",
        "issuer_kind": IssuerKind.CAR_MAKER,
        "issuer": "Hallmere",
        "scope": "Tern",
        "axle": "front",
        "keys": search_keys(size("165 R 15")),
        "size": "165 R 15",
        "pattern_key": PATTERN,
        "pattern": "Marrick Vale",
        "mark": "HT",
        "mark_issue": "2",
        "valid": DaySpan(date(2020, 1, 1), None),
        "basis": Basis.CHECKED,
        "evidence": ("letter 14/2020, Hallmere",),
    }
    return ApprovalFact(**(told | changes))


def listing(**changes) -> ApprovalFact:
    """On an organiser's list, without a mark."""
    told = {
        "code": "ALD-2026-T1",
        "issuer_kind": IssuerKind.ORGANISER,
        "issuer": "Aldermoor Racing Circle",
        "scope": "touring cars",
        "season": 2026,
        "mark": "",
        "mark_issue": "",
        "by_list": True,
        "valid": DaySpan(date(2026, 1, 1), date(2026, 12, 31)),
        "evidence": ("list 2026, edition 1",),
    }
    return approval(**(told | changes))


def race_class(**changes) -> CompetitionClass:
    told = {"organiser": "Aldermoor Racing Circle", "name": "touring cars", "season": 2026}
    return CompetitionClass(**(told | changes))


def made(week_ends: date = date(2023, 4, 8), **changes) -> Made:
    """Made in the week that ends on a Saturday, with a week of doubt on either side."""
    first = date.fromordinal(week_ends.toordinal() - 6)
    told = {
        "date_code": "1423",
        "first_day": first,
        "last_day": week_ends,
        "earliest": date.fromordinal(first.toordinal() - 7),
        "latest": date.fromordinal(week_ends.toordinal() + 7),
    }
    return Made(**(told | changes))


def one(findings, point: str = "") -> Finding:
    """The only finding on a point."""
    (found,) = [each for each in findings if each.point == point]
    return found


def without(thing, *fields: str):
    """The same thing with some facts not known."""
    blank = type(thing)(code="") if isinstance(thing, Tyre) else type(thing)()
    return replace(thing, **{name: getattr(blank, name) for name in fields})
