"""What may be done about a lot that grows old, made ready for a person to say yes to."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any
from urllib.parse import quote, urlencode

from django.db.models import F, Sum
from django.urls import reverse

from inventory.availability.charging import Charge, Piece, Terms, charged
from inventory.markings.datecode.age import age_between
from inventory.models.alert import AgeingAlert
from inventory.models.balance import Balance
from inventory.models.lot import Condition, Lot, Owner
from inventory.models.place import PlaceKind, Site
from inventory.models.pricing import AgeStep
from inventory.models.supplier_terms import SupplierTerms
from inventory.planning.words import said

_RACKS = (PlaceKind.STORAGE, PlaceKind.GOODS_IN)


@dataclass(frozen=True, slots=True)
class OnOffer:
    """What a tyre of the lot costs today by list and steps; ``months`` is its age, and ``tyres``
    of ``lots`` lots are as old or older: a step from there on counts for all of them."""

    months: int
    now: Charge
    lots: int
    tyres: int


@dataclass(frozen=True, slots=True)
class Away:
    """So many free tyres at a site, and the form of a transfer filled in with them."""

    site: str
    to: str
    tyres: int
    address: str


@dataclass(frozen=True, slots=True)
class ToSupplier:
    """The text that asks a supplier, and the mail with it, "" where no e-mail address is known."""

    supplier: str
    text: str
    mail: str


def on_offer(lot: Lot, on: date) -> OnOffer | None:
    """What its price is made of; None where its age is not known."""
    if lot.last_day is None:
        return None
    steps = tuple(AgeStep.objects.order_by("from_months").values_list("from_months", "percent_off"))
    piece = Piece(lot.sku.code, 1, lot.sku.price, lot.sku.currency, lot.last_day)
    rows = Balance.objects.filter(
        on_hand__gt=0, lot__last_day__lte=lot.last_day, lot__owner=Owner.HOUSE,
        lot__condition=Condition.NEW,
    )  # fmt: skip
    tyres = rows.aggregate(tyres=Sum("on_hand"))["tyres"] or 0
    lots = rows.values("lot").distinct().count()
    return OnOffer(months_old(lot, on), charged([piece], Terms(steps=steps), on=on), lots, tyres)


def months_old(lot: Lot, on: date) -> int:
    """Whole months since the last day of the week that it was made in."""
    age = age_between(lot.last_day or on, on)
    return age.years * 12 + age.months


def ways_away(alert: AgeingAlert) -> list[Away]:
    """A transfer to the busier site from each other one where some are free."""
    to = Site.objects.filter(code=alert.told.get("busier", "")).first()
    if to is None:
        return []
    free = Balance.objects.filter(lot=alert.lot, on_hand__gt=F("held"), place__kind__in=_RACKS)
    rows = free.exclude(place__site=to).select_related("place__site")
    by_site: dict[Site, list[Balance]] = {}
    for row in rows.order_by("place__site__code", "place__walk", "place__code"):
        by_site.setdefault(row.place.site, []).append(row)
    return [_away(alert.lot, site, to, there) for site, there in by_site.items()]


def _away(lot: Lot, site: Site, to: Site, there: list[Balance]) -> Away:
    loads = "\n".join(f"{lot.code} {row.place.code} {row.on_hand - row.held}" for row in there)
    filled = {"from_site": site.pk, "to_site": to.pk, "loads": loads}
    tyres = sum(row.on_hand - row.held for row in there)
    return Away(site.code, to.code, tyres, f"{reverse('goods_in:send-off')}?{urlencode(filled)}")


def to_suppliers(alert: AgeingAlert, shop: str) -> list[ToSupplier]:
    """A text for each supplier that has terms for the SKU."""
    terms = SupplierTerms.objects.filter(sku=alert.lot.sku_id).select_related("supplier")
    text = _letter(alert, shop)
    subject = f"{alert.pieces} × {alert.lot.sku.code}: would you take them back?"
    found = []
    for supplier in dict.fromkeys(one.supplier for one in terms.order_by("supplier__name", "pk")):
        mail = ""
        if supplier.email:
            address = quote(supplier.email, safe="@")
            mail = (
                f"mailto:{address}?{urlencode({'subject': subject, 'body': text}, quote_via=quote)}"
            )
        found.append(ToSupplier(supplier.name, text, mail))
    return found


def _letter(alert: AgeingAlert, shop: str) -> str:
    lot: Any = alert.lot
    came = f", received on {said(lot.received_on)}"
    if lot.delivery:
        came += f" by delivery {lot.delivery}"
    return (
        f"We hold {alert.pieces} unused tyres {lot.sku.code}, {lot.sku.size}, date code"
        f" {lot.date_code}{came}. We do not expect to sell all of them before"
        f" {said(alert.crosses_on)}. Would you take some or all of them back, against credit or in"
        f" exchange for tyres of a later date? Please tell us by when and on what terms."
        f"\n\n{shop}"
    )
