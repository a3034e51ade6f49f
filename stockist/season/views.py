"""The season: its curve by category, its calendar, what will be otherwise, and its plan."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.conf import settings
from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from inventory import reordering
from inventory.activities import seasons
from inventory.ground.refusal import Refusal
from inventory.models.season import Category, Event, SeasonChange
from inventory.planning import Seasons
from inventory.planning.words import MONTHS, pieces
from inventory.reordering import Outlook
from stockist.reorder.taught import taught
from stockist.season.forms import ChangeForm, TakeBackForm
from stockist.steps import by, doing, looking, told

ON_A_PAGE = 40
LOOK = "inventory.view_season"


@dataclass(frozen=True, slots=True)
class Curve:
    """What each month of the year counts for, January first; ``units`` it rests on."""

    category: str
    months: tuple[str, ...]
    units: str
    best: str


@looking(LOOK)
@require_GET
def season(request: HttpRequest) -> HttpResponse:
    """What each month counts for, what is in the calendar, what will be otherwise."""
    return _season(request)


def _season(
    request: HttpRequest, *, form: ChangeForm | None = None, refused: str = "", status: int = 200
) -> HttpResponse:
    at = timezone.now()
    today = timezone.localdate(at)
    learnt = taught(at)
    standing = SeasonChange.objects.standing().filter(last_day__gte=today)
    events = Event.objects.filter(last_day__gte=today).order_by("first_day", "pk")
    asked = request.GET.copy()
    asked.pop("page", None)
    context = {
        "season": reordering.season_on(today),
        "curves": _curves(learnt.kept.lessons.seasons),
        "months": MONTHS,
        "learnt": learnt,
        "years": learnt.kept.lessons.seasons.years,
        "written_down": f"{learnt.kept.lessons.written_down:.0%}".replace("%", " %"),
        "changes": standing.select_related("made_by", "event").order_by("first_day", "pk"),
        "shown": Paginator(events, ON_A_PAGE).get_page(request.GET.get("page")),
        "asked": asked.urlencode(),
        "may_say": request.user.has_perm("inventory.add_seasonchange"),
        "may_take_back": request.user.has_perm("inventory.change_seasonchange"),
        "form": form or ChangeForm(today=today),
        "back": TakeBackForm(),
        "refused": refused,
    }
    return render(request, "season/season.html", context, status=status)


def _outlook(at: datetime) -> Outlook:
    return reordering.outlook(at=at, limit_months=settings.HOUSE_AGE_LIMIT_MONTHS)


def _curves(seasons: Seasons) -> list[Curve]:
    index, units = seasons.index, seasons.units
    return [
        Curve(
            str(category.label),
            tuple(f"{value:.2f}" for value in index[n]),
            pieces(float(units[n])),
            MONTHS[int(index[n].argmax())] if units[n] > 0 else "",
        )
        for n, category in enumerate(Category)
    ]


@doing("inventory.add_seasonchange")
@require_POST
def say(request: HttpRequest) -> HttpResponse:
    """Say that a category will sell more, or less, than its season."""
    form = ChangeForm(request.POST, today=timezone.localdate())
    if form.is_valid():
        said = {name: one for name, one in form.cleaned_data.items() if name != "idempotency_key"}
        try:
            seasons.say_change(by=by(request), at=timezone.now(), **said)
        except Refusal as refusal:
            told(form, refusal)
        else:
            messages.success(request, "Kept: it counts from the next reckoning on.")
            return redirect("season:season")
    return _season(request, form=form, status=400)


@doing("inventory.change_seasonchange")
@require_POST
def take_back(request: HttpRequest, number: int) -> HttpResponse:
    """Take a change back, with the reason."""
    change = get_object_or_404(SeasonChange, pk=number)
    form = TakeBackForm(request.POST)
    if not form.is_valid():
        return _season(request, refused="Say why the change is taken back.", status=400)
    try:
        seasons.take_back(
            change=change, why=form.cleaned_data["why"], by=by(request), at=timezone.now()
        )
    except Refusal as refusal:
        return _season(request, refused=refusal.sentence, status=refusal.status)
    messages.success(request, "Taken back.")
    return redirect("season:season")
