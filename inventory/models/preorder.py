"""The queue for tyres that have not come yet."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from inventory.ground.fields import Line, Words
from inventory.models.customer import Customer, CustomerCar
from inventory.models.expected import ExpectedDelivery
from inventory.models.hold import Hold
from inventory.models.sale import OrderLine


class PreOrderState(models.TextChoices):
    WAITING = "waiting", "waiting"
    SERVED = "served", "served"
    WITHDRAWN = "withdrawn", "withdrawn"
    MISSED = "missed", "not served: the batch was short"


class IfShort(models.TextChoices):
    """What the customer wants where a batch does not go round."""

    WAIT = "wait", "wait for the next batch"
    GIVE_UP = "give_up", "give up and be told"


class PreOrderQuerySet(models.QuerySet["PreOrder"]):
    def waiting(self) -> PreOrderQuerySet:
        return self.filter(state=PreOrderState.WAITING)

    def in_turn(self) -> PreOrderQuerySet:
        """In the order of the queue: who asked first."""
        return self.order_by("queued_at", "pk")


class PreOrder(models.Model):
    """One set that somebody waits for. The queue of a delivery is by ``queued_at``, then number.

    ``promised_on`` is the day that the customer was told; it stays when the maker's day moves.
    ``hold`` is what it became when the tyres came.
    """

    customer = models.ForeignKey(Customer, on_delete=models.RESTRICT, related_name="pre_orders")
    car = models.ForeignKey(
        CustomerCar, on_delete=models.RESTRICT, null=True, blank=True, related_name="pre_orders"
    )
    what = Line("what is wanted", max_length=240)
    recipe = models.JSONField("what was asked for")
    answer = models.JSONField("what was answered, and why", default=dict, blank=True)
    order_line = models.ForeignKey(
        OrderLine, on_delete=models.RESTRICT, null=True, blank=True, related_name="pre_orders"
    )
    promised_on = models.DateField("promised for")
    if_short = models.CharField("if the batch is short", max_length=8, choices=IfShort)
    note = Words("note", max_length=500, blank=True, default="")
    state = models.CharField(
        "state", max_length=9, choices=PreOrderState, default=PreOrderState.WAITING
    )
    queued_at = models.DateTimeField()
    queued_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, related_name="+"
    )
    ended_at = models.DateTimeField(null=True, blank=True)
    ended_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, null=True, blank=True, related_name="+"
    )
    ended_why = Line("why it ended", max_length=240, blank=True, default="")
    hold = models.OneToOneField(
        Hold, on_delete=models.RESTRICT, null=True, blank=True, related_name="pre_order"
    )

    objects = PreOrderQuerySet.as_manager()

    class Meta:
        verbose_name = "pre-order"
        verbose_name_plural = "pre-orders"
        ordering = ("queued_at", "pk")
        indexes = [
            models.Index(
                fields=["queued_at", "id"], name="pre_order_queue", condition=Q(state="waiting")
            ),
        ]
        constraints = [
            models.CheckConstraint(
                condition=Q(state="waiting", ended_at__isnull=True, ended_by__isnull=True)
                | (~Q(state="waiting") & Q(ended_at__gte=F("queued_at"), ended_by__isnull=False)),
                name="pre_order_end_has_who_and_when",
                violation_error_message="Say who ended the pre-order and when.",
            ),
            models.CheckConstraint(
                condition=Q(state="served", hold__isnull=False)
                | (~Q(state="served") & Q(hold__isnull=True)),
                name="pre_order_served_has_a_hold",
                violation_error_message="A pre-order that was served has a hold, no other has.",
            ),
        ]

    def __str__(self) -> str:
        return self.number

    @property
    def number(self) -> str:
        """What it is called at the counter: WA-00012."""
        return f"WA-{self.pk or 0:05}"


class PreOrderLine(models.Model):
    """So many of one expected delivery that a waiting pre-order counts on."""

    pre_order = models.ForeignKey(PreOrder, on_delete=models.RESTRICT, related_name="lines")
    expected = models.ForeignKey(
        ExpectedDelivery, on_delete=models.RESTRICT, related_name="pre_order_lines"
    )
    quantity = models.PositiveIntegerField("tyres")

    class Meta:
        verbose_name = "pre-order line"
        verbose_name_plural = "pre-order lines"
        ordering = ("pre_order", "pk")
        constraints = [
            models.UniqueConstraint(
                fields=["pre_order", "expected"],
                name="pre_order_line_is_one_per_delivery",
                violation_error_message="This pre-order counts on this delivery already.",
            ),
            models.CheckConstraint(
                condition=Q(quantity__gte=1, quantity__lte=100),
                name="pre_order_line_is_for_some",
                violation_error_message="A pre-order counts on 1 to 100 tyres of a delivery.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.quantity} of {self.expected_id}"
