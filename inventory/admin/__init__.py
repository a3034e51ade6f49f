"""The back office for stock: Django finds the pages of every table through this package."""

from inventory.admin import (
    alerts,
    buying,
    catalogue,
    counting,
    expected,
    goods_in,
    house,
    people,
    places,
    pricing,
    seasons,
    selling,
    sending,
    skus,
    stock,
    storing,
)

__all__ = [
    "alerts",
    "buying",
    "catalogue",
    "counting",
    "expected",
    "goods_in",
    "house",
    "people",
    "places",
    "pricing",
    "seasons",
    "selling",
    "sending",
    "skus",
    "stock",
    "storing",
]
