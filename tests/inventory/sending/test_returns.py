"""Returns: into their own lot or one made from it, never new again, no more than left."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest

from inventory.activities import returning
from inventory.activities.returning import CameBack, refusals
from inventory.availability import shelf
from inventory.ground.entries.faults import Faulty
from inventory.ground.violations import Violated
from inventory.ledger.moves import NoneAsked, NothingToPost, NotWhole, TooMany
from inventory.ledger.reconcile import differences
from inventory.models.lot import Condition, Lot
from inventory.models.posting import Posting, PostingKind
from inventory.models.returned import Return
from tests.factories.people import UserFactory
from tests.factories.places import PlaceFactory
from tests.factories.sending import (
    Shop,
    a_line,
    an_order,
    figures,
    held_as_lines_say,
    held_pieces,
    held_set,
    hold_for,
    sent,
)
from tests.factories.when import AT

pytestmark = pytest.mark.django_db
AFTER = AT + timedelta(days=3)


@pytest.fixture
def tom():
    return UserFactory(username="tom")


@pytest.fixture(autouse=True)
def in_order():
    """Whatever a test did, the books are in order after it."""
    yield
    assert held_as_lines_say()
    assert differences() == []


@pytest.fixture
def gone(tom):
    """Three new tyres of one lot that left: shop, lot, despatch, its line."""
    shop, order, lot, _ = held_pieces(quantity=3, on_hand=3)
    despatch = sent(order, shop, tom)
    return shop, lot, despatch, despatch.lines.get()


def back(despatch, by, *lines, reason="not_wanted", at=AFTER, **values):
    return returning.take_back(
        despatch=despatch, reason=reason, lines=lines, by=by, at=at, **values
    )


class TestAsItLeft:
    """Back into its own lot."""

    def test_keeps_its_lot_and_date_code(self, tom, gone):
        shop, lot, despatch, line = gone
        made = back(despatch, tom, CameBack(line, 2, "new", shop.racks[1]), note=" too many ")
        assert figures(lot, shop.racks[1]) == (2, 0)
        row = made.lines.get()
        assert (row.into_lot, row.quantity, row.condition) == (lot, 2, "new")
        assert (made.note, made.customer, made.returned_by) == ("too many", despatch.customer, tom)
        assert (made.posting.kind, made.posting.document) == (PostingKind.RETURN, made.number)
        assert Lot.objects.count() == 1

    def test_and_may_be_sold_again(self, tom, gone):
        shop, lot, despatch, line = gone
        back(despatch, tom, CameBack(line, 3, Condition.NEW, shop.racks[0]))
        (found,) = shelf.promised_of([lot.sku_id], at=AFTER)
        assert (found.lot_id, found.on_hand) == (lot.pk, 3)

    def test_one_that_was_fitted_before_it_left_goes_back_as_that(self, tom):
        shop, order, lot, _ = held_set(lot={"condition": Condition.FITTED})
        despatch = sent(order, shop, tom)
        line = despatch.lines.first()
        back(despatch, tom, CameBack(line, 1, "fitted", shop.racks[0]))
        assert figures(lot, shop.racks[0]) == (1, 0)

    def test_what_is_still_out(self, tom, gone):
        shop, _, despatch, line = gone
        back(despatch, tom, CameBack(line, 2, "new", shop.racks[0]))
        (one,) = returning.still_out(despatch)
        assert (one.line, one.sent, one.returned, one.left) == (line, 3, 2, 1)


class TestInAnotherCondition:
    """Into a lot made from it."""

    def test_once_fitted_is_a_lot_of_its_own(self, tom, gone):
        shop, lot, despatch, line = gone
        made = back(despatch, tom, CameBack(line, 2, "fitted", shop.racks[1]))
        into = made.lines.get().into_lot
        assert (into.code, into.made_from, into.condition) == (
            f"{made.number}-01",
            lot,
            Condition.FITTED,
        )
        same = ("sku", "date_code", "week_index", "mark", "mark_issue", "delivery", "unit_cost")
        assert [getattr(into, name) for name in same] == [getattr(lot, name) for name in same]
        assert (into.recorded_by, into.recorded_at) == (tom, AFTER)
        assert figures(into, shop.racks[1]) == (2, 0)
        assert figures(lot, shop.racks[1]) == (0, 0)
        assert not Lot.objects.promised().filter(pk=into.pk).exists()

    def test_some_of_each(self, tom, gone):
        shop, lot, despatch, line = gone
        made = back(
            despatch,
            tom,
            CameBack(line, 1, "new", shop.racks[0]),
            CameBack(line, 1, "fitted", shop.racks[0]),
            CameBack(line, 1, "part_worn", shop.racks[0], note="4 mm left"),
        )
        rows = list(made.lines.order_by("pk"))
        assert [row.into_lot.code for row in rows] == [
            lot.code,
            f"{made.number}-01",
            f"{made.number}-02",
        ]
        assert rows[2].note == "4 mm left"
        assert made.posting.lines.count() == 3

    def test_one_lot_for_both_axles_of_a_set(self, tom):
        shop, order, lot, _ = held_set()
        despatch = sent(order, shop, tom)
        lines = [CameBack(line, 2, "fitted", shop.racks[0]) for line in despatch.lines.all()]
        made = back(despatch, tom, *lines)
        assert len({row.into_lot_id for row in made.lines.all()}) == 1
        assert [one.on_hand_change for one in made.posting.lines.all()] == [4]
        assert Lot.objects.filter(made_from=lot).count() == 1

    def test_new_once_more_is_refused(self, tom):
        shop, order, lot, _ = held_set(lot={"condition": Condition.FITTED})
        despatch = sent(order, shop, tom)
        with pytest.raises(refusals.NeverNewAgain, match="left as been fitted"):
            back(despatch, tom, CameBack(despatch.lines.first(), 1, "new", shop.racks[0]))
        assert figures(lot, shop.racks[0]) == (0, 0)

    def test_and_is_not_new_after_a_second_sale(self, tom, gone):
        shop, _, despatch, line = gone
        into = back(despatch, tom, CameBack(line, 2, "fitted", shop.racks[1])).lines.get().into_lot
        again = sent(_sold_again(into, shop), shop, tom, at=AFTER)
        with pytest.raises(refusals.NeverNewAgain):
            back(again, tom, CameBack(again.lines.get(), 1, "new", shop.racks[0]))

    def test_buffed_says_how_far(self, tom, gone):
        shop, _, despatch, line = gone
        with pytest.raises((Faulty, Violated), match="how many mm are left"):
            back(despatch, tom, CameBack(line, 1, "buffed", shop.racks[0]))
        came = CameBack(line, 1, "buffed", shop.racks[0], buffed_to_mm=Decimal("4.0"))
        assert back(despatch, tom, came).lines.get().into_lot.buffed_to_mm == Decimal("4.0")


def _sold_again(lot, shop):
    order = an_order()
    line = a_line(order, sku=lot.sku, quantity=2)
    hold_for(line, (lot, shop.racks[1], 2, ""))
    return order


class TestWhere:
    """Racks, goods in, quarantine; what is unsound only there."""

    @pytest.mark.parametrize("reason", ["damaged", "faulty"])
    def test_unsound_goes_to_quarantine(self, tom, gone, reason):
        shop, lot, despatch, line = gone
        with pytest.raises(refusals.ToQuarantine, match="until somebody has looked"):
            back(despatch, tom, CameBack(line, 1, "new", shop.racks[0]), reason=reason)
        back(despatch, tom, CameBack(line, 1, "new", shop.quarantine), reason=reason)
        assert figures(lot, shop.quarantine) == (1, 0)
        assert shelf.promised_of([lot.sku_id], at=AFTER) == []

    @pytest.mark.parametrize("kind", ["despatch", "in_transit"])
    def test_nowhere_else(self, tom, gone, kind):
        shop, _, despatch, line = gone
        place = PlaceFactory(site=shop.site, kind=kind)
        with pytest.raises(refusals.NotForReturns, match="name a place in the racks"):
            back(despatch, tom, CameBack(line, 1, "new", place))

    def test_all_of_it_at_one_site(self, tom, gone):
        shop, _, despatch, line = gone
        van = Shop()
        came = [CameBack(line, 1, "new", place) for place in (shop.racks[0], van.racks[0])]
        with pytest.raises(refusals.AtSeveralSites, match="as two returns"):
            back(despatch, tom, *came)
        back(despatch, tom, came[1])  # another site than the one it left from will do


class TestRefused:
    """A sentence each, and nothing is changed."""

    @pytest.mark.parametrize(
        ("quantity", "refused"),
        [
            (0, NoneAsked),
            (-1, NoneAsked),
            (2.5, NotWhole),
            (True, NotWhole),
            ("2", NotWhole),
            (10**9, TooMany),
            (4, refusals.MoreThanLeft),
        ],
    )
    def test_a_number_that_cannot_be(self, tom, gone, quantity, refused):
        shop, lot, despatch, line = gone
        with pytest.raises(refused):
            back(despatch, tom, CameBack(line, quantity, "new", shop.racks[0]))
        assert not Return.objects.exists()
        assert figures(lot, shop.racks[0]) == (0, 0)

    def test_more_than_is_still_out(self, tom, gone):
        shop, _, despatch, line = gone
        back(despatch, tom, CameBack(line, 2, "new", shop.racks[0]))
        with pytest.raises(refusals.MoreThanLeft, match="and 2 came back before: 2 cannot"):
            back(despatch, tom, CameBack(line, 2, "fitted", shop.racks[0]))
        assert Lot.objects.count() == 1

    def test_nor_by_telling_it_in_two_lines(self, tom, gone):
        shop, _, despatch, line = gone
        lines = [CameBack(line, 2, kind, shop.racks[0]) for kind in ("new", "fitted")]
        with pytest.raises(refusals.MoreThanLeft, match="4 cannot have come back"):
            back(despatch, tom, *lines)
        assert Posting.objects.filter(kind=PostingKind.RETURN).count() == 0

    def test_a_line_of_another_despatch(self, tom, gone):
        shop, _, despatch, _ = gone
        _, order, *_ = held_pieces(shop)
        other = sent(order, shop, tom).lines.get()
        with pytest.raises(refusals.NotOfThisDespatch, match=despatch.number):
            back(despatch, tom, CameBack(other, 1, "new", shop.racks[0]))

    def test_nothing_at_all(self, tom, gone):
        with pytest.raises(NothingToPost):
            back(gone[2], tom)

    def test_before_it_left(self, tom, gone):
        shop, _, despatch, line = gone
        with pytest.raises(refusals.BeforeItLeft, match=despatch.number):
            back(despatch, tom, CameBack(line, 1, "new", shop.racks[0]), at=AT - timedelta(days=1))

    @pytest.mark.parametrize(
        ("reason", "condition", "refused"),
        [
            ("because", "new", refusals.NoSuchReason),
            ("not_wanted", "good", refusals.NoSuchCondition),
        ],
    )
    def test_words_that_are_not_on_the_list(self, tom, gone, reason, condition, refused):
        shop, _, despatch, line = gone
        with pytest.raises(refused, match="there are "):
            back(despatch, tom, CameBack(line, 1, condition, shop.racks[0]), reason=reason)

    def test_words_too_long_to_be_kept(self, tom, gone):
        shop, lot, despatch, line = gone
        with pytest.raises(Faulty):
            back(despatch, tom, CameBack(line, 1, "new", shop.racks[0], note="x" * 241))
        with pytest.raises(Faulty):
            back(despatch, tom, CameBack(line, 1, "new", shop.racks[0]), note="x" * 501)
        assert figures(lot, shop.racks[0]) == (0, 0)
