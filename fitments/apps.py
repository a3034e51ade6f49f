"""What suits which car, and what that rests on."""

from __future__ import annotations

from django.apps import AppConfig


class FitmentsConfig(AppConfig):
    name = "fitments"
    label = "fitments"
    verbose_name = "fitments and approvals"
    default_auto_field = "django.db.models.BigAutoField"
