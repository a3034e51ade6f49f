"""What an SKU was asked for, over the API: by month or by week."""

from __future__ import annotations

from typing import Any, ClassVar

from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from inventory.ground.rest.filtering import refuse_unknown
from inventory.ground.rest.serializers import Strict, given
from inventory.models.sku import Sku
from inventory.reordering.demand import LONGEST, By, demand_of


class DemandAskedSerializer(Strict):
    """Of which SKU, by month or by week, and how many whole periods back."""

    sku = serializers.PrimaryKeyRelatedField(queryset=Sku.objects.all())
    by = serializers.ChoiceField(choices=[one.value for one in By], default=By.MONTH.value)
    count = serializers.IntegerField(
        min_value=1, max_value=max(LONGEST.values()), required=False, allow_null=True, default=None
    )


class SpanSerializer(serializers.Serializer[Any]):
    """One period. `days_with` had something to sell; null: no book tells of the period."""

    first = serializers.DateField()
    last = serializers.DateField()
    sold = serializers.IntegerField(help_text="Despatched less returned; may be below nought")
    unmet = serializers.FloatField(help_text="Asked for and not had though there were some")
    in_vain = serializers.FloatField(help_text="Asked for while there were none")
    days = serializers.IntegerField()
    days_with = serializers.IntegerField(allow_null=True)


class DemandSerializer(serializers.Serializer[Any]):
    """The periods of one SKU, the latest first."""

    sku = serializers.IntegerField()
    by = serializers.CharField()
    results = SpanSerializer(many=True)


class Demand(APIView):
    """Despatches less returns, what was asked for and not had, and the days with some to sell."""

    required_permissions: ClassVar = {"GET": ["inventory.view_alert"]}

    @extend_schema(
        operation_id="demand", parameters=[DemandAskedSerializer], responses=DemandSerializer
    )
    def get(self, request: Request) -> Response:
        """Five years at the most, from the first period that any book tells of."""
        refuse_unknown(request, set(DemandAskedSerializer().fields))
        said = given(DemandAskedSerializer(data=request.query_params.dict()))
        by = By(said["by"])
        found = demand_of(said["sku"], at=timezone.now(), by=by, count=said["count"])
        told = {"sku": said["sku"].pk, "by": by.value, "results": found}
        return Response(DemandSerializer(told).data)
