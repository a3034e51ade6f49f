"""Inputs of forms as browsers take them."""

from __future__ import annotations

from django import forms


def day_input() -> forms.DateInput:
    """A day, filled in the one way in which a browser reads it."""
    return forms.DateInput({"type": "date"}, format="%Y-%m-%d")
