"""What is said of a customer, and of a car with what is on its wheels now."""

from __future__ import annotations

from typing import Any

from django import forms

from inventory.ground.fields import one_line, some_words
from inventory.ground.idempotency import KeyedForm
from inventory.models.customer import Axle, CarWheel, Customer, CustomerCar, CustomerKind
from inventory.models.pricing import PriceClass
from stockist.counter.forms import RIM_KINDS
from stockist.customers.fields import VariantField
from stockist.goods_in.fields import PLAIN, SkuField
from stockist.inputs import day_input

WHEEL = ("rim_text", "width_in", "rim_kind", "tubed", "tyre", "date_code")
TUBED = (("", "not known"), ("yes", "yes"), ("no", "no"))
SORTED = (("name", "by name"), ("-pk", "newest first"))


def price_class(label: str, empty: str) -> forms.ModelChoiceField[PriceClass]:
    """One of the price classes, or none."""
    return forms.ModelChoiceField(
        PriceClass.objects.order_by("name", "pk"), label=label, required=False, empty_label=empty
    )


class CustomersForm(forms.Form):
    """Which customers are listed, and in what order."""

    q = forms.CharField(
        label="Name, car, registration, telephone", max_length=100, required=False,
        validators=[one_line],
    )  # fmt: skip
    kind = forms.ChoiceField(
        label="Kind", choices=(("", "any"), *CustomerKind.choices), required=False
    )
    price_class = price_class("Price class", "any")
    order = forms.ChoiceField(label="Order", choices=SORTED, required=False)


class CustomerForm(KeyedForm):
    """A person or a firm."""

    name = forms.CharField(label="Name", max_length=120, validators=[one_line])
    kind = forms.ChoiceField(label="Kind", choices=CustomerKind.choices)
    price_class = price_class("Price class", "list price")
    telephone = forms.CharField(
        label="Telephone", max_length=40, required=False, validators=[one_line]
    )
    email = forms.EmailField(label="E-mail", required=False)
    address = forms.CharField(
        label="Address", max_length=500, required=False, validators=[some_words],
        widget=forms.Textarea({"rows": 3}),
    )  # fmt: skip
    note = forms.CharField(
        label="Note", max_length=4000, required=False, validators=[some_words],
        widget=forms.Textarea({"rows": 2}),
    )  # fmt: skip

    @classmethod
    def of(cls, customer: Customer) -> CustomerForm:
        """The form filled in with what is known."""
        names = (name for name in cls.base_fields if name != "idempotency_key")
        return cls(initial={name: getattr(customer, name) for name in names})


def _wheel_fields(axle: str) -> dict[str, forms.Field]:
    where = axle.capitalize()
    return {
        f"{axle}_rim_text": forms.CharField(
            label=f"{where} rim, as marked", max_length=20, required=False, validators=[one_line]
        ),
        f"{axle}_width_in": forms.DecimalField(
            label="width, in", min_value=1, max_value=20, decimal_places=2, required=False
        ),
        f"{axle}_rim_kind": forms.ChoiceField(
            label="rim", choices=RIM_KINDS, required=False
        ),
        f"{axle}_tubed": forms.TypedChoiceField(
            label="tubed", choices=TUBED, coerce={"yes": True, "no": False}.get,
            empty_value=None, required=False,
        ),
        f"{axle}_tyre": SkuField(label="tyre now on it, SKU or GTIN", required=False),
        f"{axle}_date_code": forms.CharField(
            label="its date code", max_length=20, required=False, validators=[one_line]
        ),
    }  # fmt: skip


class CarForm(KeyedForm):
    """One car: what it is, and each axle as it stands."""

    description = forms.CharField(label="Car", max_length=120, validators=[one_line])
    variant = VariantField(
        label="Which car of the list", required=False,
        help_text="Its name, its code, or a chassis number of that series",
    )  # fmt: skip
    plate = forms.CharField(
        label="Registration", max_length=20, required=False, validators=[one_line]
    )
    chassis = forms.CharField(
        label="Chassis number", max_length=40, required=False, validators=[one_line]
    )
    built_on = forms.DateField(label="Built on", required=False, widget=day_input())

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for axle in Axle.values:
            self.fields |= _wheel_fields(axle)
        for name in ("plate", "chassis"):
            self.fields[name].widget.attrs |= PLAIN

    @property
    def of_car(self) -> list[forms.BoundField]:
        """The fields about the car itself."""
        return [self[name] for name in self.base_fields if name != "idempotency_key"]

    @property
    def axles(self) -> list[tuple[str, list[forms.BoundField]]]:
        """The fields of each axle, for the page."""
        return [
            (f"{axle.capitalize()} wheels", [self[f"{axle}_{name}"] for name in WHEEL])
            for axle in Axle.values
        ]

    def values(self) -> dict[str, Any]:
        """As the activity takes them; an axle of which nothing is said is not told."""
        names = ("description", "plate", "chassis", "built_on")
        return {name: self.cleaned_data[name] for name in names} | {
            axle: self._wheel(axle) for axle in Axle.values
        }

    def _wheel(self, axle: str) -> dict[str, Any] | None:
        said = {name: self.cleaned_data[f"{axle}_{name}"] for name in WHEEL}
        return said if any(one not in (None, "") for one in said.values()) else None


def known_of(car: CustomerCar, wheels: list[CarWheel], variant: Any) -> dict[str, Any]:
    """What the form is filled in with."""
    known: dict[str, Any] = {
        name: getattr(car, name) for name in ("description", "plate", "chassis", "built_on")
    } | {"variant": variant}
    for wheel in wheels:
        for name in WHEEL:
            value = getattr(wheel, name)
            if isinstance(value, bool):
                value = "yes" if value else "no"
            known[f"{wheel.axle}_{name}"] = value
    return known
