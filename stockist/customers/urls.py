"""The addresses of customers and their cars."""

from __future__ import annotations

from django.urls import path

from stockist.customers import cars, views

app_name = "customers"
urlpatterns = [
    path("", views.customers, name="list"),
    path("new/", views.make, name="make"),
    path("<int:number>/", views.customer, name="customer"),
    path("<int:number>/change/", views.change, name="change"),
    path("<int:number>/cars/new/", cars.make, name="make-car"),
    path("cars/<int:number>/", cars.change, name="car"),
]
