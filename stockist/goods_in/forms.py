"""What is said of a delivery and of its tyres."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms

from inventory.activities.receiving import Agreed
from inventory.ground.fields import one_line
from inventory.ground.idempotency import KeyedForm
from inventory.models.delivery import Delivery, DeliveryLine, Found
from inventory.models.place import Place, PlaceKind
from inventory.models.purchase import PurchaseOrder
from inventory.models.sku import Hand, Sku
from inventory.models.supplier import Supplier
from stockist.goods_in.fields import PLAIN, ScanField

# A mark that no keyboard has (a wave, a dot) is still read; this says that it is the wanted one.
AS_WANTED = "="
NO_MARK = ("none", "no mark", "-")


class OpenForm(KeyedForm):
    """A delivery that has come: against an order, or from a supplier without one."""

    order = forms.ModelChoiceField(
        label="Order", queryset=PurchaseOrder.objects.none(), required=False, empty_label="none"
    )
    supplier = forms.ModelChoiceField(
        label="Supplier, if there is no order",
        queryset=Supplier.objects.order_by("name"),
        required=False,
    )
    note_number = forms.CharField(
        label="Number of the delivery note", max_length=40, validators=[one_line]
    )
    arrived_on = forms.DateField(label="Arrived on", widget=forms.DateInput({"type": "date"}))
    place = forms.ModelChoiceField(label="Unloaded into", queryset=Place.objects.none())

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["note_number"].widget.attrs |= PLAIN
        self.fields["arrived_on"].initial = today
        orders = PurchaseOrder.objects.open().select_related("supplier").order_by("pk")
        self.fields["order"].queryset = orders  # type: ignore[attr-defined]
        self.fields["order"].label_from_instance = (  # type: ignore[attr-defined]
            lambda order: f"{order.number}, {order.supplier}"
        )
        places = Place.objects.filter(kind=PlaceKind.GOODS_IN).select_related("site")
        self.fields["place"].queryset = places  # type: ignore[attr-defined]
        self.fields["place"].initial = places.first()

    def clean(self) -> dict[str, Any]:
        said: dict[str, Any] = super().clean() or self.cleaned_data
        order, supplier = said.get("order"), said.get("supplier")
        if order is None and supplier is None and "order" not in self.errors:
            self.add_error("order", "Name the order, or the supplier if there is none.")
        elif order is not None:
            said["supplier"] = order.supplier
        return said


class SkuForm(forms.Form):
    """The first scan of a line: which SKU."""

    sku = ScanField(label="SKU or GTIN")


class LineForm(KeyedForm):
    """What was read on a tyre, or on a run of tyres that read alike."""

    date_code = forms.CharField(
        label="Date code, or the whole number", max_length=40, required=False
    )
    mark = forms.CharField(
        label="Approval mark and its issue, or none",
        max_length=45,
        required=False,
        help_text="As it is read, such as HLM 2; = for a sign that is the one wanted",
    )
    quantity = forms.IntegerField(label="How many alike", min_value=1, max_value=1000, initial=1)
    found = forms.ChoiceField(label="It is", choices=Found.choices, required=False)
    side = forms.ChoiceField(label="Side", choices=Hand.choices, required=False)
    country = forms.CharField(label="Made in", max_length=60, required=False)
    pattern_issue = forms.CharField(label="Pattern issue", max_length=20, required=False)
    size_read = forms.CharField(
        label="Size and service, if they read otherwise", max_length=120, required=False
    )

    FIRST = ("date_code", "mark", "quantity")
    REST = ("found", "side", "country", "pattern_issue", "size_read")

    def __init__(self, *args: Any, sku: Sku, agreed: Agreed, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.sku = sku
        terms = {"country": agreed.country, "pattern_issue": agreed.pattern_issue}
        self.agreed = {name: told for name, told in terms.items() if told}
        for name in ("date_code", "mark", "country", "pattern_issue", "size_read"):
            self.fields[name].widget.attrs |= PLAIN
            self.fields[name].validators.append(one_line)
        # Where the scanner's Enter leads to: every tyre is read for its date, and for its mark.
        for name in ("date_code", *(("mark",) if sku.mark else ()), *self.agreed):
            self.fields[name].widget.attrs["data-wanted"] = True
        for name, told in self.agreed.items():
            self.fields[name].help_text = f"{told} is agreed"
        if not sku.hand:
            del self.fields["side"]

    @property
    def first(self) -> list[forms.BoundField]:
        """What is read on every tyre; country and pattern issue where they are agreed."""
        return [self[name] for name in (*self.FIRST, *self.agreed)]

    @property
    def rest(self) -> list[forms.BoundField]:
        """What is told once, or only where it is amiss."""
        shown = [name for name in self.REST if name in self.fields and name not in self.agreed]
        return [self[name] for name in shown]

    def values(self) -> dict[str, Any]:
        """As the activity takes them. The word "none" says that there is no mark."""
        said = {**self.cleaned_data}
        said.pop("idempotency_key")
        if not said["mark"]:
            return {**said, "mark": None}
        mark, issue = mark_and_issue(said["mark"], self.sku)
        return {**said, "mark": mark, "mark_issue": issue}


def mark_and_issue(text: str, sku: Sku) -> tuple[str, str]:
    """A mark and its issue, typed or scanned in one: `HLM 2`, `HLM issue 2`; none: both empty.

    `=` is the one that is wanted, for marks that are signs. What begins with the mark that is
    wanted is that mark; of another, a last group of figures is its issue.
    """
    plain = " ".join(text.split())
    if plain == AS_WANTED:
        return sku.mark, sku.mark_issue
    if plain.casefold() in NO_MARK:
        return "", ""
    mark, rest = sku.mark, ""
    if sku.mark and plain.casefold().startswith(sku.mark.casefold()):
        rest = plain[len(sku.mark) :].strip()
    else:
        mark, _, rest = plain.rpartition(" ")
        if not mark or not rest.isdecimal():
            mark, rest = plain, ""
    for word in ("issue", "iss."):
        if rest.casefold().startswith(word):
            rest = rest[len(word) :].strip()
        mark = mark.removesuffix(f" {word}")
    return mark, rest


def as_before(line: DeliveryLine | None) -> dict[str, str]:
    """What is likely to be the same on the next tyre of the same SKU."""
    if line is None:
        return {}
    return {"country": line.country, "pattern_issue": line.pattern_issue}


class NoteForm(KeyedForm):
    """How many of a SKU the delivery note says."""

    sku = forms.ModelChoiceField(queryset=Sku.objects.all(), widget=forms.HiddenInput)
    quantity = forms.IntegerField(label="The note says", min_value=0, max_value=100_000)


class GiveUpForm(KeyedForm):
    """Why a booking is given up."""

    why = forms.CharField(label="Why", max_length=240, validators=[one_line])


class FinishForm(KeyedForm):
    """The end of a booking: ``seen`` is the version of the order that was looked at."""

    seen = forms.IntegerField(required=False, widget=forms.HiddenInput)


class DeliveriesForm(forms.Form):
    """Which deliveries are listed."""

    state = forms.ChoiceField(
        label="Where it stands", required=False, choices=(("", "any"), *(
            (value, label) for value, label in Delivery._meta.get_field("state").flatchoices
        )),
    )  # fmt: skip
    supplier = forms.ModelChoiceField(
        label="Supplier", queryset=Supplier.objects.order_by("name"), required=False,
        empty_label="any",
    )  # fmt: skip
