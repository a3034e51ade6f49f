"""Stock: what is on the shelf, where it came from, where it went."""

from __future__ import annotations

from django.apps import AppConfig


class InventoryConfig(AppConfig):
    name = "inventory"
    label = "inventory"
    verbose_name = "stock"
    default_auto_field = "django.db.models.BigAutoField"
