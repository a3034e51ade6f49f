"""The buyer of the demo: one thing that will be otherwise, and the night's reckoning once."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from django.contrib.auth.models import User
from django.utils import timezone

from inventory.activities import enquiring, seasons
from inventory.ground.jobs.kinds import Work
from inventory.models.alert import AgeingAlert, Alert
from inventory.models.season import Event, SeasonChange
from inventory.tasks import ageing_alerts, reorder_alerts

# Days ago, size, pieces, for which car.
ASKED_FOR = (
    (200, "7.50-16", 4, "a pre-war lorry"),
    (90, "7.50-16", 6, "the same lorry, with its spares"),
    (41, "145 R 13", 4, ""),
    (17, "165 R 400", 2, "seen on a saloon of 1961"),
)
JUBILEE = "Marbury Linnet jubilee"


def reckoned(*, at: datetime) -> str:
    """Say what will be otherwise and find what will run out, once; what came of it, in words."""
    if Alert.objects.exists() or AgeingAlert.objects.exists():
        return "there already"
    _otherwise(at)
    _asked(at)
    night = Work(0, timezone.localdate(at).isoformat(), {}, None, at)
    reorder_alerts(night, None)
    ageing_alerts(night, None)
    told = Alert.objects.count(), AgeingAlert.objects.count()
    return "{} SKUs may run out, {} lots grow old".format(*told)


def _asked(at: datetime) -> None:
    """Who asked for a size and went away: of one there is none in the house, of others some."""
    counter = User.objects.get(username="counter")
    for days, size, pieces, car in ASKED_FOR:
        asked = at - timedelta(days=days)
        enquiring.record(size=size, pieces=pieces, car=car, by=counter, at=asked)


def _otherwise(at: datetime) -> None:
    event = Event.objects.filter(name=JUBILEE).order_by("pk").first()
    if event is None or SeasonChange.objects.exists():
        return
    first: date = event.first_day
    seasons.say_change(
        category=event.category,
        first_day=first.replace(day=1),
        last_day=event.last_day,
        percent=25,
        why="The Linnet club expects four hundred cars, which comes once in seventy years.",
        event=event,
        by=User.objects.get(username="buyer"),
        at=at,
    )
