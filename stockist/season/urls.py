"""The addresses of the season."""

from __future__ import annotations

from django.urls import path

from stockist.season import views

app_name = "season"
urlpatterns = [
    path("", views.season, name="season"),
    path("plan/", views.plan, name="plan"),
    path("changes/", views.say, name="say"),
    path("changes/<int:number>/take-back/", views.take_back, name="take-back"),
]
