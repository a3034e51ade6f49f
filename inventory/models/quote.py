"""What was offered to somebody, with the answer and its reasons as they stood."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from inventory.ground.fields import Line, Words
from inventory.models.customer import Customer, CustomerCar


class QuoteState(models.TextChoices):
    OPEN = "open", "open"
    TAKEN = "taken", "taken up"
    WITHDRAWN = "withdrawn", "withdrawn"


class QuoteQuerySet(models.QuerySet["Quote"]):
    def with_names(self) -> QuoteQuerySet:
        return self.select_related("customer", "car", "made_by", "ended_by")


class Quote(models.Model):
    """One set offered at one price until the end of a day. Nothing is held by it.

    ``recipe`` is what was asked for (``inventory.activities.recipes``), ``answer`` what was
    answered and why; both stay as they were on that day, whatever becomes of stock and approvals.
    """

    customer = models.ForeignKey(Customer, on_delete=models.RESTRICT, related_name="quotes")
    car = models.ForeignKey(
        CustomerCar, on_delete=models.RESTRICT, null=True, blank=True, related_name="quotes"
    )
    what = Line("what is offered", max_length=240)
    sets = models.PositiveSmallIntegerField("sets", default=1)
    price = models.DecimalField(
        "price of one set", max_digits=9, decimal_places=2, null=True, blank=True
    )
    currency = Line("currency", max_length=3, blank=True, default="")
    price_words = Line("how the price came about", max_length=500, blank=True, default="")
    good_until = models.DateField("good until")
    recipe = models.JSONField("what was asked for")
    answer = models.JSONField("what was answered, and why", default=dict)
    note = Words("note", max_length=500, blank=True, default="")
    state = models.CharField("state", max_length=9, choices=QuoteState, default=QuoteState.OPEN)
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, related_name="+"
    )
    ended_at = models.DateTimeField(null=True, blank=True)
    ended_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, null=True, blank=True, related_name="+"
    )
    ended_why = Line("why it ended", max_length=240, blank=True, default="")

    objects = QuoteQuerySet.as_manager()

    class Meta:
        verbose_name = "quote"
        verbose_name_plural = "quotes"
        ordering = ("-pk",)
        indexes = [models.Index(fields=["customer", "-id"], name="quote_of_customer")]
        constraints = [
            models.CheckConstraint(
                condition=Q(sets__gte=1, sets__lte=100),
                name="quote_is_for_one_to_a_hundred_sets",
                violation_error_message="A quote is for 1 to 100 sets.",
            ),
            models.CheckConstraint(
                condition=Q(price__isnull=True, currency="")
                | Q(price__gte=0, currency__regex=r"^[A-Z]{3}$"),
                name="quote_price_has_a_currency",
                violation_error_message="A price is nought or more, with its currency; or neither.",
            ),
            models.CheckConstraint(
                condition=Q(state="open", ended_at__isnull=True, ended_by__isnull=True)
                | (~Q(state="open") & Q(ended_at__gte=F("made_at"), ended_by__isnull=False)),
                name="quote_end_has_who_and_when",
                violation_error_message="Say who ended the quote and when.",
            ),
        ]

    def __str__(self) -> str:
        return self.number

    @property
    def number(self) -> str:
        """What it is called on paper: QU-00012."""
        return f"QU-{self.pk or 0:05}"
