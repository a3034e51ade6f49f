"""Two people with one van at the same moment: one is done, the other gets a sentence."""

from __future__ import annotations

from functools import partial

import pytest

from inventory.activities import outings, transferring
from inventory.ground.retry import retried
from inventory.models.outing import Outing
from inventory.models.transfer import Transfer
from tests.factories.people import UserFactory
from tests.factories.places import PlaceFactory, SiteFactory
from tests.factories.stock import stock_in
from tests.factories.when import AT, TODAY
from tests.support.concurrency import at_once

pytestmark = pytest.mark.django_db(transaction=True)


def split(answers, refusal):
    refused = [one for one in answers if isinstance(one, Exception)]
    assert {type(one) for one in refused} == {refusal}
    return len(answers) - len(refused), len(refused)


def test_taken_out_once_and_unloaded_once():
    by, van = UserFactory(), SiteFactory(van=True)
    lies = stock_in(on_hand=4)
    PlaceFactory(site=lies.place.site, in_transit=True)
    told = {"van": van, "home": lies.place.site, "day": TODAY, "by": by, "at": AT}
    works = [partial(outings.open_outing, meeting=name, **told) for name in ("North", "South")]
    assert split(at_once(*works), outings.OutAlready) == (1, 1)
    outing = Outing.objects.get()
    load = transferring.Load(lies.lot, lies.place, 4)
    into = PlaceFactory(site=van)
    outings.load(outing=outing, loads=[load], into=into, by=by, at=AT)
    work = partial(outings.unload, outing=outing, into=lies.place, by=by, at=AT)
    works = [partial(retried, work)] * 2
    assert split(at_once(*works), outings.BackAlready) == (1, 1)
    assert Transfer.objects.count() == 2
