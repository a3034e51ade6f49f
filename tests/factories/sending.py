"""Orders with tyres held for them, as they stand before the warehouse is asked to pick."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime

from inventory.activities import despatching, picking, recipes
from inventory.ledger.post import Move, post
from inventory.models.balance import Balance
from inventory.models.despatch import Despatch
from inventory.models.hold import Hold, HoldLine
from inventory.models.lot import Lot
from inventory.models.pick import PickList
from inventory.models.place import Place, PlaceKind, Site
from inventory.models.posting import PostingKind
from inventory.models.sale import Asks, Order, OrderLine
from inventory.sets.recipe import Recipe, RecipePlace
from tests.factories.catalogue import SkuFactory
from tests.factories.people import CustomerFactory, UserFactory
from tests.factories.places import PlaceFactory, SiteFactory
from tests.factories.stock import LotFactory, stock_in
from tests.factories.when import AT, EARLIER


@dataclass
class Shop:
    """One site with three racks and a place for despatch; the racks in walking order."""

    site: Site = field(default_factory=SiteFactory)
    racks: list[Place] = field(init=False)
    gather: Place = field(init=False)
    quarantine: Place = field(init=False)

    def __post_init__(self):
        self.racks = [PlaceFactory(site=self.site, walk=10 * number) for number in (1, 2, 3)]
        self.gather = PlaceFactory(site=self.site, kind=PlaceKind.DESPATCH, walk=90)
        self.quarantine = PlaceFactory(site=self.site, kind=PlaceKind.QUARANTINE, walk=95)

    def stock(self, quantity, *, sku, rack=0, **lot) -> Lot:
        """So many of a new lot in a rack."""
        made = LotFactory(sku=sku, **lot)
        stock_in(lot=made, place=self.racks[rack], on_hand=quantity)
        return made


def four_alike(*skus, **options) -> Recipe:
    """Two in front and two behind, of one SKU each."""
    ids = [sku.pk for sku in skus]
    return Recipe(
        (RecipePlace("front", (ids[0],), 2), RecipePlace("rear", (ids[-1],), 2)), **options
    )


def an_order(*, customer=None, by=None, at=EARLIER, **fields) -> Order:
    return Order.objects.create(
        customer=customer or CustomerFactory(), made_at=at, made_by=by or UserFactory(), **fields
    )


def a_line(order, *, recipe=None, sku=None, quantity=1, **fields) -> OrderLine:
    """A line that asks for sets of a recipe, or for pieces of a SKU."""
    return OrderLine.objects.create(
        order=order,
        position=order.lines.count() + 1,
        asks=Asks.SETS if recipe else Asks.PIECES,
        what=fields.pop("what", "four tyres" if recipe else f"{quantity} of {sku}"),
        sku=sku,
        recipe=recipes.kept(recipe) if recipe else None,
        quantity=quantity,
        **fields,
    )


def hold_for(line, *parts, pinned=False, by=None, at=EARLIER, **fields) -> Hold:
    """Hold these (lot, place, quantity, place on the car) for an order line, in the ledger too."""
    by = by or line.order.made_by
    hold = Hold.objects.create(
        customer=line.order.customer,
        car=line.order.car,
        what=line.what,
        recipe=line.recipe,
        order_line=line,
        made_at=at,
        made_by=by,
        **fields,
    )
    total: dict[tuple[int, int], int] = {}
    for lot, place, quantity, for_place in parts:
        HoldLine.objects.create(
            hold=hold, lot=lot, place=place, quantity=quantity, for_place=for_place, pinned=pinned
        )
        total[lot.pk, place.pk] = total.get((lot.pk, place.pk), 0) + quantity
    moves = [Move(*key, 0, quantity) for key, quantity in total.items()]
    post(kind=PostingKind.HOLD, lines=moves, by=by, at=at)
    return hold


def held_set(shop=None, *, on_hand=4, pinned=False, date_code="1425", by=None, lot=None, **order):
    """An order for one set of four, held from one lot in the first rack: shop, order, lot, hold."""
    shop = shop or Shop()
    sku = SkuFactory()
    lot = shop.stock(on_hand, sku=sku, date_code=date_code, **(lot or {}))
    made = an_order(by=by, **order)
    line = a_line(made, recipe=four_alike(sku))
    parts = [(lot, shop.racks[0], 2, "front"), (lot, shop.racks[0], 2, "rear")]
    return shop, made, lot, hold_for(line, *parts, pinned=pinned)


def held_pieces(shop=None, *, quantity=3, on_hand=5, by=None, **order):
    """An order for so many pieces, held from one lot in the first rack: shop, order, lot, hold."""
    shop = shop or Shop()
    sku = SkuFactory()
    lot = shop.stock(on_hand, sku=sku)
    made = an_order(by=by, **order)
    line = a_line(made, sku=sku, quantity=quantity)
    return shop, made, lot, hold_for(line, (lot, shop.racks[0], quantity, ""))


def packed(order, shop, by, *, parcels=1, at=AT) -> PickList:
    """A list of all that is held for an order, picked and packed."""
    listed = picking.make_list(order=order, to_place=shop.gather, by=by, at=at)
    for line in picking.standing(listed).to_pick:
        picking.pick(pick_list=listed, line=line, by=by, at=at)
    return picking.pack(pick_list=listed, parcels=parcels, by=by, at=at)


def sent(order, shop, by, *, at=AT) -> Despatch:
    """All that is held for an order, picked, packed and sent."""
    return despatching.despatch(pick_list=packed(order, shop, by, at=at), by=by, at=at)


def figures(lot: Lot, place: Place) -> tuple[int, int]:
    """In the place and held there; nought where it never was."""
    row = Balance.objects.filter(lot=lot, place=place).first()
    return (row.on_hand, row.held) if row else (0, 0)


def held_as_lines_say() -> bool:
    """Whether what every balance holds is what open holds say of it."""
    said: dict[tuple[int, int], int] = {}
    for line in HoldLine.objects.filter(hold__state="open"):
        key = (line.lot_id, line.place_id)
        said[key] = said.get(key, 0) + line.quantity
    kept = {(b.lot_id, b.place_id): b.held for b in Balance.objects.filter(held__gt=0)}
    return said == kept


def lines_of(listed: PickList) -> list:
    """The lines of a list, in walking order."""
    return list(listed.lines.select_related("lot", "place").order_by("place__walk", "pk"))


LATER = datetime.fromisoformat("2026-11-23T11:00:00+00:00")
