"""Addresses under the API that join the register with stock."""

from __future__ import annotations

from django.urls import path

from stockist.approvals.api import MissingView, TouchedView
from stockist.reviews.api import ReviewsView

urlpatterns = [
    path("missing/", MissingView.as_view(), name="missing"),
    path("approval-reviews/", ReviewsView.as_view(), name="approval-reviews"),
    path("approvals/<int:number>/touched/", TouchedView.as_view(), name="touched"),
]
