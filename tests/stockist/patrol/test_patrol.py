"""The patrol: in order when all is, and a sentence for everything that is not."""

from __future__ import annotations

from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from django.db import connection
from django.db.backends.postgresql.psycopg_any import DateTimeTZRange

from fitments.models.approval import ApprovalVersion
from inventory.ledger.post import Move, post
from inventory.models.balance import Balance
from inventory.models.hold import Hold, HoldLine
from inventory.models.lot import Lot
from inventory.models.posting import Posting
from inventory.models.sku import Sku
from stockist.patrol import CHECKS
from stockist.patrol.check import MOST
from tests.factories.approvals import ApprovalFactory, ApprovalVersionFactory
from tests.factories.cars import CarMakerFactory, FitmentFactory
from tests.factories.catalogue import SkuFactory
from tests.factories.people import CustomerFactory
from tests.factories.places import PlaceFactory
from tests.factories.stock import BalanceFactory, LotFactory, PostingFactory, stock_in
from tests.factories.when import AT, EARLIER
from tests.support.counting import queries_of
from tests.support.guards import past_the_guards

pytestmark = pytest.mark.django_db
NAMES = [check.name for check in CHECKS]


def look(name, since=None):
    return next(check for check in CHECKS if check.name == name).look(since)


def patrol(**options):
    out = StringIO()
    call_command("patrol", stdout=out, **options)
    return out.getvalue()


def hold_row(balance, quantity):
    """A hold that says what the balance holds already."""
    told = {"customer": CustomerFactory(), "made_by": balance.lot.recorded_by, "made_at": EARLIER}
    hold = Hold.objects.create(what="two", until=AT, **told)
    HoldLine.objects.create(hold=hold, lot=balance.lot, place=balance.place, quantity=quantity)


@pytest.fixture
def shop():
    """A little of everything, in order."""
    balance = stock_in(on_hand=6, held=2)
    hold_row(balance, 2)
    stock_in(undated=True)
    stock_in(decade_unknown=True)
    stock_in(sku=SkuFactory(tube_kind=True), date_code="")
    stock_in(sku=SkuFactory(valve_kind=True, size_text="11.3 x 42"), date_code="")
    FitmentFactory()
    ApprovalFactory(organisers=True, size_text="")
    ApprovalFactory(superseded=True)
    return balance


def test_every_check_has_a_name_of_its_own_and_a_sentence():
    assert len(set(NAMES)) == len(NAMES)
    assert all(check.says.endswith(".") for check in CHECKS)


def test_an_empty_house_is_in_order():
    assert patrol().endswith("All is in order.\n")


def test_in_order(shop):
    told = patrol()
    assert told.endswith("All is in order.\n")
    assert (
        "Every balance is the sum of its ledger lines. 5 balances, 5 ledger lines: in order" in told
    )
    assert told.count(": in order") == len(CHECKS)


@pytest.mark.parametrize("name", NAMES)
def test_as_many_queries_for_twice_the_rows(shop, name):
    few = queries_of(lambda: look(name))
    stock_in()
    FitmentFactory()
    ApprovalFactory()
    assert queries_of(lambda: look(name)) == few


def test_looking_changes_nothing(shop):
    counts = [model.objects.count() for model in (Posting, Balance, Lot, Sku)]
    patrol()
    assert [model.objects.count() for model in (Posting, Balance, Lot, Sku)] == counts


