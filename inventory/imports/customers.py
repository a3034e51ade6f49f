"""The sheet of customers, each known by its name."""

from __future__ import annotations

from inventory.activities.cataloguing.customers import CUSTOMERS
from inventory.ground.sheets.columns import of
from inventory.ground.sheets.registered import RegisterSheet
from inventory.models.customer import Customer


class Customers(RegisterSheet):
    """One row a customer."""

    name = "customers"
    title = "Customers"
    model = Customer
    into = CUSTOMERS
    key = ("name",)
    columns = (
        of(Customer, "name", example="Orrin Tasker"),
        of(Customer, "kind", example="private"),
        of(Customer, "email", example="orrin@tasker.example"),
        of(Customer, "telephone", example="01632 960123"),
        of(Customer, "note"),
    )
