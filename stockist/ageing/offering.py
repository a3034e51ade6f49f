"""A price for older stock, as the step of the price list that it is."""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal
from typing import Any

from django import forms
from django.contrib.auth.models import User

from inventory.activities import cataloguing
from inventory.models.alert import AgeingAlert
from inventory.models.pricing import AgeStep
from stockist.reorder.forms import Answer


class OfferForm(Answer):
    """From what age on, and how much is taken off the list's price."""

    from_months = forms.IntegerField(label="Made at least so many months ago", min_value=1)
    percent_off = forms.DecimalField(
        label="Per cent off", min_value=0, max_value=90, max_digits=4, decimal_places=2
    )


def put_on_offer(
    *, alert: AgeingAlert, from_months: int, percent_off: Decimal, by: User, at: datetime
) -> AgeStep:
    """Enter the step, or change the one that begins at this age. Raises Faulty."""
    said: dict[str, Any] = {"percent_off": percent_off, "by": by, "at": at}
    there = AgeStep.objects.filter(from_months=from_months).first()
    if there is not None:
        return cataloguing.change_age_step(step=there, **said)
    return cataloguing.make_age_step(from_months=from_months, **said)
