"""Orders of customers, and what each order line asks for."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from inventory.ground.fields import Line, Words
from inventory.models.customer import Customer, CustomerCar
from inventory.models.quote import Quote
from inventory.models.sku import Sku


class OrderState(models.TextChoices):
    OPEN = "open", "open"
    SENT = "sent", "sent in full"
    CANCELLED = "cancelled", "cancelled"


class OrderQuerySet(models.QuerySet["Order"]):
    def open(self) -> OrderQuerySet:
        return self.filter(state=OrderState.OPEN)

    def with_names(self) -> OrderQuerySet:
        return self.select_related("customer", "car", "made_by", "ended_by")


class Order(models.Model):
    """What a customer has ordered. A deposit is noted, never handled.

    The address stands here and nowhere else, because here it can be taken out again.
    """

    customer = models.ForeignKey(Customer, on_delete=models.RESTRICT, related_name="orders")
    car = models.ForeignKey(
        CustomerCar, on_delete=models.RESTRICT, null=True, blank=True, related_name="orders"
    )
    reference = Line("customer's reference", max_length=60, blank=True, default="")
    wanted_on = models.DateField("wanted on", null=True, blank=True)
    deliver_to = Words("deliver to", max_length=500, blank=True, default="")
    note = Words("note", max_length=500, blank=True, default="")
    deposit = models.DecimalField("deposit", max_digits=9, decimal_places=2, null=True, blank=True)
    deposit_currency = Line("currency of the deposit", max_length=3, blank=True, default="")
    deposit_reference = Line("reference of the deposit", max_length=60, blank=True, default="")
    state = models.CharField("state", max_length=9, choices=OrderState, default=OrderState.OPEN)
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, related_name="+"
    )
    ended_at = models.DateTimeField(null=True, blank=True)
    ended_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, null=True, blank=True, related_name="+"
    )
    ended_why = Line("why it ended", max_length=240, blank=True, default="")

    objects = OrderQuerySet.as_manager()

    class Meta:
        verbose_name = "order"
        verbose_name_plural = "orders"
        ordering = ("-pk",)
        indexes = [
            models.Index(fields=["customer", "-id"], name="order_of_customer"),
            models.Index(fields=["id"], name="order_open", condition=Q(state="open")),
        ]
        constraints = [
            models.CheckConstraint(
                condition=Q(deposit__isnull=True, deposit_currency="", deposit_reference="")
                | (
                    Q(deposit__gt=0, deposit_currency__regex=r"^[A-Z]{3}$")
                    & ~Q(deposit_reference="")
                ),
                name="order_deposit_is_told_in_full",
                violation_error_message=(
                    "A deposit has an amount above nought, its currency and a reference."
                ),
            ),
            models.CheckConstraint(
                condition=Q(state="open", ended_at__isnull=True, ended_by__isnull=True)
                | (~Q(state="open") & Q(ended_at__gte=F("made_at"), ended_by__isnull=False)),
                name="order_end_has_who_and_when",
                violation_error_message="Say who ended the order and when.",
            ),
        ]

    def __str__(self) -> str:
        return self.number

    @property
    def number(self) -> str:
        """What it is called on paper: OR-00012."""
        return f"OR-{self.pk or 0:05}"


class Asks(models.TextChoices):
    SETS = "sets", "sets"
    PIECES = "pieces", "pieces"


class OrderLine(models.Model):
    """So many sets of one recipe (companions are in it), or so many pieces of one SKU.

    ``price`` is that of one set or piece; ``step`` is what of it was taken off for older stock.
    What is held for a line are its open holds; ``sent`` counts what has left, and only despatch
    writes it. ``recipe`` and ``answer`` as in a quote.
    """

    order = models.ForeignKey(Order, on_delete=models.RESTRICT, related_name="lines")
    position = models.PositiveSmallIntegerField("position")
    asks = models.CharField("asks for", max_length=6, choices=Asks)
    what = Line("what is ordered", max_length=240)
    sku = models.ForeignKey(
        Sku, on_delete=models.RESTRICT, null=True, blank=True, related_name="order_lines"
    )
    recipe = models.JSONField("what was asked for", null=True, blank=True)
    answer = models.JSONField("what was answered, and why", default=dict, blank=True)
    quote = models.ForeignKey(
        Quote, on_delete=models.RESTRICT, null=True, blank=True, related_name="order_lines"
    )
    quantity = models.PositiveIntegerField("quantity")
    sent = models.PositiveIntegerField("sent", default=0)
    cancelled = models.BooleanField("cancelled", default=False)
    price = models.DecimalField("price", max_digits=9, decimal_places=2, null=True, blank=True)
    step = models.DecimalField("off for older stock", max_digits=9, decimal_places=2, default=0)
    currency = Line("currency", max_length=3, blank=True, default="")
    price_words = Line("how the price came about", max_length=500, blank=True, default="")

    class Meta:
        verbose_name = "order line"
        verbose_name_plural = "order lines"
        ordering = ("order", "position")
        constraints = [
            models.UniqueConstraint(
                fields=["order", "position"],
                name="order_line_position_is_one",
                violation_error_message="This order has a line in this position already.",
            ),
            models.CheckConstraint(
                condition=Q(asks="sets", sku__isnull=True, recipe__isnull=False)
                | Q(asks="pieces", sku__isnull=False, recipe__isnull=True),
                name="order_line_asks_for_sets_or_pieces",
                violation_error_message=(
                    "An order line asks for sets of a recipe or for pieces of one SKU."
                ),
            ),
            models.CheckConstraint(
                condition=Q(quantity__gte=1, quantity__lte=1_000_000),
                name="order_line_asks_for_some",
                violation_error_message="An order line asks for 1 to 1,000,000.",
            ),
            models.CheckConstraint(
                condition=Q(sent__lte=F("quantity")),
                name="order_line_is_not_sent_twice",
                violation_error_message="That would send more than was ordered.",
            ),
            models.CheckConstraint(
                condition=Q(price__isnull=True, step=0, currency="")
                | Q(price__gte=0, step__gte=0, currency__regex=r"^[A-Z]{3}$"),
                name="order_line_price_has_a_currency",
                violation_error_message="A price is nought or more, with its currency; or neither.",
            ),
        ]

    def __str__(self) -> str:
        return f"line {self.position} of order {self.order_id}"
