"""The addresses of orders to suppliers, of their terms and batches."""

from __future__ import annotations

from django.urls import path

from stockist.purchasing import batches, terms, views

app_name = "purchasing"
urlpatterns = [
    path("", views.orders, name="orders"),
    path("expected/", views.expected, name="expected"),
    path("draft/", views.draft, name="draft"),
    path("terms/", terms.terms_list, name="terms"),
    path("terms/new/", terms.terms_new, name="terms-new"),
    path("terms/<int:number>/", terms.terms_page, name="terms-page"),
    path("terms/<int:number>/change/", terms.terms_change, name="terms-change"),
    path("batches/", batches.batches, name="batches"),
    path("batches/new/", batches.batch_new, name="batch-new"),
    path("batches/<int:number>/", batches.batch, name="batch"),
    path("batches/<int:number>/change/", batches.batch_change, name="batch-change"),
    path("orders/<int:number>/", views.order, name="order"),
    path("orders/<int:number>/lines/", views.set_line, name="line"),
    path("orders/<int:number>/drop/", views.drop_line, name="drop"),
    path("orders/<int:number>/send/", views.send, name="send"),
    path("orders/<int:number>/cancel/", views.cancel, name="cancel"),
    path("orders/<int:number>/give-up-rest/", views.give_up_rest, name="give-up-rest"),
]
