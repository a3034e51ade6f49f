"""The addresses of orders to suppliers."""

from __future__ import annotations

from django.urls import path

from stockist.purchasing import views

app_name = "purchasing"
urlpatterns = [
    path("", views.orders, name="orders"),
    path("expected/", views.expected, name="expected"),
    path("draft/", views.draft, name="draft"),
    path("orders/<int:number>/", views.order, name="order"),
    path("orders/<int:number>/lines/", views.set_line, name="line"),
    path("orders/<int:number>/drop/", views.drop_line, name="drop"),
    path("orders/<int:number>/send/", views.send, name="send"),
    path("orders/<int:number>/cancel/", views.cancel, name="cancel"),
    path("orders/<int:number>/give-up-rest/", views.give_up_rest, name="give-up-rest"),
]
