"""The counter's addresses; each page is named by the question it answers."""

from __future__ import annotations

from django.urls import path

from stockist.counter import views

app_name = "counter"
urlpatterns = [
    path("", views.ask, name="ask"),
    path("cars/<str:code>/", views.car, name="car"),
    path("wheels/", views.wheels, name="wheels"),
    path("tyres/<str:code>/", views.tyre, name="tyre"),
    path("enquiries/", views.enquire, name="enquire"),
]
