"""Price classes and steps for older stock over the API."""

from __future__ import annotations

from inventory.activities import cataloguing
from inventory.ground.rest.filtering import FilterSet, filters
from inventory.ground.rest.serializers import Told
from inventory.ground.rest.views import Kept
from inventory.models.pricing import AgeStep, PriceClass


class PriceClassSerializer(Told):
    """So many per cent off the list for a kind of customer."""

    class Meta:
        model = PriceClass
        fields = ("id", "code", "name", "percent_off")


class PriceClassFilters(FilterSet):
    code = filters.CharFilter(lookup_expr="iexact", max_length=20)


class PriceClasses(Kept):
    """What customers pay less."""

    queryset = PriceClass.objects.all()
    serializer_class = PriceClassSerializer
    filterset_class = PriceClassFilters
    orderings = {"code": "code", "id": "pk"}
    default_ordering = "code"
    make = staticmethod(cataloguing.make_price_class)
    change = staticmethod(cataloguing.change_price_class)
    called = "price_class"


class AgeStepSerializer(Told):
    """So many per cent off a tyre made at least so many months ago."""

    class Meta:
        model = AgeStep
        fields = ("id", "from_months", "percent_off")


class AgeStepFilters(FilterSet):
    from_months = filters.NumberFilter()


class AgeSteps(Kept):
    """What older stock costs less."""

    queryset = AgeStep.objects.all()
    serializer_class = AgeStepSerializer
    filterset_class = AgeStepFilters
    orderings = {"from_months": "from_months", "id": "pk"}
    default_ordering = "from_months"
    make = staticmethod(cataloguing.make_age_step)
    change = staticmethod(cataloguing.change_age_step)
    called = "step"
