"""What the API's faces of promises have in common."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from inventory.ground.rest.filtering import FilterSet, RowFilter
from inventory.models.customer import Customer


def who(field: str) -> Any:
    """The name of the person who did it, null where nobody has yet."""
    return serializers.CharField(
        source=f"{field}.username", read_only=True, default=None, allow_null=True
    )


def number() -> serializers.CharField:
    """What it is called on paper."""
    return serializers.CharField(read_only=True)


def customer_name() -> serializers.CharField:
    """For whom it is."""
    return serializers.CharField(source="customer.name", read_only=True)


class OfCustomer(FilterSet):
    """What every list of promises is narrowed by."""

    customer = RowFilter(Customer)
