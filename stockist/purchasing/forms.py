"""What is said of an order to a supplier."""

from __future__ import annotations

from typing import Any

from django import forms

from inventory.ground.fields import one_line
from inventory.ground.idempotency import KeyedForm
from inventory.models.place import Site, SiteKind
from inventory.models.purchase import PurchaseOrder, PurchaseState
from inventory.models.supplier import Supplier
from inventory.models.supplier_terms import ProductionBatch
from stockist.goods_in.fields import SkuField

OPEN = "open"


class OrdersForm(forms.Form):
    """Which orders are listed."""

    state = forms.ChoiceField(
        label="Where it stands",
        choices=(("", "any"), (OPEN, "waited for"), *PurchaseState.choices),
        required=False,
    )
    supplier = forms.ModelChoiceField(
        label="Supplier", queryset=Supplier.objects.order_by("name"), required=False,
        empty_label="any",
    )  # fmt: skip

    def orders(self) -> Any:
        """The orders asked for."""
        rows = PurchaseOrder.objects.with_names()
        said = self.cleaned_data if self.is_valid() else {}
        if said.get("state") == OPEN:
            rows = rows.open()
        elif said.get("state"):
            rows = rows.filter(state=said["state"])
        return rows.filter(supplier=said["supplier"]) if said.get("supplier") else rows


class DraftForm(KeyedForm):
    """To whom, for which site, into which batch."""

    supplier = forms.ModelChoiceField(label="Supplier", queryset=Supplier.objects.order_by("name"))
    deliver_to = forms.ModelChoiceField(
        label="Deliver to", queryset=Site.objects.filter(kind=SiteKind.FIXED).order_by("code")
    )
    batch = forms.ModelChoiceField(
        label="Batch",
        queryset=ProductionBatch.objects.select_related("supplier").order_by("order_by", "pk"),
        required=False,
        empty_label="none",
    )
    currency = forms.CharField(label="Currency", max_length=3, initial="GBP")
    note = forms.CharField(label="Note", max_length=500, required=False, validators=[one_line])

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["batch"].label_from_instance = (  # type: ignore[attr-defined]
            lambda batch: f"{batch.supplier}: {batch}, order by {batch.order_by}"
        )
        self.fields["deliver_to"].initial = Site.objects.filter(kind=SiteKind.FIXED).first()


class Seen(KeyedForm):
    """A step of an order: ``seen`` is the version that the person looked at."""

    seen = forms.IntegerField(required=False, widget=forms.HiddenInput)


class LineForm(Seen):
    """How many of a SKU; what is left empty follows from the supplier's terms."""

    sku = SkuField(label="SKU or GTIN")
    quantity = forms.IntegerField(label="How many")
    unit_price = forms.DecimalField(
        label="Price of one, if not by the terms", min_value=0, max_digits=9, decimal_places=2,
        required=False,
    )  # fmt: skip
    expected_on = forms.DateField(
        label="Expected on, if told",
        required=False,
        widget=forms.DateInput({"type": "date"}),
    )

    def values(self) -> dict[str, Any]:
        """As the activity takes them: what was left empty is not said."""
        said = {name: one for name, one in self.cleaned_data.items() if name != "idempotency_key"}
        empty = [name for name in ("unit_price", "expected_on") if said[name] is None]
        return {name: one for name, one in said.items() if name not in empty}


class DropForm(Seen):
    """Which SKU is taken off."""

    sku = SkuField()


class SendForm(Seen):
    """With whom it was agreed, where it is not on the supplier's terms."""

    agreed = forms.CharField(
        label="Agreed with, if it is not on their terms",
        max_length=200,
        required=False,
        validators=[one_line],
    )


class EndForm(Seen):
    """Why it ends."""

    why = forms.CharField(label="Why", max_length=240, validators=[one_line])


class ExpectedForm(forms.Form):
    """What is expected, and until when."""

    sku = SkuField(label="SKU or GTIN", required=False)
    until = forms.DateField(
        label="Expected by", required=False, widget=forms.DateInput({"type": "date"})
    )
