"""Cars and tyres with all that the rules look at of them, by statements that are planned once."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Any

from django.db.models import QuerySet

from fitments.lookup.spots import FETCHED, ROWS
from fitments.lookup.tyres import NUMBERS
from fitments.models.car import Variant
from inventory.ground.planned import Planned
from inventory.ground.together import Asked
from inventory.models.sku import Sku, TypeApproval


def _of_variants(rows: QuerySet[Any]) -> Callable[[list[int]], list[Any]]:
    """The rows of some variants; an order goes before only inside one variant."""
    return Planned(lambda variants: rows.filter(variant__in=variants), [int])


def with_line(variants: QuerySet[Variant]) -> QuerySet[Variant]:
    """Variants with all that their names are made of."""
    return variants.select_related("vehicle_line__maker")


_PLACES = {name: _of_variants(rows) for name, rows in ROWS.items()}
_variant = Planned(lambda code: with_line(Variant.objects.filter(code=code)).order_by("pk"), str)
_tyre = Planned(
    lambda code: Sku.objects.tyres().with_names().filter(code__iexact=code).order_by("pk"), str
)
_tyres = Planned(
    lambda keys: Sku.objects.tyres().of_size(keys).with_names().order_by("code"), [str]
)


def _approvals(**of: Any) -> QuerySet[Any, Any]:
    rows = TypeApproval.objects.filter(**of).order_by("scheme", "number")
    return rows.values_list("sku_id", "scheme", "number", named=True)


_numbers: Planned[Any] = Planned(lambda skus: _approvals(sku__in=skus), [int])
_numbers_of_size: Planned[Any] = Planned(
    lambda keys: _approvals(sku__in=Sku.objects.tyres().of_size(keys).values("pk")), [str]
)


def variant_called(code: str) -> Variant | None:
    """The variant of a code as ``with_places`` loads it: four queries."""
    return next(iter(fetch_places(_variant(code))), None)


def tyre_called(code: str) -> Sku | None:
    """The tyre of a code, in any case, as ``with_all`` loads it: two queries."""
    return next(iter(fetch_numbers(_tyre(code))), None)


def tyres_of_size(keys: Sequence[str]) -> Asked[list[Sku]]:
    """The tyres of some sizes by their search keys, in the order of their codes, names joined."""
    return _tyres.asked(list(keys))


def numbers_of_size(keys: Sequence[str]) -> Asked[list[Any]]:
    """The type approvals of the same tyres."""
    return _numbers_of_size.asked(list(keys))


def fetch_places(variants: list[Variant]) -> list[Variant]:
    """The same variants with wheels, sizes and pressures: three queries for any number."""
    if variants:
        for name, rows in _PLACES.items():
            _hang(variants, f"{FETCHED}{name}", rows([one.pk for one in variants]), "variant")
    return variants


def fetch_numbers(skus: list[Sku]) -> list[Sku]:
    """The same SKUs with their type approvals: one query for any number."""
    return with_numbers(skus, _numbers([one.pk for one in skus]) if skus else ())


def with_numbers(skus: list[Sku], rows: Iterable[Any]) -> list[Sku]:
    """The same SKUs, each with those of the type approvals that are its own."""
    lists: dict[int, list[Any]] = {one.pk: [] for one in skus}
    for row in rows:
        lists[row.sku_id].append(row)
    for one in skus:
        vars(one)[NUMBERS] = lists[one.pk]
    return skus


def _hang(owners: Sequence[Any], name: str, rows: Sequence[Any], key: str) -> None:
    """Rows as a list of each of their owners, as a prefetch leaves them."""
    lists: dict[int, list[Any]] = {}
    by_key: dict[int, Any] = {}
    for owner in owners:
        vars(owner)[name] = lists.setdefault(owner.pk, [])
        by_key[owner.pk] = owner
    for row in rows:
        number = getattr(row, f"{key}_id")
        row._state.fields_cache[key] = by_key[number]
        lists[number].append(row)