class TestOutOfOrder:
    def wrong(self, name, *sentences):
        """The check says so, the command too, and ends with 1."""
        found = look(name)
        assert len(found.faults) == len(sentences)
        for fault, sentence in zip(found.faults, sentences, strict=True):
            assert sentence in fault
        out = StringIO()
        with pytest.raises(CommandError, match=f"Out of order: .*{name}") as caught:
            call_command("patrol", stdout=out)
        assert caught.value.returncode == 1
        assert "OUT OF ORDER" in out.getvalue()
        assert sentences[0] in out.getvalue()

    def test_a_balance_that_is_not_its_lines(self, shop):
        Balance.objects.filter(pk=shop.pk).update(on_hand=7, held=1)
        self.wrong(
            "balances",
            f"Lot {shop.lot} in {shop.place}: the balance says 7, 1 of them held; "
            "its lines say 6, 2 held.",
        )

    def test_a_balance_without_lines(self):
        BalanceFactory(lot=stock_in().lot, on_hand=3)
        self.wrong("balances", "the balance says 3, 0 of them held; its lines say 0, 0 held")

    def test_lines_without_a_balance(self, shop):
        past_the_guards(f"DELETE FROM inventory_balance WHERE id = {shop.pk}")
        self.wrong("balances", "the balance says 0, 0 of them held; its lines say 6, 2 held")

    def test_lines_that_come_to_nought_have_a_balance_too(self, shop):
        pair = (shop.lot_id, shop.place_id)
        post(
            kind="correction", lines=[Move(*pair, -6, -2)], by=shop.lot.recorded_by, at=AT, note="x"
        )
        assert patrol(only=["balances"])
        past_the_guards(f"DELETE FROM inventory_balance WHERE id = {shop.pk}")
        self.wrong("balances", "its lines say 0, 0 held")

    def test_more_held_than_there_are(self, shop):
        past_the_guards(
            "ALTER TABLE inventory_balance DROP CONSTRAINT balance_holds_no_more_than_it_has",
            f"UPDATE inventory_balance SET held = 9 WHERE id = {shop.pk}",
        )
        self.wrong("negative", f"Lot {shop.lot} in {shop.place}: 6 in the racks, 9 held.")

    def test_a_posting_without_lines(self):
        posting = PostingFactory()
        self.wrong("postings", f"Posting {posting.pk} (opening) has none.")

    def test_a_move_that_makes_tyres(self, shop):
        line = Move(shop.lot_id, shop.place_id, 2)
        posting = post(kind="move", lines=[line], by=shop.lot.recorded_by, at=AT)
        self.wrong(
            "moves", f"Posting {posting.pk} changes the number of tyres of lot {shop.lot} by 2."
        )

    def test_a_lot_of_which_nothing_was_booked(self, shop):
        lot = LotFactory()
        self.wrong("lots", f"Of lot {lot} nothing ever was.")

    def test_lines_and_balances_pointing_at_nothing(self, shop):
        past_the_guards(f"DELETE FROM inventory_place WHERE id = {shop.place_id}")
        self.wrong(
            "pointing",
            f"is of place {shop.place_id}, which is not there.",
            f"A balance is of place {shop.place_id}, which is not there.",
        )

    def test_a_trigger_switched_off(self, shop):
        with connection.cursor() as cursor:
            cursor.execute("SET CONSTRAINTS ALL IMMEDIATE")
            cursor.execute("ALTER TABLE inventory_lot DISABLE TRIGGER append_only_rows")
        self.wrong("guards", "Rows of inventory_lot could be changed")

    def test_a_sku_searched_by_another_size(self, shop):
        Sku.objects.filter(pk=shop.lot.sku.pk).update(rim_mm=330)
        self.wrong("skus", f"SKU {shop.lot.sku}: rim_mm says “330”, read again “381”.")

    def test_a_tyre_whose_size_cannot_be_read(self, shop):
        Sku.objects.filter(pk=shop.lot.sku.pk).update(size_text="nothing like it")
        self.wrong("skus", f"SKU {shop.lot.sku}: ")

    def test_a_companion_searched_by_a_size_that_it_has_not(self):
        tube = SkuFactory(tube_kind=True)
        Sku.objects.filter(pk=tube.pk).update(size_keys=["x"], size="x")
        self.wrong("skus", f"SKU {tube}: size says “x”, read again “”; size_keys says")

    def test_a_lot_dated_otherwise_than_its_code(self, shop):
        past_the_guards(f"UPDATE inventory_lot SET week_index = 1 WHERE id = {shop.lot_id}")
        self.wrong("date-codes", "Lots of “1425”, received on 2025-09-01: week_index says “1”")

    def test_a_date_code_that_cannot_be_read(self, shop):
        past_the_guards(f"UPDATE inventory_lot SET date_code = '7777' WHERE id = {shop.lot_id}")
        self.wrong("date-codes", "Lots of 2025-09-01: ")

    def test_a_fitment_searched_by_another_size(self, shop):
        fitment = FitmentFactory()
        type(fitment).objects.filter(pk=fitment.pk).update(size_keys=[])
        self.wrong("fitments", f"Fitment {fitment.pk}: size_keys says “[]”")

    def test_an_approval_searched_by_another_size(self, shop):
        approval = ApprovalFactory(size="x")
        self.wrong("approved-sizes", f"Approval {approval.pk}: size says “x”")

    def test_an_approval_of_which_nothing_is_known_now(self):
        ended = ApprovalFactory(version=False)
        ApprovalVersionFactory(approval=ended, known=DateTimeTZRange(EARLIER, AT))
        never = ApprovalFactory(version=False)
        self.wrong(
            "versions",
            *(f"Of approval {one} nothing is." for one in sorted((ended, never), key=str)),
        )

    def test_an_approval_for_another_makers_range(self):
        other = CarMakerFactory(name="Ostermann")
        approval = ApprovalFactory(car_maker=other)
        self.wrong("makers", f"Approval {approval} is of Ostermann, for another maker's Sprint")

    def test_approvals_that_supersede_one_another(self):
        first, second = ApprovalFactory.create_batch(2, version=False)
        ApprovalVersionFactory(approval=first, superseded_by=second)
        ApprovalVersionFactory(approval=second, superseded_by=first)
        codes = sorted([first.code, second.code])
        self.wrong("superseding", *(f"Approval {code} is, by way of others." for code in codes))
        assert ApprovalVersion.objects.count() == 2

    def test_no_more_than_a_hundred_are_told(self):
        PostingFactory.create_batch(MOST + 1)
        found = look("postings")
        assert (len(found.faults), found.more) == (MOST, True)
        out = StringIO()
        with pytest.raises(CommandError):
            call_command("patrol", stdout=out)
        assert "And more than these 100." in out.getvalue()

    def test_several_things_at_once(self, shop):
        PostingFactory()
        LotFactory()
        with pytest.raises(CommandError, match=r"Out of order: postings, lots\."):
            patrol()


