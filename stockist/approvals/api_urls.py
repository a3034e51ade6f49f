"""Addresses under the API that join the register with stock."""

from __future__ import annotations

from django.urls import path

from stockist.approvals.api import MissingView, TouchedView

urlpatterns = [
    path("missing/", MissingView.as_view(), name="missing"),
    path("approvals/<int:number>/touched/", TouchedView.as_view(), name="touched"),
]
