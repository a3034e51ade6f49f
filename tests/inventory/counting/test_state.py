"""Whatever moves meanwhile: an honest count makes the ledger say what lies in the racks."""

from __future__ import annotations

from collections import Counter

import pytest
from django.db import transaction
from hypothesis import given, settings
from hypothesis import strategies as st

from inventory.activities import counting, moving, working, writing_off
from inventory.activities.counting import ending
from inventory.ground.refusal import Refusal
from inventory.ledger.reconcile import differences
from inventory.models.balance import Balance
from inventory.models.count import CountState
from stockist.patrol.counting import CHECKS
from tests.factories.places import PlaceFactory
from tests.factories.stock import stock_in
from tests.factories.when import AT
from tests.support.drawing import times
from tests.support.people import with_role

pytestmark = pytest.mark.django_db
HAPPENED = Counter()


class House:
    """Two racks and three lots; ``truth`` is what really lies there, the ledger may be wrong."""

    def __init__(self, missing):
        self.ann, self.tom = with_role("warehouse", "ann"), with_role("warehouse", "tom")
        self.rack = PlaceFactory()
        self.other = PlaceFactory(site=self.rack.site)
        lies = [stock_in(on_hand=9, place=self.rack) for _ in missing]
        self.lots = [row.lot for row in lies]
        self.truth = {
            (row.lot.pk, self.rack.pk): 9 - off for row, off in zip(lies, missing, strict=True)
        }

    def really(self, lot, place):
        return self.truth.get((lot.pk, place.pk), 0)

    def ledger(self, lot, place):
        row = Balance.objects.filter(lot=lot, place=place).first()
        return row.on_hand if row else 0

    def shift(self, number):
        """Somebody carries tyres from rack to rack and books it: both, or neither."""
        lot, quantity = self.lots[number % len(self.lots)], number // 8 % 4 + 1
        ways = ((self.rack, self.other), (self.other, self.rack))
        source, target = ways[number // 3 % 2]
        if self.really(lot, source) < quantity:
            return
        told = {"lot": lot, "source": source, "target": target, "quantity": quantity}
        try:
            moving.move(by=self.tom, at=AT, **told)
        except Refusal:
            return
        self.truth[lot.pk, source.pk] = self.really(lot, source) - quantity
        self.truth[lot.pk, target.pk] = self.really(lot, target) + quantity

    def lose(self, number):
        """Two are written off, or made into another lot: there, and in the books."""
        lot = self.lots[number % len(self.lots)]
        told = {"lot": lot, "place": self.other, "quantity": 2, "by": self.tom, "at": AT}
        if self.really(lot, self.other) < 2 or self.ledger(lot, self.other) < 2:
            return
        if number % 2:
            writing_off.write_off(reason="damaged", **told)
        else:
            made, _ = working.work(condition="hand_cut", why="For the wet.", **told)
            self.truth[made.pk, self.other.pk] = self.really(made, self.other) + 2
        self.truth[lot.pk, self.other.pk] -= 2

    def is_in_order(self, count):
        """The ledger says the truth of the rack, and whatever is derived from it agrees."""
        assert count.state == CountState.POSTED
        for lot in self.lots:
            assert self.ledger(lot, self.rack) == self.really(lot, self.rack)
        assert not differences()
        assert [told for check in CHECKS for told in check.look().faults] == []

    def walk(self, count, disputed=None):
        """Ann enters what she sees, scan by scan, and hands the round in."""
        for lot in self.lots:
            seen = self.really(lot, self.rack)
            if seen and (disputed is None or lot.pk in disputed):
                for quantity in {seen - seen // 2, seen // 2} - {0} if seen % 2 else {seen}:
                    told = {"lot": lot, "quantity": quantity, "by": self.ann, "at": AT}
                    counting.enter(count=count, **told)
        return counting.hand_in(count=count, by=self.ann, at=AT)[0]


numbers = st.lists(st.integers(0, 200), max_size=4)


@settings(max_examples=times(15), deadline=None)
@given(missing=st.tuples(*[st.integers(-3, 6)] * 3), before=numbers, between=numbers, after=numbers)
def any_count(missing, before, between, after):
    with transaction.atomic():
        house = House(missing)
        for number in before:
            house.shift(number)
        count = counting.begin(place=house.rack, by=house.ann, at=AT)
        count = house.walk(count)
        for number in between:
            house.shift(number)
        if count.state == CountState.AGAIN:
            count = house.walk(count, {line.lot_id for line in ending.differences(count)})
        for number in after:
            house.shift(number)
            house.lose(number)
        if count.state == CountState.TO_POST:
            count, _ = counting.post_count(count=count, by=house.tom, at=AT)
        HAPPENED[count.posting_id is not None] += 1
        house.is_in_order(count)
        transaction.set_rollback(True)


def test_an_honest_count_ends_in_the_truth():
    HAPPENED.clear()
    any_count()
    assert HAPPENED[True] >= 3
