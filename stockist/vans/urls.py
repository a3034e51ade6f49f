"""The addresses of vans and the meetings they go to."""

from __future__ import annotations

from django.urls import path

from stockist.vans import listed, outing, selling, steps

app_name = "vans"
urlpatterns = [
    path("", listed.outings, name="list"),
    path("new/", listed.open_one, name="new"),
    path("<int:number>/", outing.outing, name="outing"),
    path("<int:number>/load/", steps.load, name="load"),
    path("<int:number>/sell/", selling.sell, name="sell"),
    path("<int:number>/unload/", steps.unload, name="unload"),
]
