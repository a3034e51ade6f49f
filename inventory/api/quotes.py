"""Quotes and the queue over the API."""

from __future__ import annotations

from typing import Any

from django.db.models import Prefetch
from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.decorators import action
from rest_framework.request import Request
from rest_framework.response import Response

from inventory.activities import preordering, quoting
from inventory.api.acting import Acting, row
from inventory.api.holds import ReasonSerializer
from inventory.api.needs import NeedSerializer
from inventory.api.promised import OfCustomer, customer_name, number, who
from inventory.ground.idempotency import once
from inventory.ground.rest.filtering import RowFilter, WordsFilter, filters
from inventory.ground.rest.serializers import Strict, Told, given
from inventory.models.customer import Customer, CustomerCar
from inventory.models.hold import Hold
from inventory.models.preorder import IfShort, PreOrder, PreOrderLine, PreOrderState
from inventory.models.quote import Quote, QuoteState
from inventory.models.sale import OrderLine
from inventory.models.sku import Sku


class QuoteSerializer(Told):
    """One set offered at one price until the end of a day, with the answer as it stood."""

    number = number()
    customer_name = customer_name()
    made_by = who("made_by")
    ended_by = who("ended_by")

    class Meta:
        model = Quote
        fields = (
            *("id", "number", "customer", "customer_name", "car", "what", "sets", "price"),
            *("currency", "price_words", "good_until", "recipe", "answer", "note", "state"),
            *("made_at", "made_by", "ended_at", "ended_by", "ended_why"),
        )


class GiveQuoteSerializer(Strict):
    """What is offered, to whom, until when."""

    customer = row(Customer)
    car = row(CustomerCar, required=False, allow_null=True)
    need = NeedSerializer()
    what = serializers.CharField(max_length=240)
    good_until = serializers.DateField()
    sets = serializers.IntegerField(default=1)
    said = serializers.DictField(required=False)
    note = serializers.CharField(max_length=500, allow_blank=True, default="")


class QuoteFilters(OfCustomer):
    state = filters.ChoiceFilter(choices=QuoteState.choices)
    q = WordsFilter("what", "note", "customer__name")


class Quotes(Acting):
    """What was offered, newest first."""

    queryset = Quote.objects.select_related("customer", "made_by", "ended_by")
    serializer_class = QuoteSerializer
    filterset_class = QuoteFilters
    orderings = {"id": "pk", "good_until": "good_until"}
    default_ordering = "-id"
    called = "quote"

    @extend_schema(request=GiveQuoteSerializer, responses={201: QuoteSerializer})
    @once
    def create(self, request: Request) -> Response:
        """Offer so many sets at today's price; nothing is held by it."""
        told = given(GiveQuoteSerializer(data=request.data))
        told["need"] = told["need"]["need"]
        made = quoting.give_quote(by=request.user, at=timezone.now(), **told)  # type: ignore[arg-type]
        return self.entered(request, made)

    @extend_schema(request=ReasonSerializer, responses=QuoteSerializer)
    @action(
        detail=True, methods=["post"], required_permissions={"POST": ["inventory.change_quote"]}
    )
    @once
    def withdraw(self, request: Request, pk: str) -> Response:
        """Withdraw it, with a reason."""
        return self.step(request, quoting.withdraw_quote, ReasonSerializer)


class PreOrderLineSerializer(serializers.ModelSerializer[Any]):
    """So many of one expected delivery."""

    class Meta:
        model = PreOrderLine
        fields = ("expected", "quantity")


class PreOrderSerializer(Told):
    """One set that somebody waits for; served by who asked first."""

    number = number()
    customer_name = customer_name()
    queued_by = who("queued_by")
    ended_by = who("ended_by")
    lines = PreOrderLineSerializer(many=True, read_only=True)
    kept: Any = serializers.PrimaryKeyRelatedField(
        many=True, read_only=True, help_text="Holds of whole axles until the rest of the set comes"
    )

    class Meta:
        model = PreOrder
        fields = (
            *("id", "number", "customer", "customer_name", "car", "what", "recipe", "answer"),
            *("order_line", "promised_on", "if_short", "note", "state", "queued_at"),
            *("queued_by", "ended_at", "ended_by", "ended_why", "hold", "kept", "lines"),
        )


class QueueSerializer(Strict):
    """What is waited for, for which day; without `counts_on` the soonest deliveries that do."""

    customer = row(Customer)
    car = row(CustomerCar, required=False, allow_null=True)
    need = NeedSerializer()
    what = serializers.CharField(max_length=240)
    promised_on = serializers.DateField()
    if_short = serializers.ChoiceField(IfShort.choices)
    order_line = row(OrderLine, required=False, allow_null=True)
    counts_on = PreOrderLineSerializer(many=True, required=False)
    said = serializers.DictField(required=False)
    note = serializers.CharField(max_length=500, allow_blank=True, default="")


class PreOrderFilters(OfCustomer):
    state = filters.ChoiceFilter(choices=PreOrderState.choices)
    sku = RowFilter(Sku, field_name="lines__expected__sku", distinct=True)
    q = WordsFilter("what", "note", "customer__name")


class PreOrders(Acting):
    """The queue, who asked first at its head."""

    queryset = PreOrder.objects.select_related(
        "customer", "queued_by", "ended_by"
    ).prefetch_related("lines", Prefetch("kept", Hold.objects.open().order_by("pk")))
    serializer_class = PreOrderSerializer
    filterset_class = PreOrderFilters
    orderings = {"queued_at": "queued_at", "promised_on": "promised_on", "id": "pk"}
    default_ordering = "queued_at"
    called = "pre_order"

    @extend_schema(request=QueueSerializer, responses={201: PreOrderSerializer})
    @once
    def create(self, request: Request) -> Response:
        """Queue a customer for what is to come."""
        told = given(QueueSerializer(data=request.data))
        told["need"] = told["need"]["need"]
        counts = told.pop("counts_on", None)
        if counts is not None:
            told["counts_on"] = {one["expected"].pk: one["quantity"] for one in counts}
        made = preordering.queue(by=request.user, at=timezone.now(), **told)  # type: ignore[arg-type]
        return self.entered(request, made)

    @extend_schema(request=ReasonSerializer, responses=PreOrderSerializer)
    @action(
        detail=True, methods=["post"], required_permissions={"POST": ["inventory.change_preorder"]}
    )
    @once
    def withdraw(self, request: Request, pk: str) -> Response:
        """Give up a place in the queue, with a reason."""
        return self.step(request, preordering.withdraw, ReasonSerializer)
