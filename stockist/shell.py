"""What every page shows around its own content: the shop's name, and the rooms one may enter."""

from __future__ import annotations

from dataclasses import dataclass

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse


@dataclass(frozen=True, slots=True)
class Room:
    """One entry of the head: its name, its address, and whether this page lies in it."""

    name: str
    address: str
    here: bool


# Name, address, the permission that opens it.
ROOMS = (
    ("Counter", "counter:ask", "fitments.view_variant"),
    ("Customers", "customers:list", "inventory.view_customer"),
    ("Orders", "selling:orders", "inventory.view_order"),
    ("Picking", "picks:home", "inventory.view_picklist"),
    ("Warehouse", "goods_in:home", "inventory.view_delivery"),
    ("Storage", "storage:list", "inventory.view_storage"),
    ("Vans", "vans:list", "inventory.view_outing"),
    ("Approvals", "approvals:register", "fitments.view_approval"),
    ("Buying", "purchasing:orders", "inventory.view_purchaseorder"),
    ("Reorder", "reorder:list", "inventory.view_alert"),
    ("Sheets", "sheets:list", "inventory.add_sku"),
    ("Jobs", "jobs:list", "ground.view_job"),
)
# Pages that lie in a room under another address than its own.
INSIDE = {
    "Orders": ("/holds/", "/quotes/", "/queue/"),
    "Picking": ("/despatches/", "/returns/", "/complaints/"),
    "Warehouse": ("/counts/", "/shelf/", "/labels/", "/consignments/"),
    "Reorder": ("/season/", "/ageing/"),
}


def home(request: HttpRequest) -> HttpResponse:
    """The first room that one may enter; the counter, for who has not signed in yet."""
    may = (route for _, route, permission in ROOMS if request.user.has_perm(permission))
    return redirect(next(may, "counter:ask"))


def around(request: HttpRequest) -> dict[str, object]:
    """The context processor."""
    rooms = []
    for name, route, permission in ROOMS:
        if request.user.has_perm(permission):
            address = reverse(route)
            here = request.path.startswith((address, *INSIDE.get(name, ())))
            rooms.append(Room(name, address, here))
    if request.user.is_authenticated and request.user.is_staff:
        rooms.append(Room("Back office", reverse("admin:index"), False))
    return {"shop_name": settings.SHOP_NAME, "rooms": rooms}
