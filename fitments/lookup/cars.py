"""Which cars does this tyre fit? Pages of variants in the order of their codes, rules decide."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import Q, QuerySet

from fitments.lookup.approvals import approvals_for
from fitments.lookup.fetching import fetch_places, with_line
from fitments.lookup.spots import AXLES, AsItStands, listed_rows, spot_of
from fitments.lookup.tyres import loaded, tyre_of
from fitments.models.approval import Approval
from fitments.models.car import Variant, VehicleLine
from fitments.models.fitment import Fitment
from fitments.rules.values import ApprovalFact, Axle, DaySpan, Market, Tyre, Use, Verdict
from fitments.verdict import judge
from inventory.ground.planned import Planned
from inventory.models.sku import Sku

PAGE = 100


@dataclass(frozen=True, slots=True)
class Fits:
    """One variant that takes the tyre at one axle, for cars built in a period."""

    variant: Variant
    axle: Axle
    built: DaySpan
    standing: str
    verdict: Verdict


@dataclass(frozen=True, slots=True)
class CarsPage:
    """A page of answers; ``after`` is the code to go on from, None at the end."""

    fits: tuple[Fits, ...]
    after: str | None


def _taking(keys: list[str], pattern: int, mark: str | None) -> QuerySet[Variant]:
    """Variants with a listed size of these keys, or of a range that approves such a tyre."""
    listed = Fitment.objects.filter(size_keys__overlap=keys).values("variant_id")
    marked = Q(by_list=True)
    if mark is not None:
        marked |= Q(mark__iexact=mark)
    approved = Approval.objects.filter(
        marked,
        Q(pattern=None) | Q(pattern=pattern),
        size_keys__overlap=keys,
        vehicle_line__isnull=False,
    )
    lines = VehicleLine.objects.filter(pk__in=approved.values("vehicle_line_id"))
    return Variant.objects.filter(Q(pk__in=listed) | Q(vehicle_line__in=lines)).order_by("code")


_page_unmarked = Planned(
    lambda keys, pattern, after: with_line(
        _taking(keys, pattern, None).filter(code__gt=after)[: PAGE + 1]
    ),
    *([str], int, str),
)
_page_marked = Planned(
    lambda keys, pattern, after, mark: with_line(
        _taking(keys, pattern, mark).filter(code__gt=after)[: PAGE + 1]
    ),
    *([str], int, str, str),
)


def _page_of(sku: Sku, after: str, within: QuerySet[Variant] | None) -> list[Variant]:
    """The variants that may take a tyre, from a code on: as many as a page has, and one more."""
    pattern = sku.pattern_id or 0
    if within is None:
        if sku.mark:
            return _page_marked(sku.size_keys, pattern, after, sku.mark)
        return _page_unmarked(sku.size_keys, pattern, after)
    rows = with_line(_taking(sku.size_keys, pattern, sku.mark or None))
    return list(rows.filter(code__gt=after, pk__in=within.values("pk"))[: PAGE + 1])


def cars_for(
    sku: Sku,
    *,
    in_force_on: date,
    known_on: datetime,
    use: Use,
    market: Market,
    after: str = "",
    limit: int = PAGE,
    within: QuerySet[Variant] | None = None,
) -> CarsPage:
    """A page of the cars that a tyre fits, each axle and period with its verdict.

    In the order of variant codes, ``limit`` variants (up to ``PAGE``), going on behind ``after``;
    ``within`` narrows to some variants. The number of queries does not grow with the answers.
    """
    tyre = tyre_of(loaded(sku))
    variants = _page_of(sku, after, within)
    page, more = fetch_places(variants[:limit]), len(variants) > limit
    facts = approvals_for(
        vehicle_lines={one.vehicle_line_id for one in page},
        in_force_on=in_force_on,
        known_on=known_on,
    )
    fits = []
    for variant in page:
        about = facts.get(("range", variant.vehicle_line_id), ())
        fits += list(_fits(variant, tyre, about, use, market, in_force_on))
    return CarsPage(tuple(fits), page[-1].code if more else None)


def _fits(
    variant: Variant,
    tyre: Tyre,
    facts: tuple[ApprovalFact, ...],
    use: Use,
    market: Market,
    on: date,
) -> Iterable[Fits]:
    stands = AsItStands()
    for axle in AXLES:
        for built, standing in _periods(variant, axle, tyre, facts):
            spot = spot_of(
                variant, axle, built=built, stands=stands, approvals=facts, competition_class=None
            )
            yield Fits(
                variant, axle, built, standing, judge(tyre, spot, use=use, market=market, on=on)
            )


def _periods(
    variant: Variant, axle: Axle, tyre: Tyre, facts: tuple[ApprovalFact, ...]
) -> list[tuple[DaySpan, str]]:
    """The build periods for which this tyre's size is listed, or the whole where it is approved."""
    whole = DaySpan(variant.built_from, variant.built_to)
    found: dict[DaySpan, str] = {}
    for row in listed_rows(variant, "fitments"):
        listed = DaySpan(row.built_from, row.built_to)
        if row.axle != axle or tyre.size_keys.isdisjoint(row.size_keys):
            continue
        if listed.overlaps(whole):
            found.setdefault(_both(listed, whole), row.get_standing_display())
    if not found and any(
        fact.axle in ("", axle) and not tyre.size_keys.isdisjoint(fact.keys) for fact in facts
    ):
        found[whole] = "approved by the car's maker"
    return list(found.items())


def _both(one: DaySpan, other: DaySpan) -> DaySpan:
    """The days that lie in both of two periods that overlap."""
    first = max(one.start, other.start)
    last = min(one.end, other.end)
    return DaySpan(None if first == date.min else first, None if last == date.max else last)
