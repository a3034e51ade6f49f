"""The addresses of what grows old."""

from __future__ import annotations

from django.urls import path

from stockist.ageing import views

app_name = "ageing"
urlpatterns = [
    path("", views.ageing, name="list"),
    path("ageing.xlsx", views.as_xlsx, name="xlsx"),
    path("lots/<int:number>/", views.lot, name="lot"),
    path("lots/<int:number>/seen/", views.acknowledge, name="seen"),
    path("lots/<int:number>/leave/", views.leave, name="leave"),
    path("lots/<int:number>/offer/", views.offer, name="offer"),
    path("lots/<int:number>/off-sale/", views.off_sale, name="off-sale"),
]
