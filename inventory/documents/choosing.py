"""Which labels are printed: of lots by where they lie, and of places."""

from __future__ import annotations

from collections.abc import Sequence

from django.db.models import QuerySet

from inventory.documents.labels import lot_label, place_label
from inventory.documents.values import Label
from inventory.ground.refusal import Refusal
from inventory.models.balance import Balance
from inventory.models.lot import Lot
from inventory.models.place import Place

MOST = 500


class TooManyLabels(Refusal):
    """More labels than anybody means to print at once."""

    status = 400

    def __init__(self, count: int) -> None:
        super().__init__(
            f"{count} labels at once: {MOST} are the most. Choose fewer lots, or one label a lot.",
            field="each",
        )


class NoLabels(Refusal):
    """Nothing was chosen, or nothing of it lies anywhere."""

    status = 400
    sentence = "There is nothing to print: name lots that are in stock, or places."


def lot_labels(lots: QuerySet[Lot], *, a_tyre: bool) -> list[Label]:
    """The labels of lots, in walking order: one for each tyre, or one for each place it lies in.

    A lot that lies nowhere has one label, without a place. Raises TooManyLabels, NoLabels.
    """
    found = list(lots.select_related("sku__maker", "sku__pattern").prefetch_related("sku__gtins"))
    rows = Balance.objects.filter(lot__in=found, on_hand__gt=0).select_related("place__site")
    lies: dict[int, list[Balance]] = {}
    for row in rows.order_by("place__site__code", "place__walk", "place__code", "lot_id"):
        lies.setdefault(row.lot_id, []).append(row)
    count = sum(
        sum(row.on_hand for row in lies.get(lot.pk, [])) or 1 if a_tyre else 1 for lot in found
    )
    _look_at(count)
    return [label for lot in found for label in _of(lot, lies.get(lot.pk, []), a_tyre)]


def place_labels(places: QuerySet[Place]) -> list[Label]:
    """The labels of places in walking order. Raises TooManyLabels, NoLabels."""
    found: Sequence[Place] = list(places.select_related("site")[: MOST + 1])
    _look_at(len(found))
    return [place_label(place) for place in found]


def _of(lot: Lot, lies: list[Balance], a_tyre: bool) -> list[Label]:
    number = min((gtin.number for gtin in lot.sku.gtins.all()), default="")
    if not lies:
        return [lot_label(lot, number=number)]
    return [
        lot_label(lot, row.place, number)
        for row in lies
        for _ in range(row.on_hand if a_tyre else 1)
    ]


def _look_at(count: int) -> None:
    if count > MOST:
        raise TooManyLabels(count)
    if not count:
        raise NoLabels
