"""Vans that are taken to meetings."""

from __future__ import annotations

import factory
from factory.django import DjangoModelFactory

from inventory.models.outing import Outing
from tests.factories.people import UserFactory
from tests.factories.places import SiteFactory
from tests.factories.when import EARLIER, TODAY


class OutingFactory(DjangoModelFactory):
    class Meta:
        model = Outing

    van = factory.SubFactory(SiteFactory, van=True)
    home = factory.SubFactory(SiteFactory)
    meeting = factory.Sequence(lambda n: f"Harrowmere hill climb {n}")
    day = TODAY
    opened_at = EARLIER
    opened_by = factory.SubFactory(UserFactory)
