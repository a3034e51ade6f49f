"""Sets and pieces held for a customer, by the lots that were shown, until a time."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import IntegrityError, transaction

from inventory.activities import recipes
from inventory.activities.blocking import block
from inventory.activities.holding import (
    extend,
    hold_pieces,
    hold_sets,
    parts_of,
    refusals,
    release,
)
from inventory.activities.holding.parts import NoSuchParts, Part, merged, read, written
from inventory.availability import Need, promises
from inventory.ground.entries.faults import Faulty
from inventory.ledger.moves import NoneAsked, NotWhole, TooMany
from inventory.models.hold import Hold, HoldExtension, HoldState
from inventory.models.posting import LedgerLine, Posting
from tests.factories.catalogue import CompanionFactory, SkuFactory
from tests.factories.people import CustomerCarFactory, CustomerFactory, UserFactory
from tests.factories.selling import HoldFactory
from tests.factories.sending import (
    Shop,
    a_line,
    an_order,
    figures,
    four_alike,
    held_as_lines_say,
    hold_for,
)
from tests.factories.when import AT
from tests.support.counting import queries_of

pytestmark = pytest.mark.django_db
FRIDAY = AT + timedelta(days=4)
ODD = [0, -1, 2.5, 10**9, None, True, "2"]


@pytest.fixture
def by():
    return UserFactory()


@pytest.fixture
def shop():
    return Shop()


@pytest.fixture
def sku():
    return SkuFactory()


def asks(*skus, **options):
    return Need("any", four_alike(*skus), **options)


def hold(need, by, **told):
    told = {"customer": told.pop("customer", None) or CustomerFactory(), **told}
    made = hold_sets(need=need, what="four alike", by=by, **{"until": FRIDAY, "at": AT, **told})
    return made if told.get("sets", 1) != 1 else made[0]


def best(need, at=AT):
    return parts_of(promises([need], at=at)[0])


def written_down():
    """All that a refusal must leave as it was."""
    return Hold.objects.count(), Posting.objects.count(), LedgerLine.objects.count()


def refused(refusal, work, match="."):
    before = written_down()
    with pytest.raises(refusal, match=match) as caught:
        work()
    assert caught.value.sentence.endswith("Nothing was changed.")
    assert written_down() == before
    assert held_as_lines_say()
    return caught.value


class TestSets:
    def test_the_lots_that_were_shown_are_held(self, by, shop, sku):
        lot = shop.stock(6, sku=sku)
        need = asks(sku)
        made = hold(need, by, shown=best(need), why="thinks it over", said={"use": "track"})
        assert [(one.lot, one.for_place, one.quantity) for one in made.lines.all()] == [
            (lot, "front", 2),
            (lot, "rear", 2),
        ]
        assert figures(lot, shop.racks[0]) == (6, 4)
        assert (made.state, made.until, made.made_by, made.why) == (
            "open",
            FRIDAY,
            by,
            "thinks it over",
        )
        assert held_as_lines_say()
        posting = Posting.objects.get(document=made.number)
        assert (posting.kind, posting.recorded_by, posting.at) == ("hold", by, AT)

    def test_the_question_and_the_answer_are_kept_with_it(self, by, shop, sku):
        lot = shop.stock(4, sku=sku)
        need = asks(sku, site_id=shop.site.pk, rim_kind="disc")
        made = hold(need, by, said={"use": "track", "reasons": ["it suits"]})
        made.refresh_from_db()
        assert recipes.recalled(made.recipe) == need.recipe
        assert made.answer["use"] == "track"
        assert made.answer["reasons"] == ["it suits"]
        assert made.answer["asked"] == {
            "site_id": shop.site.pk, "rim_kind": "disc", "valve": ""
        }  # fmt: skip
        assert made.answer["stock"]["chosen"][0]["lot"]["code"] == lot.code
        assert made.answer["stock"]["price"]["amount"] == "756.00"

    def test_without_lots_named_the_oldest_that_match(self, by, shop, sku):
        shop.stock(4, sku=sku, date_code="1425", rack=0)
        older = shop.stock(4, sku=sku, date_code="1024", rack=1)
        made = hold(asks(sku), by)
        assert {one.lot for one in made.lines.all()} == {older}

    def test_another_matched_set_than_the_best_may_be_named(self, by, shop, sku):
        shop.stock(4, sku=sku, date_code="1024", rack=0)
        newer = shop.stock(4, sku=sku, date_code="1425", rack=1)
        place = shop.racks[1].pk
        shown = [Part("front", newer.pk, place, 2), Part("rear", newer.pk, place, 2)]
        made = hold(asks(sku), by, shown=shown)
        assert {one.lot for one in made.lines.all()} == {newer}

    def test_what_was_shown_and_is_gone_is_refused(self, by, shop, sku):
        lot = shop.stock(4, sku=sku, date_code="1024", rack=0)
        other = shop.stock(4, sku=sku, date_code="1425", rack=1)
        need = asks(sku)
        shown = best(need)
        hold(need, by)
        told = refused(refusals.NotAsShown, lambda: hold(need, by, shown=shown), "0 of lot")
        assert lot.code in told.sentence
        made = hold(need, by, shown=shown, other_choice=True)
        assert {one.lot for one in made.lines.all()} == {other}

    def test_lots_that_make_no_matched_set_are_refused(self, by, shop, sku):
        lots = [
            shop.stock(4, sku=sku, date_code=code, rack=rack)
            for rack, code in enumerate(["1423", "1425"])
        ]
        mixed = [
            Part("front", lot.pk, rack.pk, 1) for lot, rack in zip(lots, shop.racks, strict=False)
        ]
        rear = Part("rear", lots[0].pk, shop.racks[0].pk, 2)
        refused(refusals.NotAsShown, lambda: hold(asks(sku), by, shown=[*mixed, rear]), "weeks")

    def test_a_place_of_another_site(self, by, shop, sku):
        lot = shop.stock(4, sku=sku)
        elsewhere = Shop()
        elsewhere.stock(4, sku=sku)
        shown = [
            Part("front", lot.pk, shop.racks[0].pk, 2),
            Part("rear", lot.pk, shop.racks[0].pk, 2),
        ]
        need = asks(sku, site_id=elsewhere.site.pk)
        refused(refusals.NotAsShown, lambda: hold(need, by, shown=shown), "not at that site")

    def test_a_lot_that_was_blocked_meanwhile(self, by, shop, sku):
        lot = shop.stock(4, sku=sku)
        need = asks(sku)
        shown = best(need)
        block(lot=lot, reason="recall", by=by, at=AT)
        refused(refusals.NotAsShown, lambda: hold(need, by, shown=shown), "may not be promised")

    def test_no_set(self, by, shop, sku):
        shop.stock(3, sku=sku)
        refused(refusals.NoSet, lambda: hold(asks(sku), by), "No complete set can be had: ")

    def test_three_sets_are_three_holds(self, by, shop, sku):
        lot = shop.stock(13, sku=sku)
        made = hold(asks(sku), by, sets=3)
        assert len(made) == 3
        assert figures(lot, shop.racks[0]) == (13, 12)
        assert held_as_lines_say()

    def test_fewer_than_asked_for_are_none(self, by, shop, sku):
        shop.stock(11, sku=sku)
        told = refused(refusals.NoSet, lambda: hold(asks(sku), by, sets=3), "2 of 3 complete sets")
        assert told.found == 2

    @pytest.mark.parametrize("sets", ODD)
    def test_odd_numbers_of_sets(self, by, shop, sku, sets):
        shop.stock(8, sku=sku)
        refused(refusals.NotThatManySets, lambda: hold(asks(sku), by, sets=sets), "number of sets")

    @pytest.mark.parametrize("days", [0, -1, 400])
    def test_a_time_that_has_been_or_is_years_away(self, by, shop, sku, days):
        shop.stock(4, sku=sku)
        until = AT + timedelta(days=days)
        refused(refusals.NotUntilThen, lambda: hold(asks(sku), by, until=until), "time to come")

    def test_anothers_car(self, by, shop, sku):
        shop.stock(4, sku=sku)
        refused(refusals.AnothersCar, lambda: hold(asks(sku), by, car=CustomerCarFactory()))

    def test_companions_are_held_too(self, by, shop, sku):
        tube = SkuFactory(tube_kind=True)
        CompanionFactory(tyre=sku, companion=tube)
        shop.stock(4, sku=sku)
        refused(refusals.NoSet, lambda: hold(asks(sku), by), "No complete set")
        tubes = shop.stock(5, sku=tube, rack=2, date_code="")
        made = hold(asks(sku), by, pinned=True)
        assert figures(tubes, shop.racks[2]) == (5, 4)
        lines = list(
            made.lines.order_by("for_place").values_list("for_place", "quantity", "pinned")
        )
        assert lines == [("", 4, False), ("front", 2, True), ("rear", 2, True)]

    def test_no_more_questions_for_more_lots(self, by, shop, sku):
        shop.stock(8, sku=sku)
        customer = CustomerFactory()
        few = queries_of(lambda: hold(asks(sku), by, customer=customer))
        for rack in range(3):
            shop.stock(4, sku=sku, rack=rack)
        assert queries_of(lambda: hold(asks(sku), by, customer=customer)) == few <= 20


class TestPieces:
    def hold(self, sku, by, quantity, **told):
        told = {"customer": CustomerFactory(), "until": FRIDAY, **told}
        return hold_pieces(sku=sku, quantity=quantity, by=by, at=AT, **told)

    def test_the_oldest(self, by, shop, sku):
        newer = shop.stock(4, sku=sku, date_code="1425")
        older = shop.stock(2, sku=sku, date_code="1024", rack=1)
        made = self.hold(sku, by, 3)
        assert figures(older, shop.racks[1]) == (2, 2)
        assert figures(newer, shop.racks[0]) == (4, 1)
        assert (made.recipe, made.what) == (None, f"3 of {sku}")

    def test_lots_named(self, by, shop, sku):
        newer = shop.stock(4, sku=sku, date_code="1425")
        shop.stock(2, sku=sku, date_code="1024", rack=1)
        self.hold(sku, by, 2, shown=[Part("", newer.pk, shop.racks[0].pk, 2)])
        assert figures(newer, shop.racks[0]) == (4, 2)

    def test_lots_named_that_are_gone(self, by, shop, sku):
        lot = shop.stock(1, sku=sku)
        shown = [Part("", lot.pk, shop.racks[0].pk, 2)]
        refused(refusals.NotAsShown, lambda: self.hold(sku, by, 2, shown=shown), "1 of lot")

    def test_more_than_there_are(self, by, shop, sku):
        shop.stock(4, sku=sku)
        told = refused(refusals.NotEnough, lambda: self.hold(sku, by, 5), "4 of .* not 5")
        assert told.free == 4

    @pytest.mark.parametrize(
        ("quantity", "refusal"),
        [(0, NoneAsked), (-1, NoneAsked), (2.5, NotWhole), (10**9, TooMany), (True, NotWhole)],
    )
    def test_odd_quantities(self, by, shop, sku, quantity, refusal):
        shop.stock(4, sku=sku)
        refused(refusal, lambda: self.hold(sku, by, quantity))


class TestExtending:
    LATER = FRIDAY + timedelta(days=1)

    def extend(self, hold, by, until=LATER, at=AT, why="on holiday until then"):
        return extend(hold=hold, until=until, why=why, by=by, at=at)

    def test_a_later_time_with_who_when_and_why(self, by, shop, sku):
        shop.stock(4, sku=sku)
        made = hold(asks(sku), by)
        other = UserFactory()
        self.extend(made, by)
        much = self.LATER + timedelta(days=2)
        self.extend(made, other, until=much, at=self.LATER - timedelta(hours=1), why=" van late ")
        made.refresh_from_db()
        assert made.until == much
        assert list(
            made.extensions.values_list("until_before", "until_after", "why", "extended_by")
        ) == [
            (FRIDAY, self.LATER, "on holiday until then", by.pk),
            (self.LATER, much, "van late", other.pk),
        ]
        assert [one.extended_at for one in made.extensions.all()] == [
            AT, self.LATER - timedelta(hours=1),
        ]  # fmt: skip

    @pytest.mark.parametrize("why", ["", "   ", "\n"])
    def test_no_reason(self, by, shop, sku, why):
        shop.stock(4, sku=sku)
        made = hold(asks(sku), by)
        refused(refusals.SayWhyLonger, lambda: self.extend(made, by, why=why), "Say why")
        made.refresh_from_db()
        assert (made.until, made.extensions.count()) == (FRIDAY, 0)

    def test_a_reason_too_long(self, by, shop, sku):
        shop.stock(4, sku=sku)
        made = hold(asks(sku), by)
        with pytest.raises(Faulty, match="240"):
            self.extend(made, by, why="x" * 241)
        made.refresh_from_db()
        assert (made.until, made.extensions.count()) == (FRIDAY, 0)

    def test_an_earlier_time(self, by, shop, sku):
        shop.stock(4, sku=sku)
        made = hold(asks(sku), by)
        refused(refusals.NotLonger, lambda: self.extend(made, by, until=FRIDAY))

    def test_what_has_run_out(self, by, shop, sku):
        shop.stock(4, sku=sku)
        made = hold(asks(sku), by)
        refused(refusals.HoldRanOut, lambda: self.extend(made, by, at=FRIDAY), "ran out")

    def test_what_was_released(self, by, shop, sku):
        shop.stock(4, sku=sku)
        made = hold(asks(sku), by)
        release(hold=made, why="bought elsewhere", by=by, at=AT)
        told = refused(refusals.HoldHasEnded, lambda: self.extend(made, by))
        assert "bought elsewhere" in told.sentence

    def test_what_is_for_an_order(self, by, shop, sku):
        lot = shop.stock(4, sku=sku)
        line = a_line(an_order(), sku=sku, quantity=2)
        made = hold_for(line, (lot, shop.racks[0], 2, ""))
        refused(refusals.IsForAnOrder, lambda: self.extend(made, by))

    @pytest.mark.parametrize(
        ("told", "constraint"),
        [
            ({"until_after": FRIDAY}, "hold_extension_is_longer_and_in_time"),
            ({"extended_at": FRIDAY}, "hold_extension_is_longer_and_in_time"),
            ({"why": ""}, "hold_extension_says_why"),
            ({}, "hold_extension_begins_where_none_did"),
        ],
    )
    def test_the_database_refuses_the_rest(self, by, shop, sku, told, constraint):
        shop.stock(4, sku=sku)
        made = hold(asks(sku), by)
        self.extend(made, by)
        row = {
            "hold": made, "until_before": FRIDAY, "until_after": self.LATER, "why": "w",
            "extended_at": AT, "extended_by": by, **told,
        }  # fmt: skip
        if told:
            row["hold"] = HoldFactory()
        with pytest.raises(IntegrityError, match=constraint), transaction.atomic():
            HoldExtension.objects.create(**row)


class TestReleasing:
    def test_its_tyres_are_free_again(self, by, shop, sku):
        lot = shop.stock(4, sku=sku)
        made = release(hold=hold(asks(sku), by), why="bought elsewhere", by=by, at=AT)
        assert figures(lot, shop.racks[0]) == (4, 0)
        assert (made.state, made.ended_by, made.ended_why) == ("released", by, "bought elsewhere")
        assert made.lines.count() == 2
        assert held_as_lines_say()

    def test_twice(self, by, shop, sku):
        shop.stock(4, sku=sku)
        made = release(hold=hold(asks(sku), by), why="bought elsewhere", by=by, at=AT)
        refused(refusals.HoldHasEnded, lambda: release(hold=made, why="again", by=by, at=AT))

    def test_for_no_reason(self, by, shop, sku):
        shop.stock(4, sku=sku)
        made = hold(asks(sku), by)
        refused(refusals.SayWhyReleased, lambda: release(hold=made, why=" ", by=by, at=AT))

    def test_one_that_had_run_out_ends_as_that(self, by, shop, sku):
        shop.stock(4, sku=sku)
        made = release(hold=hold(asks(sku), by), why="no answer", by=by, at=FRIDAY)
        assert made.state == HoldState.LAPSED
        assert made.ended_why.startswith("ran out on 27.11.2026 at 10:00")


class TestParts:
    def test_to_and_fro(self):
        parts = (Part("front", 3, 4, 2), Part("rear", 3, 5, 2))
        assert read(written(parts)) == parts

    @pytest.mark.parametrize("text", ["front,1,2", "front,1,2,x", "a", "front,,2,3"])
    def test_what_nobody_was_shown(self, text):
        with pytest.raises(NoSuchParts):
            read(text)

    def test_the_same_lot_twice_is_put_together(self):
        assert merged([Part("", 1, 2, 3), Part("", 1, 2, 4)]) == (Part("", 1, 2, 7),)
