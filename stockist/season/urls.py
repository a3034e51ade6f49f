"""The addresses of the season."""

from __future__ import annotations

from django.urls import path

from stockist.season import plan, views

app_name = "season"
urlpatterns = [
    path("", views.season, name="season"),
    path("plan/", plan.plan, name="plan"),
    path("plan.xlsx", plan.plan_xlsx, name="plan-xlsx"),
    path("changes/", views.say, name="say"),
    path("changes/<int:number>/take-back/", views.take_back, name="take-back"),
]
