"""An approval withdrawn between the counter's answer and the order is told before the order."""

from __future__ import annotations

from datetime import timedelta

import pytest

from fitments.activities.approvals import withdraw
from fitments.models.approval import Approval
from inventory.activities.holding import hold_sets
from inventory.activities.ordering import AskHold, AskQuote, refusals, take_order
from inventory.activities.quoting import give_quote
from inventory.availability import Need
from inventory.models.hold import Hold
from inventory.models.sale import Order
from inventory.promising import ApprovalWithdrawn
from tests.factories.approvals import approved_car
from tests.factories.catalogue import SkuFactory, TypeApprovalFactory
from tests.factories.people import UserFactory
from tests.factories.sending import Shop, four_alike, held_as_lines_say
from tests.factories.when import AT, TODAY

pytestmark = pytest.mark.django_db


@pytest.fixture
def by():
    return UserFactory()


@pytest.fixture
def car():
    return approved_car()


@pytest.fixture
def need():
    """Two sets of an E-marked tyre in stock."""
    sku = SkuFactory()
    TypeApprovalFactory(sku=sku)
    Shop().stock(8, sku=sku)
    return Need(None, four_alike(sku))


def withdrawn(by):
    """Both approvals withdrawn; the moment after which that is known."""
    for one in Approval.objects.order_by("code"):
        said = withdraw(approval=one, on=TODAY, why="letter of today", by=by, at=AT)[-1]
    return said.known.lower + timedelta(seconds=1)


def order(ask, car, by, at, **told):
    return take_order(customer=car.customer, car=car, asks=[ask], by=by, at=at, **told)


def held(need, car, by, at=AT):
    told = {"customer": car.customer, "car": car, "what": "four alike", "by": by, "at": at}
    return hold_sets(need=need, until=at + timedelta(days=300), said={"use": "road"}, **told)[0]


def test_nothing_has_changed(need, car, by):
    assert order(AskHold(hold=held(need, car, by)), car, by, AT).lines.count() == 1


def test_what_was_held(need, car, by):
    ask = AskHold(hold=held(need, car, by))
    known = withdrawn(by)
    with pytest.raises(refusals.NotApprovedAnyMore, match="and not any more") as told:
        order(ask, car, by, known)
    assert told.value.field == "knowing"
    assert not Order.objects.exists()
    assert ask.hold.order_line is None
    assert held_as_lines_say()
    order(ask, car, by, known, knowing=True)
    assert Hold.objects.get().order_line is not None


def test_what_was_quoted(need, car, by):
    told = {"customer": car.customer, "car": car, "what": "four alike", "by": by, "at": AT}
    ask = AskQuote(quote=give_quote(need=need, good_until=TODAY + timedelta(days=300), **told))
    known = withdrawn(by)
    with pytest.raises(refusals.NotApprovedAnyMore):
        order(ask, car, by, known)
    assert not Order.objects.exists()
    assert not Hold.objects.exists()
    assert order(ask, car, by, known, knowing=True).lines.count() == 1


def test_withdrawn_before_the_customer_was_told(need, car, by):
    known = withdrawn(by)
    with pytest.raises(ApprovalWithdrawn, match="AP-front by"):
        held(need, car, by, at=known)
    assert not Hold.objects.exists()
