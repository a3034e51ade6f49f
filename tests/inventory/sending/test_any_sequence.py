"""Order, pick, pack, send and take back in any order, a wrong step now and then: the books hold.

Of pieces, and of matched sets with the tubes that go with them.
"""

from __future__ import annotations

from collections import Counter
from datetime import timedelta

import pytest
from django.db import transaction
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

from inventory.activities import despatching, picking, returning
from inventory.activities.ordering import AskSets, take_order
from inventory.activities.returning import CameBack
from inventory.availability import Need
from inventory.ground.refusal import Refusal
from inventory.ledger.moves import MOST
from inventory.ledger.reconcile import differences
from inventory.models.balance import Balance
from inventory.models.despatch import Despatch, DespatchLine
from inventory.models.hold import Hold, HoldLine
from inventory.models.lot import Lot
from inventory.models.pick import PickLine, PickList
from inventory.models.posting import LedgerLine, Posting
from inventory.models.returned import Return, ReturnLine
from inventory.models.sale import Order, OrderLine
from inventory.sets.recipe import Companion
from stockist.patrol import selling, sending
from tests.factories.catalogue import SkuFactory
from tests.factories.people import CustomerFactory, UserFactory
from tests.factories.sending import (
    Shop,
    a_line,
    an_order,
    four_alike,
    held_as_lines_say,
    hold_for,
)
from tests.factories.when import AT
from tests.support.drawing import times

pytestmark = pytest.mark.django_db
TABLES = (
    *(Balance, Posting, LedgerLine, Hold, HoldLine, Lot, Order, OrderLine, PickList, PickLine),
    *(Despatch, DespatchLine, Return, ReturnLine),
)
QUANTITIES = st.sampled_from([1, 1, 2, 3, 0, -1, 2.5, MOST + 1])
CHECKS = (*selling.CHECKS, *sending.CHECKS)


def everything():
    return [list(table.objects.order_by("pk").values()) for table in TABLES]


