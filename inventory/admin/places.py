"""Sites and places in the back office."""

from __future__ import annotations

from django.contrib import admin

from inventory.activities import cataloguing
from inventory.ground.backoffice.entering import Kept
from inventory.models.place import Place, Site


@admin.register(Site)
class SiteAdmin(Kept):
    fields = ("code", "name", "kind")
    list_display = ("code", "name", "kind")
    list_filter = ("kind",)
    search_fields = ("code", "name")
    ordering = ("code",)
    make = staticmethod(cataloguing.make_site)
    change = staticmethod(cataloguing.change_site)
    called = "site"


@admin.register(Place)
class PlaceAdmin(Kept):
    fields = ("site", "code", "kind", "walk", "room")
    list_display = ("code", "site", "kind", "walk", "room")
    list_filter = ("kind", "site")
    search_fields = ("code", "site__name")
    autocomplete_fields = ("site",)
    ordering = ("site__code", "walk", "pk")
    joined = ("site",)
    make = staticmethod(cataloguing.make_place)
    change = staticmethod(cataloguing.change_place)
    called = "place"
