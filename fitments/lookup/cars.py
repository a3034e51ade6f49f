"""Which cars does this tyre fit? Pages of variants in the order of their codes, rules decide."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import Q, QuerySet

from fitments.lookup.fetching import with_line
from fitments.lookup.of_size import approvals_of_size, briefly_asked
from fitments.lookup.places import Places, Reading
from fitments.lookup.spots import AXLES
from fitments.lookup.tyres import loaded, tyre_of
from fitments.models.approval import Approval
from fitments.models.car import Variant
from fitments.models.fitment import Fitment
from fitments.rules.measures import tyre_keys
from fitments.rules.round import Round
from fitments.rules.values import Axle, DaySpan, Market, Terms, Use, Verdict
from inventory.ground.planned import Planned
from inventory.ground.together import Later, together
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
    lines = approved.values("vehicle_line_id")
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
    page, more = variants[:limit], len(variants) > limit
    if not page:
        return CarsPage((), None)
    with together():
        read = Reading(page)
        approved = Later(briefly_asked({one.vehicle_line_id for one in page}, known_on))
    keys, rows = tyre_keys(tyre), approved.told()
    approvals = approvals_of_size(keys, rows, in_force_on=in_force_on, known_on=known_on)
    places = Places(tyre, read, approvals)
    round_ = Round(tyre, Terms(use=use, market=market, on=in_force_on))
    fits = tuple(
        Fits(variant, axle, built, standing, round_.judge(places.spot(variant, axle, built)))
        for variant in page
        for axle in AXLES
        for built, standing in places.periods(variant, axle)
    )
    return CarsPage(fits, page[-1].code if more else None)
