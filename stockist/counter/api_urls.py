"""Addresses of the answers, below /api/v1/."""

from __future__ import annotations

from django.urls import path

from stockist.counter.api import HaveYouGotItView, SearchView, WhichCarsView, WhichTyreView

urlpatterns = [
    path("answers/which-tyre/", WhichTyreView.as_view(), name="which-tyre"),
    path("answers/which-cars/", WhichCarsView.as_view(), name="which-cars"),
    path("answers/have-you-got-it/", HaveYouGotItView.as_view(), name="have-you-got-it"),
    path("search/", SearchView.as_view(), name="search"),
]
