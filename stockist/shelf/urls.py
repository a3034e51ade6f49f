"""The addresses of what lies where: lots and places."""

from __future__ import annotations

from django.urls import path

from stockist.shelf import views

app_name = "shelf"
urlpatterns = [
    path("", views.shelf, name="shelf"),
    path("lots/<int:number>/", views.lot, name="lot"),
    path("places/<int:number>/", views.place, name="place"),
]
