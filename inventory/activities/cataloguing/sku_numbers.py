"""The numbers that belong to SKUs: article numbers (GTIN) and type approvals, in bulk."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from typing import Any

from inventory.ground.entries.parts import Part
from inventory.ground.entries.register import Entry
from inventory.markings.identifiers import normalise_gtin
from inventory.models.sku import Gtin, Sku, TypeApproval

_BATCH = 1000

Wanted = dict[int, set[Any]]  # values by SKU
Held = Mapping[int, dict[Any, int]]  # the rows of the values that there are, by SKU


def _gtins(entry: Entry[Sku]) -> set[str]:
    return {normalise_gtin(number) for number in entry.given["gtins"]}


def _type_approvals(entry: Entry[Sku]) -> set[tuple[str, str]]:
    return set(entry.given["type_approvals"])


def _held_gtins(skus: Collection[int]) -> Held:
    held: defaultdict[int, dict[Any, int]] = defaultdict(dict)
    links = Gtin.skus.through._default_manager.filter(sku_id__in=skus)
    for sku_id, number, pk in links.values_list("sku_id", "gtin__number", "pk"):
        held[sku_id][number] = pk
    return held


def _held_type_approvals(skus: Collection[int]) -> Held:
    held: defaultdict[int, dict[Any, int]] = defaultdict(dict)
    for row in TypeApproval.objects.filter(sku_id__in=skus):
        held[row.sku_id][row.scheme, row.number] = row.pk
    return held


def _values(held: Held) -> dict[int, set[Any]]:
    return {sku_id: set(rows) for sku_id, rows in held.items()}


NUMBERS = (
    Part("gtins", _gtins, lambda skus: _values(_held_gtins(skus))),
    Part("type_approvals", _type_approvals, lambda skus: _values(_held_type_approvals(skus))),
)


def write_gtins(entries: Sequence[Entry[Sku]]) -> None:
    """Give each SKU exactly the article numbers that were given with it, where any were."""
    wanted: Wanted = {entry.row.pk: _gtins(entry) for entry in _touched(entries, "gtins")}
    held = _held_gtins(wanted)
    Gtin.skus.through._default_manager.filter(pk__in=_surplus(wanted, held)).delete()
    _link({pk: numbers - held[pk].keys() for pk, numbers in wanted.items()})


def write_type_approvals(entries: Sequence[Entry[Sku]]) -> None:
    """Give each SKU exactly the type approvals that were given with it, where any were."""
    told = _touched(entries, "type_approvals")
    wanted: Wanted = {entry.row.pk: _type_approvals(entry) for entry in told}
    held = _held_type_approvals(wanted)
    TypeApproval.objects.filter(pk__in=_surplus(wanted, held)).delete()
    TypeApproval.objects.bulk_create(
        [
            TypeApproval(sku_id=sku_id, scheme=scheme, number=number)
            for sku_id, those in wanted.items()
            for scheme, number in sorted(those - held[sku_id].keys())
        ],
        batch_size=_BATCH,
    )


def _touched(entries: Sequence[Entry[Sku]], name: str) -> list[Entry[Sku]]:
    return [e for e in entries if name in e.given and (e.is_new or e.parts_changed)]


def _surplus(wanted: Wanted, held: Held) -> list[int]:
    """The rows that are to go."""
    return [
        pk
        for sku_id, those in wanted.items()
        for value, pk in held[sku_id].items()
        if value not in those
    ]


def _link(missing: dict[int, set[str]]) -> None:
    numbers = sorted({number for those in missing.values() for number in those})
    Gtin.objects.bulk_create(
        [Gtin(number=number) for number in numbers], batch_size=_BATCH, ignore_conflicts=True
    )
    ids = dict(Gtin.objects.filter(number__in=numbers).values_list("number", "pk"))
    through = Gtin.skus.through
    through._default_manager.bulk_create(
        [
            through(sku_id=sku_id, gtin_id=ids[number])
            for sku_id, those in missing.items()
            for number in sorted(those)
        ],
        batch_size=_BATCH,
    )