class TestSince:
    def test_only_what_was_touched_since(self, shop):
        mark = Posting.objects.latest("pk").pk
        Balance.objects.filter(pk=shop.pk).update(on_hand=9)
        stock_in(on_hand=2)
        told = patrol(since=mark)
        assert "1 balances, 1 ledger lines: in order" in told
        assert told.count("in order") == 2
        with pytest.raises(CommandError, match="balances"):
            patrol(since=0)

    def test_a_touched_balance_is_proved_from_all_its_lines(self, shop):
        mark = Posting.objects.latest("pk").pk
        Balance.objects.filter(pk=shop.pk).update(on_hand=9)
        stock_in(on_hand=1, lot=shop.lot, place=shop.place)
        assert look("balances", since=mark).faults == (
            f"Lot {shop.lot} in {shop.place}: the balance says 10, 2 of them held; "
            "its lines say 7, 2 held.",
        )

    def test_nothing_since(self, shop):
        assert "0 balances, 0 ledger lines" in patrol(since=Posting.objects.latest("pk").pk)


def test_only_some_checks(shop):
    LotFactory()
    assert patrol(only=["balances", "postings"]).count(": in order") == 2
    with pytest.raises(CommandError, match="lots"):
        patrol(only=["lots"])


def test_a_check_that_is_not_there():
    with pytest.raises(CommandError, match="invalid choice"):
        call_command("patrol", "--only", "teapots")


def test_what_lies_elsewhere_is_named_by_code(shop):
    lot, place = LotFactory(code="LOT-X"), PlaceFactory(code="Z9")
    BalanceFactory(lot=lot, place=place, on_hand=1)
    assert look("balances").faults[0].startswith("Lot LOT-X in Z9:")
