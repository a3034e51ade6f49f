"""Customers' complaints: tied to what left, taken to the maker, closed with the answer."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest

from inventory.activities import complaining, returning
from inventory.activities.complaining import refusals
from inventory.ground.entries.faults import Faulty
from inventory.ground.violations import Violated
from inventory.ledger.moves import NoneAsked, NotWhole, TooMany
from inventory.models.complaint import ComplaintState, CustomerComplaint
from tests.factories import buying
from tests.factories.people import SupplierFactory, UserFactory
from tests.factories.sending import held_pieces, sent
from tests.factories.stock import LotFactory
from tests.factories.when import AT

pytestmark = pytest.mark.django_db
AFTER = AT + timedelta(days=30)
LATER = AT + timedelta(days=60)


@pytest.fixture
def tom():
    return UserFactory(username="tom")


@pytest.fixture
def line(tom):
    """Three tyres that left, the books of which nobody knows from whom they came."""
    shop, order, *_ = held_pieces(quantity=3)
    return sent(order, shop, tom).lines.get()


def complain(line, by, **values):
    values = {"says": "cracks in the groove", "at": AFTER, **values}
    return complaining.open_complaint(despatch_line=line, by=by, **values)


def close(complaint, by, **values):
    values = {"outcome": "credited", "answer": "The maker pays for both.", **values}
    return complaining.close(complaint=complaint, by=by, at=LATER, **values)


def test_from_the_customer_to_the_maker_and_back(tom, line):
    edda, maker = UserFactory(username="edda"), SupplierFactory()
    made = complain(line, tom, quantity=2, tread_left_mm=Decimal("5.5"), says=" cracks ")
    assert (made.customer, made.lot, made.says) == (line.despatch.customer, line.lot, "cracks")
    assert (made.state, made.number) == (ComplaintState.OPEN, f"CC-{made.pk:05}")
    told = complaining.take_to_maker(
        complaint=made, supplier=maker, maker_reference="T/77", by=edda, at=LATER
    )
    assert (told.state, told.supplier, told.maker_reference) == ("with_maker", maker, "T/77")
    assert (told.sent_on_by, told.sent_on_at) == (edda, LATER)
    ended = close(made, edda)
    assert (ended.state, ended.outcome, ended.answer) == (
        ComplaintState.CLOSED,
        "credited",
        "The maker pays for both.",
    )
    assert (ended.closed_by, ended.closed_at, ended.tread_left_mm) == (edda, LATER, Decimal("5.5"))
    assert not CustomerComplaint.objects.unanswered().exists()


def test_it_may_be_closed_without_the_maker(tom, line):
    made = complain(line, tom)
    ended = close(made, tom, outcome="withdrawn", answer="He drove over a kerb.")
    assert (ended.sent_on_by, ended.outcome) == (None, "withdrawn")


class TestToWhom:
    """The one who delivered the lot, unless another is named."""

    def test_the_one_whose_delivery_the_lot_came_by(self, tom, line):
        delivery = buying.DeliveryFactory()
        delivery.lines.create(
            sku=line.lot.sku, quantity=5, lot=line.lot, entered_at=AT, entered_by=tom
        )
        made = complaining.take_to_maker(complaint=complain(line, tom), by=tom, at=LATER)
        assert made.supplier == delivery.supplier

    def test_of_a_lot_that_was_made_from_another(self, tom):
        lot = LotFactory(consigned=True)
        made = LotFactory(sku=lot.sku, made_from=LotFactory(sku=lot.sku, made_from=lot))
        assert complaining.supplier_of(made) == lot.owner_supplier

    def test_nobody_knows(self, tom, line):
        made = complain(line, tom)
        with pytest.raises(refusals.SayToWhom, match="say to which supplier"):
            complaining.take_to_maker(complaint=made, by=tom, at=LATER)
        made.refresh_from_db()
        assert made.state == ComplaintState.OPEN


class TestRefused:
    """A sentence each, and nothing is changed."""

    @pytest.mark.parametrize(
        ("quantity", "refused"),
        [
            (0, NoneAsked),
            (-1, NoneAsked),
            (2.5, NotWhole),
            (10**9, TooMany),
            (4, refusals.MoreThanWereSent),
        ],
    )
    def test_a_number_that_cannot_be(self, tom, line, quantity, refused):
        with pytest.raises(refused):
            complain(line, tom, quantity=quantity)
        assert not CustomerComplaint.objects.exists()

    @pytest.mark.parametrize("tread", ["-1", "30.1", "1000", "3.14159"])
    def test_tread_that_no_tyre_has(self, tom, line, tread):
        with pytest.raises((Faulty, Violated)):
            complain(line, tom, tread_left_mm=Decimal(tread))
        assert not CustomerComplaint.objects.exists()

    def test_nothing_said(self, tom, line):
        with pytest.raises(refusals.SayWhatIsWrong):
            complain(line, tom, says=" \n ")

    def test_too_much_said(self, tom, line):
        with pytest.raises(Faulty):
            complain(line, tom, says="x" * 2001)

    def test_before_it_left(self, tom, line):
        with pytest.raises(refusals.NotSentYet, match=line.despatch.number):
            complain(line, tom, at=AT - timedelta(days=1))

    def test_taken_to_the_maker_twice(self, tom, line):
        made, maker = complain(line, tom), SupplierFactory()
        complaining.take_to_maker(complaint=made, supplier=maker, by=tom, at=LATER)
        with pytest.raises(refusals.WithTheMakerAlready, match=f"taken to {maker} on 2027-01-22"):
            complaining.take_to_maker(complaint=made, supplier=maker, by=tom, at=LATER)

    def test_closed_twice(self, tom, line):
        made = complain(line, tom)
        close(made, tom)
        with pytest.raises(refusals.ClosedAlready, match="on 2027-01-22 by tom: credited"):
            close(made, tom, outcome="rejected")
        with pytest.raises(refusals.ClosedAlready):
            complaining.take_to_maker(complaint=made, by=tom, at=LATER)
        made.refresh_from_db()
        assert made.outcome == "credited"

    def test_an_outcome_that_is_not_on_the_list(self, tom, line):
        with pytest.raises(refusals.NoSuchOutcome, match="there are replaced, credited"):
            close(complain(line, tom), tom, outcome="shrugged off")

    def test_no_answer(self, tom, line):
        with pytest.raises(refusals.SayTheAnswer):
            close(complain(line, tom), tom, answer="  ")


def test_what_came_back_can_still_be_complained_of(tom, line):
    shop_place = line.despatch.pick_list.to_place
    quarantine = shop_place.site.places.get(kind="quarantine")
    came = returning.CameBack(line, 3, "new", quarantine)
    returning.take_back(despatch=line.despatch, reason="faulty", lines=[came], by=tom, at=AFTER)
    assert complain(line, tom, quantity=3).quantity == 3
