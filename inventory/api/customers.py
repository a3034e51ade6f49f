"""Customers and their cars over the API."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from inventory.activities import cataloguing
from inventory.ground.rest.filtering import FilterSet, RowFilter, WordsFilter, filters
from inventory.ground.rest.serializers import MeasuredField, Strict, Told
from inventory.ground.rest.views import Kept
from inventory.markings import to_inches
from inventory.models.customer import CarWheel, Customer, CustomerCar, CustomerKind
from inventory.models.pricing import PriceClass


class CustomerSerializer(Told):
    """A person or a firm."""

    class Meta:
        model = Customer
        fields = (*("id", "kind", "name", "price_class", "email", "telephone", "address", "note"),)


class CustomerFilters(FilterSet):
    kind = filters.ChoiceFilter(choices=CustomerKind.choices)
    price_class = RowFilter(PriceClass)
    q = WordsFilter("name", "email", "telephone")


class Customers(Kept):
    """Who asks."""

    queryset = Customer.objects.all()
    serializer_class = CustomerSerializer
    filterset_class = CustomerFilters
    orderings = {"name": "name", "id": "pk"}
    default_ordering = "name"
    make = staticmethod(cataloguing.make_customer)
    change = staticmethod(cataloguing.change_customer)
    called = "customer"


class WheelSerializer(Strict, serializers.ModelSerializer[Any]):
    """The wheel and the tyre on one axle: its rim as marked (15, 380), its width in inches."""

    width_in = MeasuredField(read=to_inches, unit="in", places=2, required=False, allow_null=True)

    class Meta:
        model = CarWheel
        fields = ("rim_text", "width_in", "rim_kind", "tubed", "tyre", "date_code")
        extra_kwargs = {"tubed": {"required": False}}

    def get_attribute(self, instance: CustomerCar) -> CarWheel | None:
        """The wheel of the axle that this field is called after."""
        wheels = instance.wheels.all()
        return next((wheel for wheel in wheels if wheel.axle == self.field_name), None)


class CustomerCarSerializer(Told):
    """One car of one customer, with what is on the wheels of each axle; null: not told."""

    front = WheelSerializer(required=False, allow_null=True)
    rear = WheelSerializer(required=False, allow_null=True)

    class Meta:
        model = CustomerCar
        fields = (
            *("id", "customer", "description", "plate", "chassis", "built_on", "front", "rear"),
        )


class CustomerCarFilters(FilterSet):
    customer = RowFilter(Customer)
    plate = filters.CharFilter(lookup_expr="iexact")
    chassis = filters.CharFilter(lookup_expr="iexact")
    q = WordsFilter("description", "plate", "chassis", "customer__name")


class CustomerCars(Kept):
    """Cars of customers, as they stand; which variant each is, is told by `identified-cars`."""

    queryset = CustomerCar.objects.prefetch_related("wheels")
    serializer_class = CustomerCarSerializer
    filterset_class = CustomerCarFilters
    orderings = {"description": "description", "id": "pk"}
    default_ordering = "description"
    make = staticmethod(cataloguing.make_car)
    change = staticmethod(cataloguing.change_car)
    called = "car"
