"""As long as it is the consignor's nobody is promised it, and no plan counts on it."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from inventory import reordering
from inventory.activities import consigning
from inventory.activities.consigning import Part
from inventory.activities.holding import hold_pieces, hold_sets
from inventory.activities.holding.refusals import NoSet, NotEnough
from inventory.activities.preordering import queue
from inventory.availability import Need, prospects, stock_of
from tests.factories.buying import ExpectedDeliveryFactory
from tests.factories.catalogue import SkuFactory
from tests.factories.consigning import consigned
from tests.factories.people import CustomerFactory, UserFactory
from tests.factories.sending import four_alike
from tests.factories.when import AT

pytestmark = pytest.mark.django_db
LATER = AT + timedelta(days=2)


@pytest.fixture
def by():
    return UserFactory()


@pytest.fixture
def sku():
    return SkuFactory()


@pytest.fixture
def here(sku):
    """Four of the SKU on consignment: the consignment and where they lie."""
    return consigned(4, sku=sku)


def bought(here, by, quantity=4):
    row, balance = here
    parts = [Part(balance.lot, balance.place, quantity)]
    return consigning.buy_in(consignment=row, parts=parts, by=by, at=AT)


def four(sku):
    return Need(None, four_alike(sku))


def test_the_counters_figures_and_sets(here, sku, by):
    found = stock_of([sku.pk], at=AT)[sku.pk]
    assert (found.to_sell, found.not_ours) == (0, 4)
    (prospect,) = prospects([four(sku)], at=AT)
    assert prospect.at_hand.sets == 0
    bought(here, by)
    found = stock_of([sku.pk], at=AT)[sku.pk]
    assert (found.to_sell, found.not_ours) == (4, 0)
    (prospect,) = prospects([four(sku)], at=AT)
    assert prospect.at_hand.sets == 1


def test_holds_of_sets_and_of_pieces(here, sku, by):
    told = {"customer": CustomerFactory(), "until": LATER, "by": by, "at": AT}
    with pytest.raises(NoSet):
        hold_sets(need=four(sku), what="four alike", **told)
    with pytest.raises(NotEnough, match="0 of"):
        hold_pieces(sku=sku, quantity=1, **told)
    (step,) = bought(here, by).steps
    (hold,) = hold_sets(need=four(sku), what="four alike", **told)
    assert {line.lot for line in hold.lines.all()} == {step.into}


def test_whoever_waits_is_served_when_they_are_bought_in(sku, by):
    ExpectedDeliveryFactory(sku=sku, quantity=8)
    told = {"what": "four alike", "promised_on": date(2027, 6, 1), "if_short": "wait"}
    waits = queue(customer=CustomerFactory(), need=four(sku), by=by, at=AT, **told)
    here = consigned(5, sku=sku)
    waits.refresh_from_db()
    assert waits.hold is None
    assert bought(here, by, 3).turn.served == ()
    (hold,) = bought(here, by, 1).turn.served
    waits.refresh_from_db()
    assert (waits.hold, waits.state) == (hold, "served")


def test_the_reorder_plan(here, sku, by):
    def on_hand():
        return int(
            reordering.outlook(at=AT, limit_months=72).situation.position.shelf.on_hand.sum()
        )

    assert on_hand() == 0
    bought(here, by, 3)
    assert on_hand() == 3
