"""A sale at the meeting: ordered and held from the van, and on a pick list of the van at once."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_POST

from inventory.activities import ordering, picking
from inventory.activities.holding import parts
from inventory.activities.ordering import AskPieces
from inventory.ground.refusal import Refusal
from inventory.ledger.moves import some
from inventory.models.balance import Balance
from inventory.models.lot import Lot
from inventory.models.outing import Outing
from inventory.models.place import Place, PlaceKind, Site
from inventory.models.sale import Order
from stockist.goods_in.scans import lot_named, not_wanted, skus_named
from stockist.selling.whom import SayWho, customer_meant
from stockist.steps import by, doing, told
from stockist.vans.forms import SellForm
from stockist.vans.outing import SELL, of_number, page


class NotRead(Refusal):
    """A scan that names no tyre, or several."""

    status = 400

    def __init__(self, text: str, codes: str = "") -> None:
        several = f"“{text}” stands for several: say which, {codes}."
        words = several if codes else not_wanted(text, "the label of a tyre in the van")
        super().__init__(f"{words} Nothing was changed.", field="scanned")


class NotInTheVan(Refusal):
    """Fewer of a lot are free in the van than were asked for."""

    def __init__(self, lot: Lot, van: Site, free: int, asked: int) -> None:
        super().__init__(
            f"{free} of lot {lot.code} are free in {van}, and {asked} were asked for. Nothing was "
            "changed.",
            field="quantity",
        )


@doing(SELL)
@require_POST
def sell(request: HttpRequest, number: int) -> HttpResponse:
    """Take an order of what is in the van, and lead on to handing it over."""
    found, form = of_number(number), SellForm(request.POST)
    if not form.is_valid():
        return page(request, found, status=400, bound={"sell": form})
    try:
        order = _ordered(request, found, form.cleaned_data)
    except Refusal as refusal:
        if isinstance(refusal, SayWho) and refusal.among:
            form.let_choose(refusal.among)
        told(form, refusal)
        return page(request, found, status=refusal.status, bound={"sell": form})
    gather = Place.objects.filter(site=found.van, kind=PlaceKind.DESPATCH).order_by("walk").first()
    if gather is None or not request.user.has_perm("inventory.add_picklist"):
        messages.success(request, f"✓ {order.number} is held in {found.van}: have it picked there.")
        return redirect("selling:order", order.pk)
    listed = picking.make_list(order=order, to_place=gather, by=by(request), at=timezone.now())
    messages.success(request, f"✓ {order.number} is held in {found.van}: hand it over.")
    return redirect("picks:list", listed.pk)


def _ordered(request: HttpRequest, found: Outing, said: dict[str, Any]) -> Order:
    at = timezone.now()
    ask = _ask(found.van, said["scanned"], said["quantity"])
    customer = customer_meant(said, by=by(request), at=at)
    return ordering.take_order(
        customer=customer, asks=[ask], reference=found.number, by=by(request), at=at
    )


def _ask(van: Site, text: str, quantity: int) -> AskPieces:
    """So many of what was scanned: of the very lot where its label was read."""
    some(quantity)
    lot = lot_named(text)
    if lot is not None:
        shown = _parts(van, lot, quantity)
        return AskPieces(sku=lot.sku, quantity=quantity, shown=shown, site_id=van.pk)
    skus = skus_named(text)
    if len(skus) != 1:
        raise NotRead(text, " or ".join(sku.code for sku in skus[:4]))
    return AskPieces(sku=skus[0], quantity=quantity, site_id=van.pk)


def _parts(van: Site, lot: Lot, quantity: int) -> list[parts.Part]:
    """So many of a lot where it lies free in the van. Raises NotInTheVan."""
    rows = Balance.objects.filter(lot=lot, place__site=van, place__kind=PlaceKind.STORAGE)
    left, found = quantity, list[parts.Part]()
    for row in rows.order_by("place__walk", "pk"):
        taken = min(left, row.on_hand - row.held)
        if taken > 0:
            found.append(parts.Part("", lot.pk, row.place_id, taken))
            left -= taken
    if left:
        raise NotInTheVan(lot, van, quantity - left, quantity)
    return found
