"""Addresses of papers, below /api/v1/."""

from __future__ import annotations

from django.urls import path

from stockist.papers.api import DeliveryNoteView, QuotePaperView

urlpatterns = [
    path(
        "despatches/<int:number>/delivery-note/", DeliveryNoteView.as_view(), name="delivery-note"
    ),
    path("quotes/<int:number>/paper/", QuotePaperView.as_view(), name="quote-paper"),
]
