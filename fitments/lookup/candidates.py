"""Which tyres could go on this car? SQL narrows on indexed columns, rules decide."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from django.utils.functional import cached_property

from fitments.lookup.approvals import approvals_for
from fitments.lookup.fetching import (
    fetch_numbers,
    fetch_places,
    numbers_of_size,
    tyres_of_size,
    with_line,
    with_numbers,
)
from fitments.lookup.nearest import Reach, nearest_to
from fitments.lookup.span import Span, parts_of
from fitments.lookup.spots import (
    AXLES,
    AsItStands,
    class_of,
    fitments_on,
    has_places,
    spots_of,
)
from fitments.lookup.tyres import tyre_of
from fitments.models.car import Variant
from fitments.models.organiser import CompetitionClass as ClassRow
from fitments.rules.values import (
    ApprovalFact,
    Axle,
    DaySpan,
    Market,
    Spot,
    Terms,
    Tyre,
    Use,
    Verdict,
)
from fitments.verdict import judge_on
from inventory.ground.together import Later, in_turn
from inventory.markings import NotDerivable, overall_diameter
from inventory.models.sku import Sku

REACH = Decimal("0.03")
"""How far from the diameter it replaces an alternative is looked for; the rules are stricter."""


@dataclass(frozen=True, eq=False)
class Judged:
    """One SKU at one axle. ``listed`` means its size is fitted there or approved there.

    The verdict on the place alone is worked out when it is first asked for: who judges the whole
    car needs it for few of many.
    """

    sku: Sku
    tyre: Tyre
    axle: Axle
    spot: Spot
    terms: Terms
    listed: bool

    @cached_property
    def combinations(self) -> frozenset[str]:
        """The combinations of fronts and rears in which its size stands at this place."""
        return frozenset(
            one.combination
            for one in self.spot.fitted
            if (self.spot.built is None or one.built.overlaps(self.spot.built))
            and not one.keys.isdisjoint(self.tyre.size_keys)
        )

    @cached_property
    def verdict(self) -> Verdict:
        return judge_on(self.tyre, self.spot, self.terms)


@dataclass(frozen=True, slots=True)
class Part:
    """The answer for cars built in one span inside which nothing listed changes."""

    built: Span | None
    spots: dict[Axle, Spot]
    judged: tuple[Judged, ...]


@dataclass(frozen=True, slots=True)
class Candidates:
    """The answer for a variant: one part, or several where the span crosses a change."""

    variant: Variant
    parts: tuple[Part, ...]

    @property
    def dividing_days(self) -> tuple[date, ...]:
        """The first day of each part but the first."""
        return tuple(part.built.first for part in self.parts[1:] if part.built)


def candidates_for(
    variant: Variant,
    *,
    built: Span,
    in_force_on: date,
    known_on: datetime,
    use: Use,
    market: Market,
    stands: AsItStands | None = None,
    competition_class: ClassRow | None = None,
) -> Candidates:
    """Every tyre in the catalogue whose size is listed or approved for this car, and the nearest
    others on the same rim, each judged at each axle.

    ``built`` a day, or a span (just a year) that is cut where something listed changes.
    ``in_force_on`` is the day the tyre leaves, ``known_on`` the moment whose register is asked.
    Ordered by SKU code; ranking is for who asks. The number of queries does not grow with the
    number of answers.
    """
    stands = stands or AsItStands()
    if not has_places(variant):
        (variant,) = fetch_places([with_line(Variant.objects.filter(pk=variant.pk)).get()])
    facts = _facts(variant, competition_class, in_force_on, known_on)
    parts = []
    cut = parts_of(built, _edges(variant, stands))
    placed = [
        spots_of(
            variant,
            built=DaySpan(span.first, span.last),
            stands=stands,
            approvals=facts,
            competition_class=class_of(competition_class),
        )
        for span in cut
    ]
    tyres = _tyres(placed)
    for span, spots in zip(cut, placed, strict=True):
        judged = tuple(_judged(tyres, spots, use, market, in_force_on))
        parts.append(Part(span, spots, judged))
    return Candidates(variant, tuple(parts))


def candidates_at(
    spots: dict[Axle, Spot], *, built: Span | None, use: Use, market: Market, on: date
) -> Part:
    """The same for places that were typed in, of a car that is not listed.

    The sizes now on it stand in each spot's ``fitted``; without any, and without a diameter to
    hold others against, there is nothing to look for.
    """
    return Part(built, spots, tuple(_judged(_tyres([spots]), spots, use, market, on)))


def _edges(variant: Variant, stands: AsItStands) -> list[tuple[date | None, date | None]]:
    return [
        (row.built_from, row.built_to)
        for axle in AXLES
        for row in fitments_on(variant, axle, stands.wheel)
    ]


def _facts(
    variant: Variant, competition_class: ClassRow | None, in_force_on: date, known_on: datetime
) -> tuple[ApprovalFact, ...]:
    classes = [competition_class.pk] if competition_class else []
    found = approvals_for(
        vehicle_lines=[variant.vehicle_line_id],
        classes=classes,
        in_force_on=in_force_on,
        known_on=known_on,
    )
    return tuple(fact for facts in found.values() for fact in facts)


def listed_keys(spot: Spot) -> frozenset[str]:
    """The keys of every size listed or approved for a place at the time the car was built."""
    keys: set[str] = set()
    for one in spot.fitted:
        if spot.built is None or one.built.overlaps(spot.built):
            keys |= one.keys
    for fact in spot.approvals:
        keys |= fact.keys
    return frozenset(keys)


def reference_mm(spot: Spot) -> Decimal | None:
    """The overall diameter of the first listed size that has one: what another is held against."""
    for one in spot.fitted:
        if spot.built is None or one.built.overlaps(spot.built):
            try:
                return Decimal(str(overall_diameter(one.size).value_mm))
            except NotDerivable:
                continue
    return None


def _tyres(placed: list[dict[Axle, Spot]]) -> list[tuple[Sku, Tyre]]:
    """The listed sizes, and the nearest others on the rims of the car: four queries.

    While the server looks for the nearest, tyres are made of the listed ones.
    """
    keys = sorted({key for spots in placed for spot in spots.values() for key in listed_keys(spot)})
    near = [_near(spot) for spots in placed for spot in spots.values()]
    reaches = list(dict.fromkeys(one for one in near if one is not None))
    middle = next(filter(None, map(reference_mm, placed[0].values())), Decimal(0))
    with in_turn() as meanwhile:
        listed, numbers = Later(tyres_of_size(keys)), Later(numbers_of_size(keys))
        meanwhile()
        nearest = Later(nearest_to(middle, reaches, without=keys)) if reaches else None
        tyres = [(sku, tyre_of(sku)) for sku in with_numbers(listed.told(), numbers.told())]
        others = nearest.told() if nearest else []
    return tyres + [(sku, tyre_of(sku)) for sku in fetch_numbers(others)]


def _near(spot: Spot) -> Reach | None:
    overall = reference_mm(spot)
    if overall is None or spot.rim_mm is None:
        return None
    return Reach(spot.rim_mm, overall * (1 - REACH), overall * (1 + REACH), spot.bead)


def _judged(
    tyres: Iterable[tuple[Sku, Tyre]],
    spots: dict[Axle, Spot],
    use: Use,
    market: Market,
    on: date,
) -> Iterable[Judged]:
    terms = Terms(use=use, market=market, on=on)
    keys = {axle: listed_keys(spot) for axle, spot in spots.items()}
    every = frozenset[str]().union(*keys.values())
    for sku, tyre in tyres:
        alternative = every.isdisjoint(tyre.size_keys)
        for axle, spot in spots.items():
            listed = not alternative and not keys[axle].isdisjoint(tyre.size_keys)
            # What is listed for the other axle alone, a rear, is no alternative for this one.
            if not listed and not alternative:
                continue
            yield Judged(sku, tyre, axle, spot, terms, listed)
