"""The ground: what every floor stands on."""

from __future__ import annotations

from django.apps import AppConfig


class GroundConfig(AppConfig):
    name = "inventory.ground"
    label = "ground"
    verbose_name = "ground"
    default_auto_field = "django.db.models.BigAutoField"
