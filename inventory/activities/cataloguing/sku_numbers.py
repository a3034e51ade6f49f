"""The numbers that belong to SKUs: article numbers (GTIN) and type approvals, in bulk."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from typing import Any

from inventory.ground.entries.register import Entry
from inventory.markings.identifiers import normalise_gtin
from inventory.models.sku import Gtin, Sku, TypeApproval

_BATCH = 1000

Wanted = dict[int, set[Any]]  # values by SKU
Held = dict[int, dict[Any, int]]  # the rows of the values that there are, by SKU


def write_gtins(entries: Sequence[Entry[Sku]]) -> None:
    """Give each SKU exactly the article numbers that were given with it, where any were."""
    told = [entry for entry in entries if "gtins" in entry.given]
    wanted = {
        entry.row.pk: {normalise_gtin(number) for number in entry.given["gtins"]} for entry in told
    }
    links = Gtin.skus.through._default_manager
    rows = links.filter(sku_id__in=wanted).values_list("sku_id", "gtin__number", "pk")
    held: Held = defaultdict(dict)
    for sku_id, number, pk in rows:
        held[sku_id][number] = pk
    changed = _mark_changed(told, wanted, held)
    links.filter(pk__in=_surplus(changed, wanted, held)).delete()
    _link({pk: wanted[pk] - held[pk].keys() for pk in changed})


def write_type_approvals(entries: Sequence[Entry[Sku]]) -> None:
    """Give each SKU exactly the type approvals that were given with it, where any were."""
    told = [entry for entry in entries if "type_approvals" in entry.given]
    wanted = {entry.row.pk: set(entry.given["type_approvals"]) for entry in told}
    held: Held = defaultdict(dict)
    for row in TypeApproval.objects.filter(sku_id__in=wanted):
        held[row.sku_id][row.scheme, row.number] = row.pk
    changed = _mark_changed(told, wanted, held)
    TypeApproval.objects.filter(pk__in=_surplus(changed, wanted, held)).delete()
    TypeApproval.objects.bulk_create(
        [
            TypeApproval(sku_id=sku_id, scheme=scheme, number=number)
            for sku_id in changed
            for scheme, number in sorted(wanted[sku_id] - held[sku_id].keys())
        ],
        batch_size=_BATCH,
    )


def _mark_changed(told: Sequence[Entry[Sku]], wanted: Wanted, held: Held) -> list[int]:
    """The SKUs whose numbers differ from what is wanted; their entries are marked."""
    changed = [entry for entry in told if wanted[entry.row.pk] != held[entry.row.pk].keys()]
    for entry in changed:
        entry.parts_changed = True
    return [entry.row.pk for entry in changed]


def _surplus(changed: Sequence[int], wanted: Wanted, held: Held) -> list[int]:
    """The rows that are to go."""
    return [
        pk
        for sku_id in changed
        for value, pk in held[sku_id].items()
        if value not in wanted[sku_id]
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
