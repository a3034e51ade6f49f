"""How the API tells of orders, and what it takes to ask for something on one."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from inventory.activities.ordering import (
    Ask,
    AskHold,
    AskPieces,
    AskQuote,
    AskSets,
    Deposit,
    Holding,
)
from inventory.api.acting import row
from inventory.api.needs import NeedSerializer, parts, shown
from inventory.api.promised import customer_name, number, who
from inventory.ground.rest.serializers import Strict, Told
from inventory.models.customer import Customer, CustomerCar
from inventory.models.hold import Hold
from inventory.models.quote import Quote
from inventory.models.sale import Order, OrderLine
from inventory.models.sku import Sku

MOST_ASKS = 50


class OrderLineSerializer(Told):
    """So many sets or pieces at one price; `sent` is what has left."""

    class Meta:
        model = OrderLine
        fields = (
            *("id", "order", "position", "asks", "what", "sku", "recipe", "answer", "quote"),
            *("quantity", "sent", "cancelled", "price", "step", "currency", "price_words"),
        )


class OrderSerializer(Told):
    """One order of a customer."""

    number = number()
    customer_name = customer_name()
    made_by = who("made_by")
    ended_by = who("ended_by")
    lines = OrderLineSerializer(many=True, read_only=True)

    class Meta:
        model = Order
        fields = (
            *("id", "number", "customer", "customer_name", "car", "reference", "wanted_on"),
            *("deliver_to", "note", "deposit", "deposit_currency", "deposit_reference", "state"),
            *("made_at", "made_by", "ended_at", "ended_by", "ended_why", "lines"),
        )


class DepositSerializer(Strict):
    """A deposit as it is noted."""

    amount = serializers.DecimalField(9, 2)
    currency = serializers.CharField(max_length=3)
    reference = serializers.CharField(max_length=60)

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        """As the activity takes it: under `deposit`."""
        return {"deposit": Deposit(**attrs)}


class AskSerializer(Strict):
    """One of: `need` (sets), `sku` (pieces), `hold`, `quote`."""

    need = NeedSerializer(required=False)
    sku = row(Sku, required=False)
    hold = row(Hold, required=False)
    quote = row(Quote, required=False)
    what = serializers.CharField(max_length=240, required=False)
    sets = serializers.IntegerField(required=False, allow_null=True)
    quantity = serializers.IntegerField(required=False)
    shown = shown()
    other_choice = serializers.BooleanField(default=False)
    pinned = serializers.BooleanField(default=False)
    said = serializers.DictField(required=False)

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        """As the activities take it: under `ask`."""
        asked = [name for name in ("need", "sku", "hold", "quote") if name in attrs]
        if len(asked) != 1:
            raise serializers.ValidationError("Ask for one of need, sku, hold or quote.")
        if asked == ["need"] and not attrs.get("what"):
            raise serializers.ValidationError({"what": "Say in a line what the set is."})
        if asked == ["sku"] and "quantity" not in attrs:
            raise serializers.ValidationError({"quantity": "Say how many pieces."})
        return {"ask": _ask(asked[0], attrs)}


def _ask(kind: str, told: dict[str, Any]) -> Ask:
    if kind == "hold":
        return AskHold(hold=told["hold"])
    if kind == "quote":
        return AskQuote(quote=told["quote"], sets=told.get("sets"))
    same: dict[str, Any] = {
        "shown": parts(told.get("shown")), "other_choice": told["other_choice"],
        "pinned": told["pinned"], "said": told.get("said", {}),
    }  # fmt: skip
    if kind == "sku":
        what = told.get("what", "")
        return AskPieces(sku=told["sku"], quantity=told["quantity"], what=what, **same)
    sets = 1 if told.get("sets") is None else told["sets"]
    return AskSets(need=told["need"]["need"], what=told["what"], sets=sets, **same)


class AddSerializer(Strict):
    """What is asked for; `knowing`: the customer was told what is not approved any more."""

    asks = AskSerializer(many=True, allow_empty=False, max_length=MOST_ASKS)  # type: ignore[call-arg]
    holding = serializers.ChoiceField([str(one) for one in Holding], default=str(Holding.ALL))
    knowing = serializers.BooleanField(default=False)


class OrderHeadSerializer(Strict):
    """The head of an order, as it is changed."""

    reference = serializers.CharField(max_length=60, allow_blank=True, required=False)
    wanted_on = serializers.DateField(required=False, allow_null=True)
    deliver_to = serializers.CharField(max_length=500, allow_blank=True, required=False)
    note = serializers.CharField(max_length=500, allow_blank=True, required=False)
    deposit = DepositSerializer(required=False, allow_null=True)


class TakeOrderSerializer(OrderHeadSerializer, AddSerializer):
    """An order with everything that is asked for on it."""

    customer = row(Customer)
    car = row(CustomerCar, required=False, allow_null=True)


class QuantitySerializer(Strict):
    """How many of a line are wanted now."""

    quantity = serializers.IntegerField()
    holding = serializers.ChoiceField([str(one) for one in Holding], default=str(Holding.ALL))


def told(values: dict[str, Any]) -> dict[str, Any]:
    """What was sent, as the activities take it."""
    plain = {**values}
    if plain.get("deposit"):
        plain["deposit"] = plain["deposit"]["deposit"]
    if "asks" in plain:
        plain["asks"] = [one["ask"] for one in plain["asks"]]
    if "holding" in plain:
        plain["holding"] = Holding(plain["holding"])
    return plain
