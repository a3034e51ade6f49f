"""Any sequence of openings, moves, corrections and blocks leaves the ledger in order."""

from __future__ import annotations

from datetime import date

import pytest
from django.db import transaction
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule, run_state_machine_as_test

from inventory.activities import correcting, moving
from inventory.activities.blocking import block, lift
from inventory.activities.opening import make_lot, open_lot
from inventory.availability import stock_of
from inventory.ground.refusal import Refusal
from inventory.ledger.post import Move, post
from inventory.ledger.reconcile import differences
from inventory.models.balance import Balance
from inventory.models.lot import Block, BlockReason, Lot
from inventory.models.posting import LedgerLine, Posting
from tests.factories.catalogue import SkuFactory
from tests.factories.people import UserFactory
from tests.factories.places import PlaceFactory
from tests.factories.when import AT
from tests.support.drawing import times

pytestmark = pytest.mark.django_db

few = st.integers(-1, 9)
whichever = st.integers(0, 5)
SOMETHING_ODD = st.sampled_from([0, -3, 2.5, 10**9, None])


class Shelf(RuleBasedStateMachine):
    """A small shop, and a model of it that anyone can check by eye: (lot, place) -> tyres."""

    def __init__(self):
        super().__init__()
        self.around = transaction.atomic()
        self.around.__enter__()
        self.by = UserFactory()
        self.sku = SkuFactory()
        home = PlaceFactory()
        self.places = [home, PlaceFactory(site=home.site), PlaceFactory(quarantine=True)]
        self.places.append(PlaceFactory(site=home.site, in_transit=True))
        self.lots = []
        self.model = {}
        self.held = {}

    def teardown(self):
        transaction.set_rollback(True)
        self.around.__exit__(None, None, None)

    def tries(self, work, *, allowed):
        """Do it; it is refused exactly where the model says so, and then nothing has changed."""
        if allowed:
            return work()
        before = self.everything()
        with pytest.raises(Refusal) as refused:
            work()
        assert refused.value.sentence
        assert self.everything() == before
        return None

    def everything(self):
        balances = Balance.objects.order_by("pk").values_list("lot", "place", "on_hand", "held")
        counts = [model.objects.count() for model in (Lot, Posting, LedgerLine, Block)]
        standing = Block.objects.filter(lifted_at=None).count()
        return list(balances), counts, standing

    def lot(self, number):
        return self.lots[number % len(self.lots)]

    def place(self, number):
        return self.places[number % len(self.places)]

    def there(self, lot, place):
        return self.model.get((lot.pk, place.pk), 0)

    def free(self, lot, place):
        return self.there(lot, place) - self.held.get((lot.pk, place.pk), 0)

    def change(self, lot, place, by):
        self.model[lot.pk, place.pk] = self.there(lot, place) + by

    @rule(where=whichever, quantity=few, code=st.integers(0, 6))
    def opens(self, where, quantity, code):
        name = f"LOT-{code}"
        allowed = quantity > 0 and name not in {lot.code for lot in self.lots}
        told = {"code": name, "sku": self.sku, "received_on": date(2025, 6, 1)}
        lies = {"place": self.place(where), "quantity": quantity}
        opened = self.tries(
            lambda: open_lot(by=self.by, at=AT, date_code="1425", **told, **lies), allowed=allowed
        )
        if opened:
            self.lots.append(opened.lot)
            self.change(opened.lot, self.place(where), quantity)

    @rule(which=whichever, source=whichever, goal=whichever, quantity=few)
    def moves(self, which, source, goal, quantity):
        if not self.lots:
            return
        lot, source, target = self.lot(which), self.place(source), self.place(goal)
        near = source.site_id == target.site_id or "in_transit" in (source.kind, target.kind)
        allowed = source != target and near and 0 < quantity <= self.free(lot, source)
        asked = {"lot": lot, "source": source, "target": target, "quantity": quantity}
        if self.tries(lambda: moving.move(by=self.by, at=AT, **asked), allowed=allowed):
            self.change(lot, source, -quantity)
            self.change(lot, target, quantity)

    @rule(which=whichever, where=whichever, counted=few)
    def recounts(self, which, where, counted):
        if not self.lots:
            return
        lot, place = self.lot(which), self.place(where)
        held = self.held.get((lot.pk, place.pk), 0)
        allowed = counted >= held and counted != self.there(lot, place)
        asked = {"lot": lot, "place": place, "counted": counted, "why": "counted"}
        if self.tries(lambda: correcting.recount(by=self.by, at=AT, **asked), allowed=allowed):
            self.model[lot.pk, place.pk] = counted

    @rule(which=whichever, into=whichever, where=whichever, quantity=few)
    def misreads(self, which, into, where, quantity):
        if not self.lots:
            return
        lot, into, place = self.lot(which), self.lot(into), self.place(where)
        allowed = lot != into and 0 < quantity <= self.free(lot, place)
        asked = {"lot": lot, "into": into, "place": place, "quantity": quantity, "why": "misread"}
        if self.tries(lambda: correcting.misread(by=self.by, at=AT, **asked), allowed=allowed):
            self.change(lot, place, -quantity)
            self.change(into, place, quantity)

    @rule(number=st.integers(0, 30))
    def takes_back(self, number):
        postings = list(Posting.objects.order_by("pk"))
        if not postings:
            return
        posting = postings[number % len(postings)]
        lines = list(posting.lines.order_by("pk"))
        allowed = posting.corrects_id is None and not posting.corrections.exists()
        for line in lines:
            key = (line.lot_id, line.place_id)
            held = self.held.get(key, 0) - line.held_change
            after = self.model.get(key, 0) - line.on_hand_change
            allowed = allowed and 0 <= held <= after
        back = self.tries(
            lambda: correcting.take_back(posting=posting, why="mistaken", by=self.by, at=AT),
            allowed=allowed,
        )
        for line in lines if back else ():
            key = (line.lot_id, line.place_id)
            self.model[key] = self.model.get(key, 0) - line.on_hand_change
            self.held[key] = self.held.get(key, 0) - line.held_change

    @rule(which=whichever, where=whichever, quantity=few)
    def holds(self, which, where, quantity):
        if not self.lots:
            return
        lot, place = self.lot(which), self.place(where)
        held = self.held.get((lot.pk, place.pk), 0)
        allowed = quantity != 0 and 0 <= held + quantity <= self.there(lot, place)
        line = Move(lot.pk, place.pk, held=quantity)
        if self.tries(lambda: post(kind="move", lines=[line], by=self.by, at=AT), allowed=allowed):
            self.held[lot.pk, place.pk] = held + quantity

    @rule(which=whichever, quantity=SOMETHING_ODD)
    def asks_for_something_odd(self, which, quantity):
        if not self.lots:
            return
        asked = {"lot": self.lot(which), "quantity": quantity, "by": self.by, "at": AT}
        source, target = self.places[:2]
        self.tries(lambda: moving.move(source=source, target=target, **asked), allowed=False)

    @rule(which=whichever, reason=st.sampled_from(BlockReason.values))
    def blocks(self, which, reason):
        if not self.lots:
            return
        lot = self.lot(which)
        stands = lot.blocks.filter(reason=reason, lifted_at=None).first()
        self.tries(lambda: block(lot=lot, reason=reason, by=self.by, at=AT), allowed=not stands)
        if stands:
            self.tries(lambda: lift(block=stands, why="sound", by=self.by, at=AT), allowed=True)

    @rule(code=st.integers(0, 6))
    def makes_a_lot(self, code):
        name = f"LOT-{code}"
        told = {"code": name, "sku": self.sku, "received_on": date(2025, 6, 1)}
        allowed = name not in {lot.code for lot in self.lots}
        lot = self.tries(lambda: make_lot(by=self.by, at=AT, **told), allowed=allowed)
        if lot:
            self.lots.append(lot)

    @invariant()
    def balances_are_what_the_model_says(self):
        kept = {
            (lot, place): (on_hand, held)
            for lot, place, on_hand, held in Balance.objects.order_by("pk").values_list(
                "lot", "place", "on_hand", "held"
            )
            if on_hand or held
        }
        keys = {key for key, count in self.model.items() if count}
        assert kept == {key: (self.model[key], self.held.get(key, 0)) for key in keys}

    @invariant()
    def balances_are_the_sum_of_their_lines(self):
        assert differences() == []

    @invariant()
    def figures_add_up(self):
        found = stock_of([self.sku.pk], at=AT)[self.sku.pk]
        racks = {place.pk for place in self.places if place.kind == "storage"}
        blocked = set(Block.objects.filter(lifted_at=None).values_list("lot", flat=True))
        free = {key: self.model[key] - self.held.get(key, 0) for key in self.model}
        assert found.in_the_racks == sum(n for (_, p), n in self.model.items() if p in racks)
        assert found.spoken_for == sum(n for (_, p), n in self.held.items() if p in racks)
        assert found.to_sell == sum(
            n for (lot, p), n in free.items() if p in racks and lot not in blocked
        )


def test_any_sequence_leaves_the_ledger_in_order():
    run_state_machine_as_test(
        Shelf,
        settings=settings(
            max_examples=times(8),
            stateful_step_count=25,
            deadline=None,
            suppress_health_check=list(HealthCheck),
        ),
    )
