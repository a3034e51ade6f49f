"""The demo's van: out for a meeting, loaded, a pair sold there; and a transfer half arrived."""

from __future__ import annotations

from datetime import datetime, timedelta

from django.contrib.auth.models import User
from django.db import transaction
from django.db.models import F
from django.utils import timezone

from inventory.activities import ordering, outings, picking, transferring
from inventory.activities.despatching import about, despatch, give_word, leaving
from inventory.activities.ordering import AskPieces
from inventory.activities.transferring import Load
from inventory.models.balance import Balance
from inventory.models.customer import Customer
from inventory.models.lot import Condition, Owner
from inventory.models.outing import Outing
from inventory.models.pick import Confirmed
from inventory.models.place import Place, PlaceKind, Site
from inventory.models.sku import SkuKind

MEETING = "Wexcombe Vale autumn sprint"


def meetings(*, at: datetime) -> str:
    """Send a van out and a transfer off, once; what was done, in words."""
    if Outing.objects.exists():
        return "there already"
    by = User.objects.get(username="warehouse")
    free = _free()
    if len(free) < 4:
        return "nothing to load"
    with transaction.atomic():
        _half_arrived(free[:2], by, at)
        outing = _loaded(free[2:4], by, at)
        _sold(outing, free[2], by, at)
    return "one van out, a pair sold from it; a transfer half arrived"


def _free() -> list[Balance]:
    """Racks at home with four tyres or more of a lot of the house that nobody is promised."""
    rows = Balance.objects.filter(
        on_hand__gte=F("held") + 4,
        place__site__code="FEN",
        place__kind=PlaceKind.STORAGE,
        lot__owner=Owner.HOUSE,
        lot__condition=Condition.NEW,
        lot__sku__kind=SkuKind.TYRE,
        lot__blocks__isnull=True,
    )
    return list(rows.select_related("lot__sku", "place__site").order_by("-on_hand", "pk")[:4])


def _half_arrived(lies: list[Balance], by: User, at: datetime) -> None:
    """Two lots sent to the store, of one of which three of four are booked in."""
    store = Site.objects.get(code="STA")
    loads = [Load(row.lot, row.place, 4) for row in lies]
    home = lies[0].place.site
    sent = transferring.send_off(
        from_site=home, to_site=store, loads=loads, carrier="own lorry", by=by, at=at
    )
    place = Place.objects.filter(site=store, kind=PlaceKind.GOODS_IN).order_by("walk")[0]
    code = lies[0].lot.code
    transferring.scan_arrival(transfer=sent, scanned=code, place=place, quantity=3, by=by, at=at)


def _loaded(lies: list[Balance], by: User, at: datetime) -> Outing:
    van, home = Site.objects.get(code="VAN"), lies[0].place.site
    day = timezone.localdate(at) + timedelta(days=1)
    outing = outings.open_outing(van=van, home=home, meeting=MEETING, day=day, by=by, at=at)
    for row, code in zip(lies, ("VAN-1", "VAN-4"), strict=True):
        into = Place.objects.get(site=van, code=code)
        load = [Load(row.lot, row.place, 4)]
        outings.load(outing=outing, loads=load, into=into, by=by, at=at)
    return outing


def _sold(outing: Outing, row: Balance, by: User, at: datetime) -> None:
    """A pair, ordered, picked in the van and handed over."""
    owner = User.objects.get(username="owner")
    customer = Customer.objects.order_by("-pk")[0]
    ask = AskPieces(sku=row.lot.sku, quantity=2, site_id=outing.van_id)
    order = ordering.take_order(
        customer=customer, asks=[ask], reference=outing.number, by=owner, at=at
    )
    gather = Place.objects.get(site=outing.van, kind=PlaceKind.DESPATCH)
    listed = picking.make_list(order=order, to_place=gather, by=by, at=at)
    for line in picking.standing(listed).to_pick:
        picking.pick(pick_list=listed, line=line, confirmed=Confirmed.SCAN, by=by, at=at)
    listed = picking.pack(pick_list=listed, parcels=1, by=by, at=at)
    if about(leaving(listed, at=at)):
        give_word(pick_list=listed, why="he was told at the meeting", by=owner, at=at)
    despatch(pick_list=listed, carrier="taken away", by=by, at=at)
