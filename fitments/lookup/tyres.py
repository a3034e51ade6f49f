"""SKUs as the rules see them."""

from __future__ import annotations

from functools import cache, lru_cache

from django.db.models import Prefetch

from fitments.rules.values import (
    Compound,
    Hand,
    Shoulder,
    Sidewall,
    Status,
    Tread,
    TubeType,
    TypeApproval,
    Tyre,
    TyreUse,
    Weather,
)
from inventory.markings import Size, UnreadableMarking, read_size
from inventory.models.sku import Sku, SkuQuerySet
from inventory.models.sku import TypeApproval as TypeApprovalRow

NUMBERS = "fetched_type_approvals"
# Hundreds of tyres are made for one answer, and an enumeration looks its members up slowly.
_tread, _shoulder, _use, _weather = cache(Tread), cache(Shoulder), cache(TyreUse), cache(Weather)
_hand, _tube, _sidewall, _status = cache(Hand), cache(TubeType), cache(Sidewall), cache(Status)


@lru_cache(maxsize=20_000)
def size_read(text: str) -> Size | None:
    """A stored size, read once in the life of the process; None for one that cannot be read."""
    try:
        return read_size(text)
    except UnreadableMarking:
        return None


def with_all(skus: SkuQuerySet) -> SkuQuerySet:
    """The queryset with all that ``tyre_of`` looks at: two queries, whatever its length."""
    numbers = Prefetch("type_approvals", to_attr=NUMBERS)
    return skus.with_names().prefetch_related(numbers)


def loaded(sku: Sku) -> Sku:
    """The SKU itself where ``with_all`` loaded it, else the same loaded so."""
    return sku if NUMBERS in vars(sku) else with_all(Sku.objects.filter(pk=sku.pk)).get()


def _type_approvals(sku: Sku) -> tuple[TypeApproval, ...]:
    fetched: list[TypeApprovalRow] | None = vars(sku).get(NUMBERS)
    rows = sku.type_approvals.all() if fetched is None else fetched
    return tuple(TypeApproval(scheme=one.scheme, number=one.number) for one in rows)


def _compound(sku: Sku) -> Compound | None:
    if sku.compound is None:
        return None
    return Compound(
        code=sku.compound.code,
        key=sku.compound_id,
        axle_only=sku.compound.axle_only,
        temperature_from_c=sku.compound.temperature_from_c,
        temperature_to_c=sku.compound.temperature_to_c,
    )


def _of_pattern(sku: Sku) -> dict[str, object]:
    pattern = sku.pattern
    if pattern is None:
        return {}
    return {
        "pattern": pattern.name,
        "pattern_key": pattern.pk,
        "introduced": pattern.introduced,
        "withdrawn": pattern.withdrawn,
        "remade_since": pattern.remade_since,
        "tread": _tread(pattern.tread),
        "shoulder": _shoulder(pattern.shoulder),
        "use": _use(pattern.use),
        "weather": _weather(pattern.weather),
    }


def tyre_of(sku: Sku) -> Tyre:
    """The tyre that a SKU is. Needs a SKU loaded by ``with_all``, else it queries row by row."""
    return Tyre(
        code=sku.code,
        size=size_read(sku.size),
        size_keys=frozenset(sku.size_keys),
        maker=sku.maker.name,
        compound=_compound(sku),
        axle_only=sku.axle_only,
        hand=_hand(sku.hand),
        ply=sku.ply,
        tube=_tube(sku.tube),
        mark=sku.mark,
        mark_issue=sku.mark_issue,
        sidewall=_sidewall(sku.sidewall),
        band_mm=sku.band_mm,
        rim_mm=sku.rim_mm,
        bead=sku.bead,
        rim_width_min_in=sku.rim_width_min_in,
        rim_width_max_in=sku.rim_width_max_in,
        overall_mm=sku.stated_overall_mm,
        load_index=sku.load_index,
        load_index_dual=sku.load_index_dual,
        speed=sku.speed,
        load_kg=sku.max_load_kg,
        load_pressure_kpa=sku.load_pressure_kpa,
        top_speed_kmh=sku.maker_top_speed_kmh,
        type_approvals=_type_approvals(sku),
        status=_status(sku.status),
        **_of_pattern(sku),  # type: ignore[arg-type]
    )
