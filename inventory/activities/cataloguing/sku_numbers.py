"""The numbers that belong to SKUs: article numbers (GTIN) and type approvals, in bulk."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from typing import Any

from inventory.ground.entries.register import Entry
from inventory.markings.identifiers import normalise_gtin
from inventory.models.sku import Gtin, Sku, TypeApproval

_BATCH = 1000


def write_gtins(entries: Sequence[Entry[Sku]]) -> None:
    """Give each SKU exactly the article numbers that were given with it, where any were."""
    told = [entry for entry in entries if "gtins" in entry.given]
    wanted = {
        entry.row.pk: {normalise_gtin(number) for number in entry.given["gtins"]} for entry in told
    }
    links = Gtin.skus.through._default_manager.filter(sku_id__in=wanted)
    held: dict[int, set[str]] = defaultdict(set)
    for sku_id, number in links.values_list("sku_id", "gtin__number"):
        held[sku_id].add(number)
    changed = _mark_changed(told, wanted, held)
    for sku_id in changed:
        surplus = held[sku_id] - wanted[sku_id]
        if surplus:
            links.filter(sku_id=sku_id, gtin__number__in=surplus).delete()
    _link({pk: wanted[pk] - held[pk] for pk in changed})


def write_type_approvals(entries: Sequence[Entry[Sku]]) -> None:
    """Give each SKU exactly the type approvals that were given with it, where any were."""
    told = [entry for entry in entries if "type_approvals" in entry.given]
    wanted = {entry.row.pk: set(entry.given["type_approvals"]) for entry in told}
    rows = TypeApproval.objects.filter(sku_id__in=wanted)
    held: dict[int, set[tuple[str, str]]] = defaultdict(set)
    for sku_id, scheme, number in rows.values_list("sku_id", "scheme", "number"):
        held[sku_id].add((scheme, number))
    fresh = []
    for sku_id in _mark_changed(told, wanted, held):
        for scheme, number in held[sku_id] - wanted[sku_id]:
            rows.filter(sku_id=sku_id, scheme=scheme, number=number).delete()
        fresh += [
            TypeApproval(sku_id=sku_id, scheme=scheme, number=number)
            for scheme, number in sorted(wanted[sku_id] - held[sku_id])
        ]
    TypeApproval.objects.bulk_create(fresh, batch_size=_BATCH)


def _mark_changed(
    told: Sequence[Entry[Sku]], wanted: dict[int, set[Any]], held: dict[int, set[Any]]
) -> list[int]:
    """The SKUs whose numbers differ from what is wanted; their entries are marked."""
    changed = [entry for entry in told if wanted[entry.row.pk] != held[entry.row.pk]]
    for entry in changed:
        entry.parts_changed = True
    return [entry.row.pk for entry in changed]


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
