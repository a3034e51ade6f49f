"""Customers, their cars, and what they asked for, in the back office."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib import admin
from django.http import HttpRequest

from inventory.activities import cataloguing
from inventory.ground.backoffice.entering import EnteredForm, Kept
from inventory.ground.backoffice.looking import Looked
from inventory.models.companion import RimKind
from inventory.models.customer import Axle, CarWheel, Customer, CustomerCar
from inventory.models.enquiry import Enquiry
from inventory.models.sku import Sku, SkuKind

WHEEL = ("rim_text", "width_in", "rim_kind", "tubed", "tyre", "date_code")
TUBED = (("", "not known"), ("yes", "yes"), ("no", "no"))


@admin.register(Customer)
class CustomerAdmin(Kept):
    fields = ("kind", "name", "price_class", "email", "telephone", "address", "note")
    list_display = ("name", "kind", "price_class", "email", "telephone")
    list_filter = ("kind", "price_class")
    search_fields = ("name", "email", "telephone")
    ordering = ("name", "pk")
    joined = ("price_class",)
    make = staticmethod(cataloguing.make_customer)
    change = staticmethod(cataloguing.change_customer)
    called = "customer"


def rim() -> forms.CharField:
    """A rim diameter as marked; nothing said of it: no wheel is told."""
    return forms.CharField(max_length=20, required=False, help_text="As marked: 15, 16.5, 380")


def width() -> forms.DecimalField:
    """A rim width in inches."""
    return forms.DecimalField(max_digits=4, decimal_places=2, required=False)


def rim_kind() -> forms.ChoiceField:
    """Of what kind the rim is."""
    return forms.ChoiceField(choices=RimKind.choices, required=False)


def tubed() -> forms.TypedChoiceField:
    """Whether there is a tube in it, if that is known."""
    return forms.TypedChoiceField(
        choices=TUBED, coerce={"yes": True, "no": False}.get, empty_value=None, required=False
    )


def tyre() -> forms.ModelChoiceField[Sku]:
    """The tyre now on it, by the code of its SKU."""
    tyres = Sku.objects.filter(kind=SkuKind.TYRE).order_by("code")
    return forms.ModelChoiceField(
        tyres,
        to_field_name="code",
        required=False,
        widget=forms.TextInput,
        help_text="The code of the SKU",
    )


def date_code() -> forms.CharField:
    """The date code of the tyre now on it."""
    return forms.CharField(max_length=20, required=False)


class CustomerCarForm(EnteredForm):
    """A car with what is on its wheels."""

    front_rim_text, rear_rim_text = rim(), rim()
    front_width_in, rear_width_in = width(), width()
    front_rim_kind, rear_rim_kind = rim_kind(), rim_kind()
    front_tubed, rear_tubed = tubed(), tubed()
    front_tyre, rear_tyre = tyre(), tyre()
    front_date_code, rear_date_code = date_code(), date_code()

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.instance.pk is None:
            return
        for wheel in self.instance.wheels.select_related("tyre"):
            for name in WHEEL:
                self.initial[f"{wheel.axle}_{name}"] = _as_typed(getattr(wheel, name))

    def values(self) -> dict[str, Any]:
        plain = {f"{axle}_{name}" for axle in Axle.values for name in WHEEL}
        told = {name: value for name, value in super().values().items() if name not in plain}
        for axle in Axle.values:
            if self.instance.pk is None or plain & set(self.changed_data):
                told[axle] = self._wheel(axle)
        return told

    def _wheel(self, axle: str) -> dict[str, Any] | None:
        values = {name: self.cleaned_data[f"{axle}_{name}"] for name in WHEEL}
        return values if any(value not in (None, "") for value in values.values()) else None


def _as_typed(value: Any) -> Any:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return value.code if isinstance(value, Sku) else value


@admin.register(CustomerCar)
class CustomerCarAdmin(Kept):
    form = CustomerCarForm
    fieldsets = (
        (None, {"fields": ("customer", "description", "plate", "chassis", "built_on")}),
        ("Front wheels", {"fields": [f"front_{name}" for name in WHEEL]}),
        ("Rear wheels", {"fields": [f"rear_{name}" for name in WHEEL]}),
    )
    list_display = ("description", "customer", "plate", "chassis", "built_on")
    search_fields = ("description", "plate", "chassis", "customer__name")
    autocomplete_fields = ("customer",)
    ordering = ("customer__name", "description", "pk")
    joined = ("customer",)
    make = staticmethod(cataloguing.make_car)
    change = staticmethod(cataloguing.change_car)
    called = "car"

    def get_fieldsets(self, request: HttpRequest, obj: Any = None) -> Any:
        if obj is None or self.has_change_permission(request, obj):
            return super().get_fieldsets(request, obj)
        return (*self.fieldsets[:1], ("Wheels", {"fields": ("wheels",)}))

    @admin.display(description="on its wheels")
    def wheels(self, car: CustomerCar) -> str:
        """For who may only look."""
        told = (
            f"{wheel.get_axle_display()}: {wheel.rim_text} x {wheel.width_in or 'width not known'}"
            f", {wheel.tyre or 'tyre not known'} {wheel.date_code}".rstrip()
            for wheel in car.wheels.select_related("tyre").order_by("axle")
        )
        return "; ".join(told)


@admin.register(CarWheel)
class CarWheelAdmin(Looked):
    """Wheels are told on the page of the car."""

    list_display = ("car", "axle", "rim_text", "width_in", "rim_kind", "tubed", "tyre", "date_code")
    list_filter = ("axle", "rim_kind")
    search_fields = ("car__description", "car__customer__name", "tyre__code")
    ordering = ("car__description", "axle", "pk")
    joined = ("car", "tyre")


@admin.register(Enquiry)
class EnquiryAdmin(Looked):
    """Enquiries are recorded at the counter."""

    list_display = ("asked_at", "sku", "size", "pieces", "car", "customer", "asked_by")
    date_hierarchy = "asked_at"
    search_fields = ("sku__code", "size", "car", "note")
    ordering = ("-asked_at", "-pk")
    joined = ("sku", "customer", "asked_by")
