"""Counts begun, what was counted, write-offs asked for."""

from __future__ import annotations

import factory
from factory.django import DjangoModelFactory

from inventory.models.count import Count, CountLine
from inventory.models.write_off import WriteOff
from tests.factories.people import UserFactory
from tests.factories.places import PlaceFactory
from tests.factories.stock import LotFactory
from tests.factories.when import EARLIER


class CountFactory(DjangoModelFactory):
    """A place that is being counted."""

    class Meta:
        model = Count

    place = factory.SubFactory(PlaceFactory)
    site = factory.SelfAttribute("place.site")
    started_at = EARLIER
    started_by = factory.SubFactory(UserFactory)
    at_work_at = EARLIER
    at_work_by = factory.SelfAttribute("started_by")


class CountLineFactory(DjangoModelFactory):
    class Meta:
        model = CountLine

    count = factory.SubFactory(CountFactory)
    lot = factory.SubFactory(LotFactory)
    place = factory.SelfAttribute("count.place")
    counted = 3
    ledger_said = 4
    counted_at = EARLIER
    counted_by = factory.SelfAttribute("count.started_by")


class WriteOffFactory(DjangoModelFactory):
    """Six tyres: another person is asked."""

    class Meta:
        model = WriteOff

    lot = factory.SubFactory(LotFactory)
    place = factory.SubFactory(PlaceFactory)
    quantity = 6
    reason = "damaged"
    alone_up_to = 4
    asked_at = EARLIER
    asked_by = factory.SubFactory(UserFactory)
