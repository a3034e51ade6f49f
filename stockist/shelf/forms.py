"""What is looked for on the shelf."""

from __future__ import annotations

from django import forms
from django.db.models import QuerySet

from inventory.models.balance import Balance
from inventory.models.lot import Lot
from inventory.models.place import Place, PlaceKind
from stockist.goods_in.fields import ScanField, SkuField
from stockist.goods_in.scans import lot_named, not_wanted, place_named, skus_named

ORDERS = {
    "": ("lot__code", "place__site__code", "place__walk", "place__code", "pk"),
    "place": ("place__site__code", "place__walk", "place__code", "lot__code", "pk"),
    "oldest": ("lot__latest", "lot__code", "pk"),
}
ORDERED = (("", "lot"), ("place", "walking order"), ("oldest", "age, oldest first"))


def lying() -> QuerySet[Balance]:
    """What lies somewhere."""
    return Balance.objects.filter(on_hand__gt=0).select_related("lot__sku", "place__site")


class ShelfForm(forms.Form):
    """A scan leads to its lot or place; of a SKU, all that lies anywhere."""

    scan = ScanField(label="Lot, place, SKU or GTIN", required=False)
    kind = forms.ChoiceField(
        label="In", choices=(("", "any place"), *PlaceKind.choices), required=False
    )
    order = forms.ChoiceField(label="In order of", choices=ORDERED, required=False)

    def clean_scan(self) -> str:
        text: str = self.cleaned_data["scan"]
        self.named: Lot | Place | None = None
        self.skus = skus_named(text) if text else []
        if text and not self.skus:
            self.named = lot_named(text) or place_named(text)
            if self.named is None:
                raise forms.ValidationError(not_wanted(text, "the label of a lot or a place"))
        return text

    def asked(self) -> QuerySet[Balance]:
        """The balances asked for."""
        said = self.cleaned_data if self.is_valid() else {}
        rows = lying()
        if said.get("scan"):
            rows = rows.filter(lot__sku__in=[sku.pk for sku in self.skus])
        if said.get("kind"):
            rows = rows.filter(place__kind=said["kind"])
        return rows.order_by(*ORDERS[said.get("order", "")])


class InPlaceForm(forms.Form):
    """Which of what lies in a place, and in what order."""

    sku = SkuField(label="SKU or GTIN", required=False)
    order = forms.ChoiceField(
        label="In order of", choices=[one for one in ORDERED if one[0] != "place"], required=False
    )

    def asked(self, place: Place) -> QuerySet[Balance]:
        """What lies in the place."""
        said = self.cleaned_data if self.is_valid() else {}
        rows = lying().filter(place=place)
        if said.get("sku"):
            rows = rows.filter(lot__sku=said["sku"])
        return rows.order_by(*ORDERS[said.get("order", "")])
