"""Organisers' lists by season and edition, last season's too; the card of a set for a class."""

from __future__ import annotations

from typing import Any

from django import forms
from django.db.models import Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET

from fitments.lookup.classes import admitted_by, as_known, was_known
from fitments.lookup.register import end_of, register_of
from fitments.models.organiser import CompetitionClass
from inventory.ground.uploads.serving import attachment
from inventory.models.hold import Hold
from stockist.approvals.card import card_of
from stockist.approvals.card_paper import drawn
from stockist.approvals.register import HEADS, row_of
from stockist.inputs import day_input
from stockist.listing import Cell, Row, table
from stockist.steps import looking

LIST_HEADS = ("Class", "Organiser", "Season", "Edition", "Age limit", "Buffing")


class ListsForm(forms.Form):
    """Which lists."""

    q = forms.CharField(label="Organiser or class", max_length=80, required=False)
    season = forms.IntegerField(label="Season", min_value=1900, max_value=2100, required=False)


class DaysForm(forms.Form):
    """As known on one day, in force on another."""

    known_on = forms.DateField(
        label="As known on", required=False, widget=day_input(), help_text="Empty: as known now."
    )
    in_force_on = forms.DateField(
        label="In force on", required=False, widget=day_input(), help_text="Empty: any day."
    )


class CardForm(forms.Form):
    """For which set that is held."""

    hold = forms.CharField(label="Number of the hold, as HO-00012", max_length=20)

    def clean_hold(self) -> Hold:
        figures = self.cleaned_data["hold"].strip().upper().removeprefix("HO-")
        known = figures.isascii() and figures.isdecimal() and len(figures) < 10
        rows = Hold.objects.select_related("car")
        found = rows.filter(pk=int(figures)).first() if known else None
        if found is None:
            raise forms.ValidationError("There is no hold of this number.")
        return found


@looking("fitments.view_competitionclass")
@require_GET
def lists(request: HttpRequest) -> HttpResponse:
    """Which lists are on record, of which season and edition?"""
    form = ListsForm(request.GET or {})
    rows = CompetitionClass.objects.select_related("organiser")
    if not form.is_valid():
        rows = rows.none()
    else:
        if form.cleaned_data["season"]:
            rows = rows.filter(season=form.cleaned_data["season"])
        for word in form.cleaned_data["q"].split():
            alike = Q(name__icontains=word) | Q(organiser__name__icontains=word)
            rows = rows.filter(alike | Q(code__icontains=word))
    ordered = rows.order_by("-season", "organiser__name", "name", "edition", "pk")
    context = {
        "title": "What do the organisers' lists say?",
        "form": form,
        "table": table(request, ordered, LIST_HEADS, _row),
        "empty": "No list like that. Load the sheet of classes, and the list as approvals.",
        "doors": [("The register", reverse("approvals:register"))],
    }
    return render(request, "stockist/list.html", context)


@looking("fitments.view_competitionclass")
@require_GET
def one_list(request: HttpRequest, number: int) -> HttpResponse:
    """One class in one edition: its terms, and the tyres on its list."""
    return _page(request, number, CardForm())


@looking("inventory.view_hold")
@require_GET
def card(request: HttpRequest, number: int) -> HttpResponse:
    """The card of a set that is held, as PDF."""
    form = CardForm(request.GET)
    if not form.is_valid():
        return _page(request, number, form, status=400)
    row = get_object_or_404(_rows(), pk=number)
    hold: Hold = form.cleaned_data["hold"]
    data = drawn(card_of(hold, row, at=timezone.now()))
    return attachment(data, name=f"card-{hold.number}.pdf", media_type="application/pdf")


def _rows() -> Any:
    return CompetitionClass.objects.select_related("organiser")


def _page(request: HttpRequest, number: int, form: CardForm, status: int = 200) -> HttpResponse:
    at = timezone.now()
    row = get_object_or_404(_rows(), pk=number)
    days = DaysForm(request.GET or {})
    asked = days.cleaned_data if days.is_valid() else {}
    known_on, on = asked.get("known_on"), asked.get("in_force_on")
    moment = end_of(known_on) if known_on else at
    then = as_known(row, moment) or row
    mine = register_of(known_on=known_on, in_force_on=on, at=at)
    mine = mine.filter(approval__competition_class=row).order_by("approval__code", "pk")
    day = on or known_on or timezone.localdate(at)
    context = {
        "list": then,
        "days": days,
        "known_on": known_on,
        "in_force_on": on,
        "on_record": known_on is None or was_known(row, moment),
        "table": table(request, mine, HEADS, lambda one: row_of(one, known_on, day, at)),
        "empty": "No tyre of its list is on record: load the list as approvals.",
        "admitted": admitted_by(then)[:200],
        "form": form,
        "may_print": request.user.has_perm("inventory.view_hold"),
    }
    return render(request, "approvals/class.html", context, status=status)


def _row(row: CompetitionClass) -> Row:
    limit = f"{row.age_limit_months} months" if row.age_limit_months else ""
    buffing = {True: "allowed", False: "not allowed", None: ""}[row.buffing_allowed]
    cells = (
        Cell(row.organiser.name), Cell(str(row.season), number=True), Cell(row.edition),
        Cell(limit), Cell(buffing),
    )  # fmt: skip
    return Row(row.name, reverse("approvals:list", args=[row.pk]), cells)
