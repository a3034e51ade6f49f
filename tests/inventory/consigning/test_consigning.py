"""Goods on consignment: taken until a day, nobody's to promise, bought in, given back."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest
from django.db import IntegrityError

from inventory.activities import blocking, consigning, correcting, working
from inventory.activities.consigning import Agreed, Part
from inventory.activities.consigning.refusals import AgreedAlready, NoneLies, NotPartOfIt, NotTheirs
from inventory.ground.refusal import Refusal
from inventory.ledger.post import Move, NotThatMany, post
from inventory.ledger.reconcile import differences
from inventory.models.balance import Balance
from inventory.models.consignment import Consignment, ConsignmentStep
from inventory.models.lot import Block, Lot
from inventory.models.posting import Posting, PostingKind
from tests.factories.consigning import DUE, ConsignedLotFactory, ConsignmentFactory, consigned
from tests.factories.people import SupplierFactory, UserFactory
from tests.factories.places import PlaceFactory
from tests.factories.sending import a_line, an_order, hold_for
from tests.factories.stock import LotFactory, stock_in
from tests.factories.when import AT, TODAY
from tests.support.concurrency import at_once

TABLES = (Consignment, ConsignmentStep, Lot, Posting, Balance, Block)


def everything():
    return [list(model.objects.order_by("pk").values()) for model in TABLES]


def some(balance, quantity):
    return [Part(balance.lot, balance.place, quantity)]


def bought(row, balance, quantity=2, **more):
    parts = some(balance, quantity)
    return consigning.buy_in(consignment=row, parts=parts, by=UserFactory(), at=AT, **more)


def given(row, balance, quantity=2, **more):
    parts = some(balance, quantity)
    return consigning.give_back(consignment=row, parts=parts, by=UserFactory(), at=AT, **more)


def on_hand(lot):
    return sum(Balance.objects.filter(lot=lot).values_list("on_hand", flat=True))


def left(row):
    return Consignment.objects.with_left().get(pk=row.pk).left


@pytest.mark.django_db
class TestTaken:
    def test_they_are_the_suppliers_until_a_day(self):
        row, balance = consigned(4, reference="THW 77")
        lot = balance.lot
        assert (lot.owner_supplier, lot.unit_cost, lot.delivery) == (
            *(row.supplier, None, row.number),
        )
        assert (row.due_on, row.reference, row.lots.get().price) == (DUE, "THW 77", Decimal(80))
        assert Posting.objects.get().kind == PostingKind.CONSIGN
        assert (left(row), Lot.objects.promised().exists()) == (4, False)

    @pytest.mark.parametrize("quantity", [0, -1, 10**9, 2.5])
    def test_not_so_many(self, quantity):
        with pytest.raises(Refusal):
            consigned(quantity)
        assert not Consignment.objects.exists()

    @pytest.mark.parametrize(
        ("said", "why"),
        [
            ({"due_on": TODAY - timedelta(days=1)}, "is past"),
            ({"due_on": TODAY.replace(year=2062)}, "years ahead"),
            ({"price": Decimal(0)}, "above nought"),
            ({"price": Decimal(10**9)}, "digits"),
            ({"date_code": "9999"}, "9999"),
            ({"currency": "pounds"}, "3 characters"),
            ({"currency": "gbp"}, "three capital letters"),
            ({"reference": "x" * 61}, "60 characters"),
        ],
    )
    def test_what_cannot_be_agreed(self, said, why):
        with pytest.raises(Refusal, match=why):
            consigned(**said)
        assert not Consignment.objects.exists()

    def test_where_goods_come_only(self):
        with pytest.raises(Refusal, match="is for quarantine"):
            consigned(place=PlaceFactory(quarantine=True))
        consigned(place=PlaceFactory(goods_in=True))

    def test_as_many_as_there_is_room_for_unless_they_fit(self):
        place = PlaceFactory(room=3)
        with pytest.raises(Refusal, match="4 more are 1 too many"):
            consigned(place=place)
        row, _ = consigned(place=place, they_fit=True)
        assert left(row) == 4

    def test_nothing_named(self):
        told = {"supplier": SupplierFactory(), "place": PlaceFactory(), "due_on": DUE}
        with pytest.raises(Refusal, match="Say which tyres"):
            consigning.take(tyres=[], by=UserFactory(), at=AT, **told)

    def test_the_database_wants_the_suppliers_own(self):
        with pytest.raises(IntegrityError, match="belongs to its supplier"):
            ConsignedLotFactory(lot=LotFactory())

    def test_the_supplier_stays(self):
        row, _ = consigned()
        with pytest.raises(IntegrityError, match="belongs to its supplier"):
            Consignment.objects.filter(pk=row.pk).update(supplier=SupplierFactory())


@pytest.mark.django_db
class TestAgreed:
    """Lots that lay here on consignment before anything was written down."""

    def agree(self, balance, supplier=None, price="90"):
        return consigning.agree(
            supplier=supplier or balance.lot.owner_supplier,
            lots=[Agreed(balance.lot, Decimal(price))], due_on=DUE, by=UserFactory(), at=AT,
        )  # fmt: skip

    def test_nothing_moves(self):
        balance = stock_in(on_hand=3, consigned=True)
        row = self.agree(balance)
        assert (row.lots.get().quantity, left(row), Posting.objects.count()) == (3, 3, 1)
        assert bought(row, balance, 1).steps[0].unit_cost == Decimal(90)

    def test_once_of_a_lot_that_is_theirs_and_lies_here(self):
        balance = stock_in(on_hand=3, consigned=True)
        with pytest.raises(NotTheirs):
            self.agree(balance, SupplierFactory())
        with pytest.raises(NotTheirs):
            self.agree(stock_in(), SupplierFactory())
        self.agree(balance)
        with pytest.raises(AgreedAlready, match="part of CG-"):
            self.agree(balance)
        gone = LotFactory(consigned=True)
        with pytest.raises(NoneLies):
            self.agree(Balance(lot=gone, place=PlaceFactory()))
        assert Consignment.objects.count() == 1

    def test_what_was_made_of_it_is_agreed_with_it(self):
        balance = stock_in(on_hand=3, consigned=True)
        told = {"place": balance.place, "condition": "display", "why": "For the window."}
        made, _ = working.work(lot=balance.lot, quantity=1, by=UserFactory(), at=AT, **told)
        assert set(consigning.with_nothing_agreed()) == {balance.lot, made}
        self.agree(balance)
        assert not consigning.with_nothing_agreed().exists()
        with pytest.raises(AgreedAlready):
            self.agree(Balance.objects.get(lot=made))


@pytest.mark.django_db
class TestBoughtIn:
    def test_into_a_lot_of_the_house_that_reads_the_same(self):
        row, balance = consigned(4, mark="HLM")
        (step,) = bought(row, balance, 3).steps
        into, lot = step.into, balance.lot
        assert (into.owner, into.owner_supplier, into.made_from) == ("house", None, lot)
        assert (into.unit_cost, into.currency) == (Decimal("80.00"), "GBP")
        for name in ("sku_id", "date_code", "mark", "mark_issue", "received_on", "latest"):
            assert getattr(into, name) == getattr(lot, name)
        assert (on_hand(lot), on_hand(into), left(row)) == (1, 3, 1)
        assert list(Lot.objects.promised()) == [into]
        assert (step.posting.kind, step.posting.document) == (PostingKind.BUY_IN, row.number)
        assert not differences()

    def test_at_the_same_cost_into_the_same_lot_at_another_into_another(self):
        row, balance = consigned(4)
        first = bought(row, balance, 1).steps[0].into
        assert bought(row, balance, 1).steps[0].into == first
        dearer = bought(row, balance, 1, unit_cost=Decimal("95.00")).steps[0].into
        assert (dearer.unit_cost, dearer == first) == (Decimal("95.00"), False)

    def test_what_blocks_a_lot_blocks_what_was_bought_of_it(self):
        row, balance = consigned(4)
        sound = bought(row, balance, 1).steps[0].into
        blocking.block(lot=balance.lot, reason="recall", note="R 7", by=UserFactory(), at=AT)
        into = bought(row, balance, 1).steps[0].into
        assert (into.blocks.get().reason, into.blocks.get().note) == ("recall", "R 7")
        assert list(Lot.objects.promised()) == [sound]

    def test_what_was_worked_on_stays_the_suppliers_until_then(self):
        row, balance = consigned(4)
        told = {"place": balance.place, "condition": "buffed", "buffed_to_mm": Decimal(4)}
        told |= {"why": "Asked for by the consignor.", "by": UserFactory(), "at": AT}
        theirs, _ = working.work(lot=balance.lot, quantity=2, **told)
        assert (theirs.owner_supplier, left(row)) == (row.supplier, 4)
        ours = bought(row, Balance.objects.get(lot=theirs), 1).steps[0].into
        assert (ours.owner, ours.condition, ours.made_from) == ("house", "buffed", theirs)
        # The house's own child of a lot is never taken for the consignor's, nor the other way.
        house_lot = bought(row, balance, 1).steps[0].into
        house_buffed, _ = working.work(lot=house_lot, quantity=1, **told)
        again, _ = working.work(lot=balance.lot, quantity=1, **told)
        assert (again, house_buffed.owner) == (theirs, "house")
        assert (left(row), on_hand(theirs)) == (2, 2)

    @pytest.mark.parametrize("quantity", [0, -1, 10**9, 2.5, 5])
    def test_not_so_many(self, quantity):
        row, balance = consigned(4)
        before = everything()
        with pytest.raises(Refusal):
            bought(row, balance, quantity)
        assert everything() == before

    @pytest.mark.parametrize("cost", ["0", "-1", "1e9", "NaN"])
    def test_not_at_that_cost(self, cost):
        row, balance = consigned(4)
        before = everything()
        with pytest.raises(Refusal):
            bought(row, balance, 1, unit_cost=Decimal(cost))
        assert everything() == before

    def test_not_what_is_held_or_of_another_consignment(self):
        row, balance = consigned(4)
        _, other = consigned(4)
        with pytest.raises(NotPartOfIt):
            bought(row, other)
        with pytest.raises(NotPartOfIt):
            given(row, stock_in())
        with pytest.raises(Refusal, match="Say which tyres"):
            consigning.buy_in(consignment=row, parts=[], by=UserFactory(), at=AT)
        move = Move(balance.lot_id, balance.place_id, held=3)
        post(kind=PostingKind.HOLD, lines=[move], by=UserFactory(), at=AT)
        for way in (bought, given):
            with pytest.raises(NotThatMany, match="1 are free"):
                way(row, balance, 2)

    def test_the_database_holds_none_of_them(self):
        _, balance = consigned(4)
        with pytest.raises(IntegrityError, match="Only tyres of the house are held"):
            hold_for(
                a_line(an_order(), sku=balance.lot.sku), (balance.lot, balance.place, 2, "front")
            )


@pytest.mark.django_db
class TestGivenBack:
    def test_out_of_stock_with_a_posting_of_its_number(self):
        row, balance = consigned(4)
        (step,) = given(row, balance, 4, note="By their lorry.")
        assert (on_hand(balance.lot), left(row), step.into) == (0, 0, None)
        assert (step.posting.kind, step.posting.document, step.posting.note) == (
            *(PostingKind.GIVE_BACK, row.number, "By their lorry."),
        )
        with pytest.raises(NotThatMany):
            given(row, balance, 1)

    def test_a_posting_taken_back_brings_them_back(self):
        row, balance = consigned(4)
        (step,) = given(row, balance, 4)
        correcting.take_back(posting=step.posting, why="They came back.", by=UserFactory(), at=AT)
        assert left(row) == 4

    def test_a_step_is_written_once(self):
        row, balance = consigned(4)
        given(row, balance)
        with pytest.raises(IntegrityError, match="correct its posting"):
            ConsignmentStep.objects.update(quantity=1)


@pytest.mark.django_db
def test_how_many_are_left_of_each():
    rows = [consigned(quantity)[0] for quantity in (2, 3)]
    rows.append(ConsignmentFactory())
    found = Consignment.objects.with_left().filter(left__gt=0).order_by("pk")
    assert [(row, row.left) for row in found] == [(rows[0], 2), (rows[1], 3)]


@pytest.mark.django_db(transaction=True)
def test_two_buy_in_the_last_tyre_at_once():
    row, balance = consigned(1)
    by = UserFactory()
    told = {"consignment": row, "parts": some(balance, 1), "by": by, "at": AT}
    answers = at_once(*[lambda: consigning.buy_in(**told)] * 2)
    assert sorted(type(one).__name__ for one in answers) == ["Bought", "NotThatMany"]
    assert (left(row), ConsignmentStep.objects.count()) == (0, 1)
    assert not differences()


@pytest.mark.django_db(transaction=True)
def test_one_buys_in_what_another_gives_back():
    row, balance = consigned(3)
    told = {"consignment": row, "parts": some(balance, 2), "by": UserFactory(), "at": AT}
    answers = at_once(lambda: consigning.buy_in(**told), lambda: consigning.give_back(**told))
    assert sum(isinstance(one, NotThatMany) for one in answers) == 1
    assert (left(row), ConsignmentStep.objects.count()) == (1, 1)
