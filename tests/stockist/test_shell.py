"""The rooms at the head of each page: whose they are, and which of them one is in."""

from __future__ import annotations

import pytest
from django.test import RequestFactory
from django.urls import URLResolver

from stockist import urls
from stockist.shell import ROOMS, around

# Not pages of a room: programs, papers to print, the back office, and the door.
OUTSIDE = ("api/", "papers/", "admin/")


def leads(patterns, before: str = ""):
    """The first step of every address of the house: `holds/`, `goods-in/`."""
    for one in patterns:
        here = before + str(one.pattern)
        if isinstance(one, URLResolver) and not here and not before:
            yield from leads(one.url_patterns, here)
        elif isinstance(one, URLResolver) or here.count("/") > 1:
            yield here.split("/")[0] + "/"


def named_here(path: str, person) -> list[str]:
    request = RequestFactory().get(path)
    request.user = person
    return [room.name for room in around(request)["rooms"] if room.here]


@pytest.mark.django_db
def test_every_address_lies_in_one_room(owner_person):
    found = {lead for lead in leads(urls.urlpatterns) if not lead.startswith(OUTSIDE)}
    assert {"counter/", "holds/", "consignments/", "season/"} <= found
    for lead in found:
        assert len(named_here(f"/{lead}", owner_person)) == 1, lead


@pytest.mark.django_db
def test_a_room_that_is_not_open_to_somebody_is_not_shown(warehouse_person):
    request = RequestFactory().get("/")
    request.user = warehouse_person
    shown = {room.name for room in around(request)["rooms"]}
    assert shown == {name for name, _, right in ROOMS if warehouse_person.has_perm(right)}
    assert "Warehouse" in shown
