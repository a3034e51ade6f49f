"""Organisers and their classes in the back office."""

from __future__ import annotations

from django.contrib import admin

from fitments.activities import organisers
from fitments.models.organiser import CompetitionClass, Organiser
from inventory.ground.backoffice.entering import Kept


@admin.register(Organiser)
class OrganiserAdmin(Kept):
    fields = ("code", "name")
    list_display = ("name", "code")
    search_fields = ("name", "code")
    ordering = ("name", "pk")
    make = staticmethod(organisers.make_organiser)
    change = staticmethod(organisers.change_organiser)
    called = "organiser"


@admin.register(CompetitionClass)
class CompetitionClassAdmin(Kept):
    fields = (
        *("organiser", "code", "season", "edition", "name", "age_limit_months"),
        *("buffing_allowed", "variants"),
    )
    list_display = ("code", "organiser", "season", "edition", "name", "age_limit_months")
    list_filter = ("season", "organiser")
    search_fields = ("code", "name", "organiser__name")
    autocomplete_fields = ("organiser", "variants")
    ordering = ("-season", "organiser__name", "name", "pk")
    joined = ("organiser",)
    make = staticmethod(organisers.make_class)
    change = staticmethod(organisers.change_class)
    called = "competition_class"
