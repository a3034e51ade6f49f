"""The addresses of labels and of the scanner's set-up."""

from __future__ import annotations

from django.urls import path

from stockist.labels import setup, views

app_name = "labels"
urlpatterns = [
    path("", views.labels, name="labels"),
    path("scanner/", setup.scanner, name="scanner"),
]
