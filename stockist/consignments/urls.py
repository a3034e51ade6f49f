"""The addresses of goods on consignment."""

from __future__ import annotations

from django.urls import path

from stockist.consignments import lists, paper, taking, views

app_name = "consignments"
urlpatterns = [
    path("", lists.consignments, name="list"),
    path("nothing-agreed/", lists.unagreed, name="unagreed"),
    path("new/", taking.take, name="take"),
    path("agree/", taking.agree, name="agree"),
    path("<int:number>/", views.consignment, name="consignment"),
    path("<int:number>/buy-in/", views.buy_in, name="buy-in"),
    path("<int:number>/give-back/", views.give_back, name="give-back"),
    path("<int:number>/given-back/<int:posting>/", paper.given_back, name="paper"),
]
