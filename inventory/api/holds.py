"""Holds over the API: a set or pieces until a time; extended, released."""

from __future__ import annotations

from typing import Any

from django.db.models import Prefetch
from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.decorators import action
from rest_framework.request import Request
from rest_framework.response import Response

from inventory.activities import holding
from inventory.api.acting import Acting, row
from inventory.api.needs import NeedSerializer, parts, shown
from inventory.api.promised import OfCustomer, customer_name, number, who
from inventory.ground.idempotency import once
from inventory.ground.rest.filtering import WordsFilter, filters
from inventory.ground.rest.serializers import Strict, Told, given
from inventory.models.customer import Customer, CustomerCar
from inventory.models.hold import Hold, HoldExtension, HoldLine, HoldState, blocks_on
from inventory.models.sku import Sku


class HoldLineSerializer(serializers.ModelSerializer[Any]):
    """So many of one lot in one place; `blocked` is why that lot may not leave now."""

    blocked = serializers.SerializerMethodField()

    class Meta:
        model = HoldLine
        fields = ("lot", "place", "quantity", "for_place", "pinned", "blocked")

    def get_blocked(self, line: HoldLine) -> list[str]:
        """The reasons of the blocks that stand on its lot."""
        return blocks_on(line)


class HoldExtensionSerializer(serializers.ModelSerializer[Any]):
    """It was let run longer: from when to when, why, by whom."""

    extended_by = who("extended_by")

    class Meta:
        model = HoldExtension
        fields = ("until_before", "until_after", "why", "extended_at", "extended_by")


class HoldSerializer(Told):
    """One set, or so many pieces, held for one customer; free from `until` on."""

    number = number()
    customer_name = customer_name()
    made_by = who("made_by")
    ended_by = who("ended_by")
    lapsed = serializers.SerializerMethodField()
    lines = HoldLineSerializer(many=True, read_only=True)
    extensions = HoldExtensionSerializer(many=True, read_only=True)

    class Meta:
        model = Hold
        fields = (
            *("id", "number", "customer", "customer_name", "car", "what", "why", "recipe"),
            *("answer", "until", "lapsed", "order_line", "kept_for", "state"),
            *("made_at", "made_by"),
            *("ended_at", "ended_by", "ended_why", "lines", "extensions"),
        )

    def get_lapsed(self, hold: Hold) -> bool:
        """Whether it has run out, and its tyres are free for others."""
        return hold.lapsed_by(timezone.now())


class MakeHoldSerializer(Strict):
    """A set (`need`), or `quantity` pieces of a `sku`; `shown` are the lots that were named.

    `said` is kept with it. What is read again when it leaves: `use` (road, track, show), `market`
    (GB, EU, US, other), `class` (the code of a competition class) and `age_limit_months`, how old
    the tyres may be on the day that they leave.
    """

    customer = row(Customer)
    car = row(CustomerCar, required=False, allow_null=True)
    need = NeedSerializer(required=False)
    sku = row(Sku, required=False)
    quantity = serializers.IntegerField(required=False)
    what = serializers.CharField(max_length=240, required=False)
    until = serializers.DateTimeField()
    shown = shown()
    other_choice = serializers.BooleanField(default=False)
    pinned = serializers.BooleanField(default=False)
    why = serializers.CharField(max_length=500, allow_blank=True, default="")
    said = serializers.DictField(required=False)

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        """Either a set or pieces."""
        if ("need" in attrs) == ("sku" in attrs):
            raise serializers.ValidationError("Say either the need of a set, or a SKU.")
        if "sku" in attrs and "quantity" not in attrs:
            raise serializers.ValidationError({"quantity": "Say how many pieces."})
        if "need" in attrs and not attrs.get("what"):
            raise serializers.ValidationError({"what": "Say in a line what the set is."})
        return attrs


class ExtendSerializer(Strict):
    """Until when, and why."""

    until = serializers.DateTimeField()
    why = serializers.CharField(max_length=240)


class ReasonSerializer(Strict):
    """A reason."""

    why = serializers.CharField(max_length=240)


class HoldFilters(OfCustomer):
    state = filters.ChoiceFilter(choices=HoldState.choices)
    standing = filters.BooleanFilter(method="stands", help_text="Held now, not run out")
    order = filters.NumberFilter("order_line__order")
    q = WordsFilter("what", "why", "customer__name")

    def stands(self, rows: Any, name: str, value: bool) -> Any:
        """Those that hold tyres now, or the others."""
        standing = Hold.objects.standing(timezone.now())
        return rows.filter(pk__in=standing) if value else rows.exclude(pk__in=standing)


MAY_CHANGE = {"POST": ["inventory.change_hold"]}


class Holds(Acting):
    """What is held, newest first."""

    queryset = Hold.objects.select_related("customer", "made_by", "ended_by").prefetch_related(
        Prefetch("lines", HoldLine.objects.with_blocks()),
        Prefetch("extensions", HoldExtension.objects.select_related("extended_by")),
    )
    serializer_class = HoldSerializer
    filterset_class = HoldFilters
    orderings = {"id": "pk", "made_at": "made_at"}
    default_ordering = "-id"
    called = "hold"

    @extend_schema(request=MakeHoldSerializer, responses={201: HoldSerializer})
    @once
    def create(self, request: Request) -> Response:
        """Hold one set, or pieces, for a customer until a time."""
        told = given(MakeHoldSerializer(data=request.data))
        told["shown"] = parts(told.get("shown"))
        told |= {"by": request.user, "at": timezone.now()}
        if "need" not in told:
            return self.entered(request, holding.hold_pieces(**told))
        told["need"] = told["need"]["need"]
        told.pop("quantity", None)
        (made,) = holding.hold_sets(**told)
        return self.entered(request, made)

    @extend_schema(request=ExtendSerializer, responses=HoldSerializer)
    @action(detail=True, methods=["post"], required_permissions=MAY_CHANGE)
    @once
    def extend(self, request: Request, pk: str) -> Response:
        """Let it run longer, with a reason."""
        return self.step(request, holding.extend, ExtendSerializer)

    @extend_schema(request=ReasonSerializer, responses=HoldSerializer)
    @action(detail=True, methods=["post"], required_permissions=MAY_CHANGE)
    @once
    def release(self, request: Request, pk: str) -> Response:
        """Let its tyres go, with a reason."""
        return self.step(request, holding.release, ReasonSerializer)
