"""The back office for stock: Django finds the pages of every table through this package."""

from inventory.admin import (
    buying,
    catalogue,
    expected,
    goods_in,
    house,
    people,
    places,
    pricing,
    skus,
    stock,
)

__all__ = [
    "buying",
    "catalogue",
    "expected",
    "goods_in",
    "house",
    "people",
    "places",
    "pricing",
    "skus",
    "stock",
]