class Sending(RuleBasedStateMachine):
    """One shop, two lots of one tyre, its tubes, orders for pieces and for sets of four.

    ``reached``: over all sequences.
    """

    reached: Counter[str] = Counter()

    def __init__(self):
        super().__init__()
        self.around = transaction.atomic()
        self.around.__enter__()
        self.tom = UserFactory()
        self.shop, sku = Shop(), SkuFactory()
        codes = ("1425", "2125")
        self.lots = [
            self.shop.stock(6, sku=sku, rack=rack, date_code=codes[rack]) for rack in (0, 1)
        ]
        tube = SkuFactory(kind="tube")
        self.shop.stock(9, sku=tube, rack=2, date_code="")
        self.need = Need(None, four_alike(sku, companions=(Companion(tube.pk),)))
        self.customer = CustomerFactory()
        self.owned = 21
        self.at = AT

    def teardown(self):
        transaction.set_rollback(True)
        self.around.__exit__(None, None, None)

    def attempt(self, work, **values):
        """A step that may be refused; a refusal leaves everything as it was."""
        self.at += timedelta(minutes=1)
        before, refused = everything(), None
        try:
            with transaction.atomic():
                made = work(by=self.tom, at=self.at, **values)
                self.reached[type(made).__name__] += 1
                return made
        except Refusal as refusal:
            refused = refusal
            self.reached["refused"] += 1
        assert refused.sentence
        assert everything() == before
        return None

    def lists(self):
        return list(PickList.objects.order_by("pk"))

    @rule(rack=st.integers(0, 1), quantity=st.integers(1, 3), ordered=st.integers(0, 2))
    def order(self, rack, quantity, ordered):
        self.held(rack, quantity, ordered)

    @rule(
        rack=st.integers(0, 1),
        quantity=st.integers(1, 3),
        ordered=st.integers(0, 2),
        back=st.booleans(),
    )
    def order_and_send(self, rack, quantity, ordered, back):
        """They leave at once: part of the order, or all of it; and one comes back."""
        hold = self.held(rack, quantity, ordered)
        if not hold:
            return
        told = {"order": hold.order_line.order, "to_place": self.shop.gather}
        sent = self.go_on_with(self.attempt(picking.make_list, **told))
        if sent and back:
            self.come_back(sent.lines.get(), 1, "fitted", self.shop.racks[2])

    @rule(sets=st.sampled_from([1, 1, 2, 0]), pinned=st.booleans())
    def order_sets(self, sets, pinned):
        self.taken(sets, pinned)

    @rule(pinned=st.booleans(), found=st.sampled_from([None, 0, 1]))
    def order_a_set_and_send(self, pinned, found):
        """All the way; before that its first line may be short, and the rest is chosen again."""
        order = self.taken(1, pinned)
        told = {"order": order, "to_place": self.shop.gather}
        listed = self.attempt(picking.make_list, **told) if order else None
        if listed is None:
            return
        if found is not None:
            self.is_short(picking.standing(listed).to_pick[0], found)
        self.go_on_with(listed)
        listed.refresh_from_db()
        if listed.state == "sent":
            self.reached["set sent"] += 1

    @precondition(lambda self: Order.objects.exists())
    @rule(pick=st.integers(0, 9))
    def make_list(self, pick):
        orders = list(Order.objects.order_by("pk"))
        self.attempt(picking.make_list, order=orders[pick % len(orders)], to_place=self.shop.gather)

    @precondition(lambda self: PickLine.objects.exists())
    @rule(pick=st.integers(0, 9), quantity=QUANTITIES)
    def fetch(self, pick, quantity):
        lines = list(PickLine.objects.order_by("-pk").select_related("pick_list")[:10])
        line = lines[pick % len(lines)]
        self.attempt(picking.pick, pick_list=line.pick_list, line=line, quantity=quantity)

    @precondition(lambda self: PickLine.objects.exists())
    @rule(pick=st.integers(0, 9), rack=st.integers(0, 1), why=st.sampled_from(["wet", " "]))
    def fetch_another(self, pick, rack, why):
        lines = list(PickLine.objects.order_by("-pk").select_related("pick_list")[:10])
        line = lines[pick % len(lines)]
        told = {"pick_list": line.pick_list, "line": line, "why": why}
        self.attempt(picking.take_other, lot=self.lots[rack], place=self.shop.racks[rack], **told)

    @precondition(lambda self: PickLine.objects.exists())
    @rule(pick=st.integers(0, 9), found=st.sampled_from([0, 1, 1, -1, 9]))
    def fetch_fewer(self, pick, found):
        lines = list(PickLine.objects.order_by("-pk").select_related("pick_list")[:10])
        self.is_short(lines[pick % len(lines)], found)

    @precondition(lambda self: PickLine.objects.exists())
    @rule(pick=st.integers(0, 9))
    def leave_out(self, pick):
        lines = list(PickLine.objects.order_by("-pk").select_related("pick_list", "hold")[:10])
        line = lines[pick % len(lines)]
        told = {"pick_list": line.pick_list, "hold": line.hold, "why": "not to be had"}
        self.attempt(picking.leave_out, **told)

    @precondition(lambda self: PickList.objects.exists())
    @rule(pick=st.integers(0, 9), parcels=st.sampled_from([1, 2, 0, 1000]))
    def pack(self, pick, parcels):
        lists = self.lists()
        self.attempt(picking.pack, pick_list=lists[pick % len(lists)], parcels=parcels)

    @precondition(lambda self: PickList.objects.exists())
    @rule(pick=st.integers(0, 9))
    def send(self, pick):
        lists = self.lists()
        self.leave(lists[pick % len(lists)])

    @precondition(lambda self: PickList.objects.exists())
    @rule(pick=st.integers(0, 9))
    def all_the_way(self, pick):
        lists = self.lists()
        self.go_on_with(lists[pick % len(lists)])

    def held(self, rack, quantity, ordered):
        """Some that are free, held for an order for as many or more."""
        lot, place = self.lots[rack], self.shop.racks[rack]
        free = Balance.objects.get(lot=lot, place=place)
        if free.on_hand - free.held < quantity:
            return None
        line = a_line(an_order(by=self.tom), sku=lot.sku, quantity=quantity + ordered)
        return hold_for(line, (lot, place, quantity, ""), by=self.tom)

    def taken(self, sets, pinned):
        """An order for so many sets with their tubes, all of it held."""
        ask = AskSets(need=self.need, what="four alike", sets=sets, pinned=pinned)
        return self.attempt(take_order, customer=self.customer, asks=[ask])

    def is_short(self, line, found):
        """What was not found leaves the books, with what was free beside it."""
        spot = Balance.objects.get(lot=line.lot_id, place=line.place_id)
        told = {"pick_list": line.pick_list, "line": line, "found": found, "why": "gone"}
        if self.attempt(picking.short, **told):
            self.owned -= line.quantity - found + spot.on_hand - spot.held

    def go_on_with(self, listed):
        """What is begun is picked, packed and sent."""
        for line in picking.standing(listed).to_pick:
            self.attempt(picking.pick, pick_list=listed, line=line)
        self.attempt(picking.pack, pick_list=listed, parcels=1)
        return self.leave(listed)

    def leave(self, listed):
        sent = self.attempt(despatching.despatch, pick_list=listed)
        if sent:
            self.owned -= sum(line.quantity for line in sent.lines.all())
        return sent

    @precondition(lambda self: PickList.objects.exists())
    @rule(pick=st.integers(0, 9), why=st.sampled_from(["he has called", " "]))
    def cancel(self, pick, why):
        lists = self.lists()
        self.attempt(picking.cancel_list, pick_list=lists[pick % len(lists)], why=why)

    @precondition(lambda self: DespatchLine.objects.exists())
    @rule(
        pick=st.integers(0, 9),
        quantity=QUANTITIES,
        condition=st.sampled_from(["new", "fitted", "part_worn"]),
        reason=st.sampled_from(["not_wanted", "faulty"]),
        there=st.sampled_from(["rack", "quarantine", "gather"]),
    )
    def take_back(self, pick, quantity, condition, reason, there):
        lines = list(DespatchLine.objects.order_by("pk").select_related("despatch"))
        line = lines[pick % len(lines)]
        places = {"rack": self.shop.racks[2], "quarantine": self.shop.quarantine}
        place = places.get(there, self.shop.gather)
        self.come_back(line, quantity, condition, place, reason)

    def come_back(self, line, quantity, condition, place, reason="not_wanted"):
        came = [CameBack(line, quantity, condition, place)]
        made = self.attempt(returning.take_back, despatch=line.despatch, reason=reason, lines=came)
        if made:
            self.owned += quantity

    @invariant()
    def the_books_hold(self):
        assert differences() == []
        assert held_as_lines_say()
        assert sum(Balance.objects.values_list("on_hand", flat=True)) == self.owned
        for check in CHECKS:
            assert check.look().faults == (), check.says


def test_any_sequence_leaves_the_books_in_order():
    run_state_machine_as_test(
        Sending,
        settings=settings(
            max_examples=times(7),
            stateful_step_count=14,
            deadline=None,
            suppress_health_check=list(HealthCheck),
        ),
    )
    wanted = {"PickList", "PickLine", "Despatch", "Return", "ShortPick", "set sent", "refused"}
    assert wanted <= set(Sending.reached), "the sequences never came so far"
