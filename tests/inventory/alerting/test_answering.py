"""What a buyer says to an alert, and what is refused."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import IntegrityError, transaction

from inventory.activities import alerting, seasons
from inventory.activities.alerting.answering import (
    LeaveUntilALaterDay,
    NotANumberToOrder,
    SayWhy,
    TrueNoMore,
)
from inventory.ground.entries.faults import Faulty
from inventory.models.alert import AlertOverride
from inventory.models.season import SeasonChange
from tests.factories.people import UserFactory
from tests.factories.planning import AgeingAlertFactory, AlertFactory, SeasonChangeFactory
from tests.factories.when import AT, TODAY

pytestmark = pytest.mark.django_db
LATER = TODAY + timedelta(days=20)


@pytest.fixture
def buyer():
    return UserFactory()


def test_the_first_who_sees_to_it_is_kept(buyer):
    alert = AlertFactory()
    alerting.acknowledge(alert=alert, by=buyer, at=AT)
    alerting.acknowledge(alert=alert, by=UserFactory(), at=AT + timedelta(hours=1))
    alert.refresh_from_db()
    assert (alert.acknowledged_by, alert.acknowledged_at) == (buyer, AT)


@pytest.mark.parametrize("factory", [AlertFactory, AgeingAlertFactory])
def test_what_has_ended_is_not_answered(factory, buyer):
    ended = factory(ended=True)
    with pytest.raises(TrueNoMore, match="true no more"):
        alerting.acknowledge(alert=ended, by=buyer, at=AT)
    with pytest.raises(TrueNoMore):
        alerting.leave(alert=ended, until=LATER, why="x", by=buyer, at=AT)


def test_left_until_a_later_day_with_a_reason(buyer):
    alert = AlertFactory()
    for until in (TODAY, TODAY - timedelta(days=1)):
        with pytest.raises(LeaveUntilALaterDay, match="after today"):
            alerting.leave(alert=alert, until=until, why="x", by=buyer, at=AT)
    with pytest.raises(SayWhy):
        alerting.leave(alert=alert, until=LATER, why="  ", by=buyer, at=AT)
    with pytest.raises(Faulty):
        alerting.leave(alert=alert, until=LATER, why="x" * 241, by=buyer, at=AT)
    assert alerting.leave(alert=alert, until=LATER, why="x", by=buyer, at=AT).left_until == LATER


def test_another_number_stands_beside_the_tools_own(buyer):
    alert = AlertFactory(pieces=8)
    alerting.override(alert=alert, pieces=0, why="none this year", by=buyer, at=AT)
    alerting.override(alert=alert, pieces=None, why="as the tool says", by=buyer, at=AT)
    said = list(AlertOverride.objects.order_by("pk").values_list("pieces", "tool_pieces"))
    assert said == [(0, 8), (None, 8)]
    for pieces in (-1, 100_001):
        with pytest.raises(NotANumberToOrder, match=r"0 to 100,000"):
            alerting.override(alert=alert, pieces=pieces, why="x", by=buyer, at=AT)
    with pytest.raises(SayWhy):
        alerting.override(alert=alert, pieces=4, why="", by=buyer, at=AT)


def test_what_was_said_is_written_once(buyer):
    said = alerting.override(alert=AlertFactory(), pieces=4, why="x", by=buyer, at=AT)
    said.pieces = 9
    with pytest.raises(IntegrityError, match="written once"), transaction.atomic():
        said.save()


def test_a_change_of_the_season_is_taken_back_once(buyer):
    change = SeasonChangeFactory()
    with pytest.raises(seasons.SayWhyTakenBack):
        seasons.take_back(change=change, why=" ", by=buyer, at=AT)
    seasons.take_back(change=change, why="put off", by=buyer, at=AT)
    with pytest.raises(seasons.ChangeTakenBack):
        seasons.take_back(change=change, why="again", by=buyer, at=AT)
    with pytest.raises(IntegrityError, match="written once"), transaction.atomic():
        SeasonChange.objects.filter(pk=change.pk).update(percent=10)


def test_a_change_needs_a_reason_and_changes_something(buyer):
    said = {"category": "road", "first_day": TODAY, "last_day": LATER, "by": buyer, "at": AT}
    with pytest.raises(Faulty):
        seasons.say_change(percent=0, why="x", **said)
    with pytest.raises(Faulty):
        seasons.say_change(percent=10, why="", **said)
    assert seasons.say_change(percent=-30, why="a road is closed", **said).factor == 0.7
