"""Over the API, too, no promise for a car comes after its approval was withdrawn."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import transaction
from django.utils import timezone

from fitments.activities.approvals import withdraw
from fitments.models.approval import Approval, ApprovalVersion
from inventory.activities import holding
from inventory.activities.holding import hold_pieces, hold_sets
from inventory.availability import Need
from inventory.models.hold import Hold
from inventory.models.sale import Order
from inventory.promising import ApprovalWithdrawn, held_from
from tests.factories.approvals import approved_car
from tests.factories.catalogue import SkuFactory, TypeApprovalFactory
from tests.factories.people import UserFactory
from tests.factories.sending import Shop, four_alike
from tests.support.calling import refused, write
from tests.support.concurrency import at_once


@pytest.fixture
def by():
    return UserFactory()


@pytest.fixture
def car():
    return approved_car()


@pytest.fixture
def sku():
    """Eight sets of an E-marked tyre in stock."""
    found = SkuFactory()
    TypeApprovalFactory(sku=found)
    Shop().stock(32, sku=found)
    return found


def withdraw_all(by, codes=("AP-front", "AP-rear")):
    at = timezone.now()
    for one in Approval.objects.filter(code__in=codes).order_by("code"):
        withdraw(approval=one, why="the maker's letter of today", by=by, at=at)


def kept(car, sku, by, number=1):
    """So many holds of a set each, made before anything is withdrawn."""
    at = timezone.now()
    said = {"customer": car.customer, "car": car, "what": "four", "said": {"use": "road"}}
    until, need = at + timedelta(days=3), Need(None, four_alike(sku))
    return [*hold_sets(need=need, sets=number, until=until, by=by, at=at, **said)]


def asks_hold(car, sku):
    need = {"places": [{"name": axle, "skus": [sku.pk], "count": 2} for axle in ("front", "rear")]}
    until = (timezone.now() + timedelta(days=3)).isoformat()
    whom = {"customer": car.customer_id, "car": car.pk}
    return {**whom, "need": need, "what": "four", "until": until}


def asks_order(car, *asks, **more):
    return {"customer": car.customer_id, "car": car.pk, "asks": list(asks), **more}


@pytest.mark.django_db
class TestToldOverTheApi:
    def test_a_set(self, api, car, sku, by):
        assert write(api("counter"), "post", "holds/", asks_hold(car, sku)).status_code == 201
        withdraw_all(by)
        told = refused(write(api("counter"), "post", "holds/", asks_hold(car, sku)), 409)
        assert "its approval was withdrawn (AP-front by" in told["detail"]
        assert "AP-rear by" in told["detail"]
        assert Hold.objects.count() == 1

    def test_pieces_that_may_go_on_the_other_axle_are_held(self, api, car, sku, by):
        withdraw_all(by, codes=["AP-front"])
        at = timezone.now()
        asked = {"customer": car.customer, "car": car, "sku": sku, "quantity": 2, "by": by}
        assert hold_pieces(**asked, until=at + timedelta(days=1), at=at)
        withdraw_all(by, codes=["AP-rear"])
        at = timezone.now()
        with pytest.raises(ApprovalWithdrawn, match=r"AP-front .*; AP-rear "):
            hold_pieces(**asked, until=at + timedelta(days=1), at=at)

    def test_an_order_of_a_set_unless_the_customer_knows(self, api, car, sku, by):
        withdraw_all(by)
        ask = {key: asks_hold(car, sku)[key] for key in ("need", "what")}
        told = refused(write(api("counter"), "post", "orders/", asks_order(car, ask)), 409)
        assert "say so on the order" in told["detail"]
        assert not Order.objects.exists()
        knows = write(api("counter"), "post", "orders/", asks_order(car, ask, knowing=True))
        assert knows.status_code == 201, knows.content

    def test_more_on_a_line_but_not_what_is_missing_of_it(self, api, car, sku, by):
        ask = {key: asks_hold(car, sku)[key] for key in ("need", "what")}
        told = write(api("counter"), "post", "orders/", asks_order(car, ask)).json()
        line = f"order-lines/{told['lines'][0]['id']}/"
        withdraw_all(by)
        more = {"quantity": 2}
        refused(write(api("counter"), "post", f"{line}change/", more), 409, "was withdrawn")
        assert Hold.objects.count() == 1
        holding.release(hold=Hold.objects.get(), why="dropped", by=by, at=timezone.now())
        again = write(api("counter"), "post", f"{line}hold/")
        assert again.status_code == 200, again.content

    def test_what_is_for_no_car_rests_on_the_shelf_alone(self, api, car, sku, by):
        withdraw_all(by)
        asked = {**asks_hold(car, sku), "car": None}
        assert write(api("counter"), "post", "holds/", asked).status_code == 201

    def test_one_question_more_where_nothing_was_withdrawn(
        self, car, sku, by, django_assert_max_num_queries, settings
    ):
        settings.REGISTER = ""
        kept(car, sku, by)
        with django_assert_max_num_queries(100) as alone:
            kept(car, sku, by)
        settings.REGISTER = "fitments.release.promising"
        # Lock and moment, the tyres that are held, and whether anything was withdrawn.
        with django_assert_max_num_queries(len(alone) + 4):
            kept(car, sku, by)


@pytest.mark.django_db(transaction=True)
class TestAtTheSameTime:
    def test_a_withdrawal_waits_for_an_order_under_way(self, car, sku, by, someone_else):
        with transaction.atomic():
            moment = held_from(timezone.now())
            waiting = someone_else.start(lambda: withdraw_all(by))
            with pytest.raises(TimeoutError):
                waiting.result(0.3)
        waiting.result(30)
        known = ApprovalVersion.objects.filter(withdrawn_on__isnull=False)
        assert known.count() == 2
        assert all(moment < version.known.lower for version in known)

    def test_orders_from_holds_and_new_holds_while_one_withdraws(self, api, car, sku, by):
        """None that began before is lost, none comes after: what was made is older than it."""
        holds = kept(car, sku, by, 3)
        api("counter")  # the person is made before they all come
        answers = at_once(
            *[
                lambda one=one: (
                    write(
                        api("counter"), "post", "orders/", asks_order(car, {"hold": one.pk})
                    ).status_code
                )
                for one in holds
            ],
            lambda: withdraw_all(by),
            *[
                lambda: write(api("counter"), "post", "holds/", asks_hold(car, sku)).status_code
                for _ in range(3)
            ],
        )
        assert not [one for one in answers if isinstance(one, Exception)], answers
        withdrawn = ApprovalVersion.objects.filter(withdrawn_on__isnull=False)
        first = min(version.known.lower for version in withdrawn)
        assert all(order.made_at < first for order in Order.objects.all())
        assert all(hold.made_at < first for hold in Hold.objects.all())
        assert set(answers) <= {201, 409, None}
        assert Order.objects.count() == answers[:3].count(201)
        assert Hold.objects.count() == 3 + answers[4:].count(201)
        late = write(api("counter"), "post", "holds/", asks_hold(car, sku))
        assert late.status_code == 409
