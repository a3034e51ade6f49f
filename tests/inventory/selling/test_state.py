"""Any sequence of holding, ordering, releasing, picking and moving leaves the promises in order."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import transaction
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule, run_state_machine_as_test

from inventory.activities import picking
from inventory.activities.blocking import block, lift
from inventory.activities.correcting import recount
from inventory.activities.holding import extend, hold_pieces, hold_sets, parts_of, release
from inventory.activities.moving import move
from inventory.activities.ordering import (
    AskHold,
    AskPieces,
    AskSets,
    Holding,
    cancel_line,
    cancel_order,
    change_line,
    hold_line,
    take_order,
)
from inventory.availability import Need, promises, stock_of
from inventory.ground.refusal import Refusal
from inventory.ledger.reconcile import differences
from inventory.models.balance import Balance
from inventory.models.hold import Hold, HoldLine
from inventory.models.lot import Block
from inventory.models.pick import PickLine, PickList
from inventory.models.posting import LedgerLine, Posting
from inventory.models.sale import Order, OrderLine
from stockist.patrol.selling import CHECKS
from tests.factories.catalogue import SkuFactory
from tests.factories.people import CustomerFactory, UserFactory
from tests.factories.sending import Shop, four_alike
from tests.factories.when import AT
from tests.support.drawing import times

pytestmark = pytest.mark.django_db

whichever = st.integers(0, 7)
FEW_SETS = st.sampled_from([1, 1, 1, 2, 3, 0, -1, 2.5, 10**9])
FEW_PIECES = st.sampled_from([1, 2, 3, 4, 0, -1, 2.5, 10**9])
KEPT = (Hold, HoldLine, Order, OrderLine, PickList, PickLine, Posting, LedgerLine, Balance, Block)


class Promises(RuleBasedStateMachine):
    """A shop with a few lots of two SKUs, two customers, and a clock that only goes on."""

    def __init__(self):
        super().__init__()
        self.around = transaction.atomic()
        self.around.__enter__()
        self.by, self.now = UserFactory(), AT
        self.customers = CustomerFactory.create_batch(2)
        self.shop, self.skus = Shop(), [SkuFactory(), SkuFactory()]
        codes = ["1425", "1425", "1025", "4024"]
        self.lots = [
            self.shop.stock(5, sku=self.skus[number % 2], date_code=code, rack=number % 3)
            for number, code in enumerate(codes)
        ]
        self.done = 0

    def teardown(self):
        transaction.set_rollback(True)
        self.around.__exit__(None, None, None)

    def tries(self, work):
        """Do it; where it is refused, there is a sentence and nothing at all has changed."""
        before, refusal = self.everything(), None
        try:
            done = work()
        except Refusal as refused:
            refusal = refused
        if refusal is None:
            self.done += 1
            return done
        assert refusal.sentence.strip().endswith((".", "?"))
        assert self.everything() == before
        return None

    def everything(self):
        return [list(model.objects.order_by("pk").values_list()) for model in KEPT]

    def need(self, which):
        front, rear = self.skus[which % 2], self.skus[(which // 2) % 2]
        return Need(None, four_alike(front, rear))

    def one_of(self, model, which, **narrowed):
        rows = list(model.objects.filter(**narrowed).order_by("pk"))
        return rows[which % len(rows)] if rows else None

    def told(self):
        return {"by": self.by, "at": self.now}

    @rule(hours=st.sampled_from([1, 6, 30]))
    def time_goes_on(self, hours):
        self.now += timedelta(hours=hours)

    @rule(which=whichever, sets=FEW_SETS, hours=st.sampled_from([-1, 5, 20, 50]))
    def holds_sets(self, which, sets, hours):
        told = {"customer": self.customers[which % 2], "what": "four", **self.told()}
        until = self.now + timedelta(hours=hours)
        self.tries(lambda: hold_sets(need=self.need(which), sets=sets, until=until, **told))

    @rule(which=whichever, other=whichever, loose=st.booleans())
    def holds_what_was_shown(self, which, other, loose):
        """Now and then of another question: then it is no set, and refused."""
        shown = parts_of(promises([self.need(other)], at=self.now)[0])
        told = {"customer": self.customers[0], "what": "four", **self.told()}
        until = self.now + timedelta(hours=10)
        need = self.need(which)
        work = {"need": need, "shown": shown, "other_choice": loose, "until": until}
        self.tries(lambda: hold_sets(**work, **told))

    @rule(which=whichever, quantity=FEW_PIECES)
    def holds_pieces(self, which, quantity):
        told = {"customer": self.customers[which % 2], "sku": self.skus[which // 4], **self.told()}
        until = self.now + timedelta(hours=9)
        self.tries(lambda: hold_pieces(quantity=quantity, until=until, **told))

    @rule(which=whichever)
    def releases(self, which):
        if hold := self.one_of(Hold, which):
            self.tries(lambda: release(hold=hold, why="not wanted", **self.told()))

    @rule(which=whichever, hours=st.sampled_from([1, 40]))
    def extends(self, which, hours):
        if hold := self.one_of(Hold, which):
            until = self.now + timedelta(hours=hours)
            self.tries(lambda: extend(hold=hold, until=until, why="not paid yet", **self.told()))

    @rule(which=whichever, count=FEW_SETS, pieces=FEW_PIECES, how=st.sampled_from(list(Holding)))
    def orders(self, which, count, pieces, how):
        asks = [
            AskSets(need=self.need(which), what="four", sets=count),
            AskPieces(sku=self.skus[which % 2], quantity=pieces),
        ][which % 3 :][:2]
        told = {"customer": self.customers[which % 2], "holding": how, **self.told()}
        self.tries(lambda: take_order(asks=asks, **told))

    @rule(which=whichever)
    def orders_what_is_held(self, which):
        if hold := self.one_of(Hold, which):
            told = {"customer": self.customers[which % 2], **self.told()}
            self.tries(lambda: take_order(asks=[AskHold(hold=hold)], **told))

    @rule(which=whichever, quantity=FEW_PIECES, how=st.sampled_from(list(Holding)))
    def changes_a_line(self, which, quantity, how):
        if line := self.one_of(OrderLine, which):
            told = {"quantity": quantity, "holding": how, **self.told()}
            self.tries(lambda: change_line(line=line, **told))

    @rule(which=whichever)
    def holds_the_rest(self, which):
        if line := self.one_of(OrderLine, which):
            self.tries(lambda: hold_line(line=line, **self.told()))

    @rule(which=whichever, whole=st.booleans())
    def gives_up(self, which, whole):
        line = self.one_of(OrderLine, which)
        if line and whole:
            self.tries(lambda: cancel_order(order=line.order, why="sold", **self.told()))
        elif line:
            self.tries(lambda: cancel_line(line=line, why="too dear", **self.told()))

    @rule(which=whichever)
    def makes_a_list(self, which):
        if order := self.one_of(Order, which):
            told = {"to_place": self.shop.gather, **self.told()}
            self.tries(lambda: picking.make_list(order=order, **told))

    @rule(which=whichever, found=st.integers(0, 2), short=st.booleans())
    def picks(self, which, found, short):
        line = self.one_of(PickLine, which)
        if line is None:
            return
        told = {"pick_list": line.pick_list, "line": line, **self.told()}
        if short:
            self.tries(lambda: picking.short(found=found, why="not seen", **told))
        else:
            self.tries(lambda: picking.pick(**told))

    @rule(which=whichever)
    def cancels_a_list(self, which):
        if listed := self.one_of(PickList, which):
            self.tries(
                lambda: picking.cancel_list(pick_list=listed, why="not today", **self.told())
            )

    @rule(which=whichever, source=whichever, goal=whichever, quantity=st.integers(0, 5))
    def moves(self, which, source, goal, quantity):
        places = [*self.shop.racks, self.shop.quarantine]
        asked = {"source": places[source % 4], "target": places[goal % 4], "quantity": quantity}
        self.tries(lambda: move(lot=self.lots[which % 4], **asked, **self.told()))

    @rule(which=whichever, where=whichever, counted=st.integers(0, 6), breaks=st.booleans())
    def counts(self, which, where, counted, breaks):
        asked = {"place": self.shop.racks[where % 3], "counted": counted, "breaks": breaks}
        work = {"lot": self.lots[which % 4], "why": "counted", **asked, **self.told()}
        self.tries(lambda: recount(**work))

    @rule(which=whichever, breaks=st.booleans())
    def blocks_or_lifts(self, which, breaks):
        lot = self.lots[which % 4]
        standing = Block.objects.filter(lot=lot, lifted_at=None).first()
        if standing:
            self.tries(lambda: lift(block=standing, why="sound", **self.told()))
        else:
            told = {"reason": "to_be_checked", "breaks": breaks, **self.told()}
            self.tries(lambda: block(lot=lot, **told))

    @invariant()
    def the_patrol_finds_nothing(self):
        assert differences() == []
        assert [check.look().faults for check in CHECKS] == [()] * len(CHECKS)

    @invariant()
    def what_is_free_is_what_no_standing_hold_holds(self):
        """Reads leave out what has run out, whether somebody has let it go or not."""
        standing = HoldLine.objects.filter(hold__in=Hold.objects.standing(self.now))
        on_racks = standing.filter(place__in=self.shop.racks)
        told = stock_of([sku.pk for sku in self.skus], at=self.now)
        for sku in self.skus:
            mine = on_racks.filter(lot__sku=sku)
            held = sum(mine.order_by("pk").values_list("quantity", flat=True))
            assert told[sku.pk].spoken_for == held


def test_any_sequence():
    run_state_machine_as_test(
        Promises,
        settings=settings(
            max_examples=times(8),
            stateful_step_count=25,
            deadline=None,
            suppress_health_check=list(HealthCheck),
        ),
    )
