"""The addresses of what will run out."""

from __future__ import annotations

from django.urls import path

from stockist.reorder import asked, views

app_name = "reorder"
urlpatterns = [
    path("", views.alerts, name="list"),
    path("reorder.xlsx", views.as_xlsx, name="xlsx"),
    path("bring-back/", views.bring_back, name="bring-back"),
    path("skus/<int:number>/", views.sku, name="sku"),
    path("sizes/", asked.sizes, name="sizes"),
    path("skus/<int:number>/demand/", asked.demand, name="demand"),
    path("skus/<int:number>/demand.xlsx", asked.demand_xlsx, name="demand-xlsx"),
    path("skus/<int:number>/seen/", views.acknowledge, name="seen"),
    path("skus/<int:number>/leave/", views.leave, name="leave"),
    path("skus/<int:number>/own-number/", views.override, name="override"),
]
