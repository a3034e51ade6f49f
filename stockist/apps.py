"""The shop: it joins cars with stock, and has no tables of its own."""

from __future__ import annotations

from django.apps import AppConfig


class StockistConfig(AppConfig):
    name = "stockist"
    verbose_name = "shop"
