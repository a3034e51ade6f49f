"""The addresses of customers' tyres in storage."""

from __future__ import annotations

from django.urls import path

from stockist.storage import lists, views

app_name = "storage"
urlpatterns = [
    path("", lists.storages, name="list"),
    path("new/", views.take_in, name="take-in"),
    path("<int:number>/", views.storage, name="storage"),
    path("<int:number>/hand-back/", views.hand_back, name="hand-back"),
    path("<int:number>/keep-longer/", views.keep_longer, name="keep-longer"),
]
