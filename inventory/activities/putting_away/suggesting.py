"""What waits in goods in, and where each of it best goes. Reads only."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from inventory.activities.putting_away.choosing import Rack, best, why
from inventory.models.balance import Balance
from inventory.models.lot import Lot
from inventory.models.place import Place, PlaceKind, Site


@dataclass(frozen=True, slots=True)
class Suggestion:
    """A place for some tyres, and why that one."""

    place: Place
    why: str
    free: int | None


@dataclass(frozen=True, slots=True)
class Waiting:
    """So many of a lot that wait in a place, so many of them spoken for; and where they best go."""

    lot: Lot
    place: Place
    quantity: int
    held: int
    suggestion: Suggestion | None


def waiting(site: Site) -> list[Waiting]:
    """What waits to be put away at a site, in walking order. Three queries.

    Each is told a place as if those before it were put away already.
    """
    rows = (
        Balance.objects.filter(place__site=site, place__kind=PlaceKind.GOODS_IN, on_hand__gt=0)
        .select_related("lot__sku", "place")
        .order_by("place__walk", "place__code", "lot__sku__code", "lot__week_index", "pk")
    )
    shelf = _Shelf(site)
    return [
        Waiting(row.lot, row.place, row.on_hand, row.held, shelf.place_for(row.lot, row.on_hand))
        for row in rows
    ]


def best_places(wanted: Iterable[tuple[Lot, int]], *, site: Site) -> list[Suggestion | None]:
    """Where so many of each lot best go at a site, each as if those before it were there already.

    Two queries, however many are asked about.
    """
    shelf = _Shelf(site)
    return [shelf.place_for(lot, quantity) for lot, quantity in wanted]


def suggested(lot: Lot, *, quantity: int, site: Site) -> Suggestion | None:
    """Where so many of a lot best go at a site; None where there is no room at all."""
    return _Shelf(site).place_for(lot, quantity)


class _Shelf:
    """The storage places of a site, filled in thought by what is suggested."""

    def __init__(self, site: Site) -> None:
        places = Place.objects.filter(site=site, kind=PlaceKind.STORAGE).order_by("walk", "code")
        self.places = {place.pk: place for place in places}
        self.there: Counter[int] = Counter()
        self.alike: Counter[tuple[int, int]] = Counter()
        self.same_week: Counter[tuple[int, int, int | None]] = Counter()
        rows = Balance.objects.filter(place__in=self.places, on_hand__gt=0).order_by("pk")
        told = rows.values_list("place_id", "on_hand", "lot__sku_id", "lot__week_index")
        for place_id, on_hand, sku_id, week in told:
            self._put(place_id, on_hand, sku_id, week)

    def place_for(self, lot: Lot, quantity: int) -> Suggestion | None:
        """The best place, which counts as filled from now on."""
        rack = best(self._racks(lot), quantity)
        if rack is None:
            return None
        self._put(rack.place, quantity, lot.sku_id, lot.week_index)
        return Suggestion(self.places[rack.place], why(rack), rack.free)

    def _racks(self, lot: Lot) -> Iterable[Rack]:
        for place in self.places.values():
            yield Rack(
                place=place.pk,
                code=place.code,
                walk=place.walk,
                room=place.room,
                there=self.there[place.pk],
                alike=self.alike[place.pk, lot.sku_id],
                same_week=self._of_week(place, lot),
            )

    def _of_week(self, place: Place, lot: Lot) -> int:
        """Tyres without a week are of no week that others could be of."""
        if lot.week_index is None:
            return 0
        return self.same_week[place.pk, lot.sku_id, lot.week_index]

    def _put(self, place_id: int, quantity: int, sku_id: int, week: int | None) -> None:
        self.there[place_id] += quantity
        self.alike[place_id, sku_id] += quantity
        self.same_week[place_id, sku_id, week] += quantity
