"""Whether tyres may leave for the car they were sold for, and what is written down of it."""

from __future__ import annotations

import json
from datetime import date, timedelta

import pytest
from django.db.backends.postgresql.psycopg_any import DateRange

from fitments.activities.approvals import withdraw
from fitments.models.approval import Approval
from fitments.release import may_leave
from fitments.rules import cautions
from inventory.release import May
from tests.factories.approvals import ApprovalFactory, CompetitionClassFactory, EvidenceFactory
from tests.factories.cars import IdentifiedCarFactory
from tests.factories.catalogue import SkuFactory, TypeApprovalFactory
from tests.factories.people import CarWheelFactory, CustomerCarFactory, UserFactory
from tests.factories.stock import LotFactory
from tests.factories.when import AT, EARLIER, TODAY

pytestmark = pytest.mark.django_db


def say(*sets, at=AT):
    return may_leave(sets, at=at)


def said_of(*sets, at=AT):
    (only,) = say(*sets, at=at)
    return only


def emarked(**values):
    """A lot of tyres with an E-mark, new and in the size of the car unless told otherwise."""
    lot = LotFactory(**values)
    TypeApprovalFactory(sku=lot.sku)
    return lot


def approved(variant, **values):
    """Both axles approved by the car's maker, by list."""
    both = [
        ApprovalFactory(
            listed=True, vehicle_line=variant.vehicle_line, axle=axle, code=f"AP-{axle}", **values
        )
        for axle in ("front", "rear")
    ]
    return both[0]


class TestWhatSuits:
    """It leaves, with what was found."""

    def test_a_listed_tyre(self, car, variant, leaves):
        found = said_of(leaves(emarked(), car))
        assert (found.may, found.reasons) == (May.LEAVE, ())
        assert found.said[0] == f"Suits with a caution: {variant}, road use."
        assert found.said[1].startswith("Caution: The pressure to be run is not known")
        assert found.cautions == cautions.ALL
        assert found.known["outcome"] == "caution"
        assert found.known["car"]["variant"] == variant.code

    def test_the_answers_come_in_the_order_of_the_questions(self, car, leaves):
        one, two = emarked(), emarked(aged=True)
        found = say(leaves(one, car, key=7), leaves(two, car, key=3), leaves(one, car, key=9))
        assert [each.key for each in found] == [7, 3, 9]
        assert [each.may for each in found] == [May.LEAVE, May.WITH_A_WORD, May.LEAVE]

    def test_the_wheels_now_on_the_car_decide(self, car, leaves):
        CarWheelFactory(car=car, rim_text="16", rim_mm=406)
        found = said_of(leaves(emarked(), car))
        assert found.may is May.WITH_A_WORD
        assert any("rim" in reason.code for reason in found.reasons)

    def test_a_loose_tyre_is_judged_where_it_does_best(self, car, leaves):
        sku = SkuFactory(rear_only=True)
        found = said_of(leaves(LotFactory(sku=sku), car, places=(("", 1),)))
        assert found.may is May.LEAVE
        both = said_of(leaves(LotFactory(sku=sku), car))
        assert both.may is May.WITH_A_WORD

    def test_a_spare_is_judged_with_the_set(self, car, leaves):
        places = (("front", 2), ("rear", 2), ("spare", 1))
        assert said_of(leaves(emarked(), car, places=places)).may is May.LEAVE

    def test_the_number_of_queries_does_not_grow(self, same_queries, car, variant, leaves):
        approved(variant, version__evidence=[EvidenceFactory(checked=True)])
        sets = [leaves(emarked(), car, key=number) for number in range(2)]

        def more():
            other = IdentifiedCarFactory(variant=variant).customer_car
            CarWheelFactory(car=other)
            sets.extend(leaves(emarked(), other, key=number) for number in (2, 3))

        assert same_queries(lambda: say(*sets), more) == 16


class TestWhatDoesNot:
    """It leaves with the owner's word only."""

    def test_a_size_for_another_rim(self, car, leaves):
        found = said_of(leaves(LotFactory(sku=SkuFactory(size_text="165 R 14 84S")), car))
        assert found.may is May.WITH_A_WORD
        assert all(reason.code and reason.words for reason in found.reasons)
        assert len({reason.code for reason in found.reasons}) == len(found.reasons)

    def test_too_slow_for_the_car_on_the_road(self, car, leaves):
        slow = SkuFactory(size_text="185/70 R 15 89P")  # 150 km/h, and the car does 168
        found = said_of(leaves(emarked(sku=slow), car))
        assert found.may is May.WITH_A_WORD
        assert found.reasons[0].code.startswith("speed")
        assert "150 km/h" in found.reasons[0].words

    def test_over_the_houses_age_limit(self, car, leaves):
        found = said_of(leaves(LotFactory(aged=True), car))
        assert found.may is May.WITH_A_WORD
        assert {reason.code for reason in found.reasons} == {"age limit front", "age limit rear"}
        assert "older than the house's limit of" in found.reasons[0].words

    def test_the_limit_holds_without_a_car_too(self, leaves, settings):
        lot = LotFactory()  # of April 2025, nineteen months old
        assert said_of(leaves(lot)).may is May.LEAVE
        settings.HOUSE_AGE_LIMIT_MONTHS = 12
        assert said_of(leaves(lot)).may is May.WITH_A_WORD

    def test_it_is_the_day_of_leaving_that_counts(self, car, leaves):
        lot = LotFactory(date_code="4720", received_on=date(2020, 12, 1))  # to 21 November 2020
        before, after = AT - timedelta(days=14), AT + timedelta(days=14)
        assert said_of(leaves(lot, car), at=before).may is May.LEAVE
        assert said_of(leaves(lot, car), at=after).may is May.WITH_A_WORD

    def test_the_mark_seen_on_the_tyre_counts_not_its_skus(self, car, variant, leaves):
        sku = SkuFactory(marked=True)
        for axle in ("front", "rear"):
            ApprovalFactory(vehicle_line=variant.vehicle_line, axle=axle, code=f"AP-{axle}")
        right = said_of(leaves(LotFactory(sku=sku, marked=True), car))
        wrong = said_of(leaves(LotFactory(sku=sku, mark="HLM", mark_issue="1"), car))
        assert [len(one.known["approvals"]) for one in (right, wrong)] == [2, 0]
        assert "carries HLM 1" in " ".join(wrong.said)

    def test_for_display(self, car, leaves):
        lot = LotFactory(display=True)
        found = said_of(leaves(lot, car))
        assert found.may is May.STAY
        assert found.reasons[0].code == "display"
        assert said_of(leaves(lot, car, use="show")).may is not May.STAY


class TestWhatIsNotKnown:
    """Nothing is made up."""

    def test_no_car(self, leaves):
        found = said_of(leaves(emarked()))
        assert found.may is May.LEAVE
        assert found.said[0].startswith("Not sold for a car that is known here")
        assert found.known["car"] == {"customer_car": None}

    def test_a_car_that_nobody_has_identified(self, leaves):
        car = CustomerCarFactory()
        found = said_of(leaves(emarked(), car))
        assert found.known["car"] == {"customer_car": car.pk}

    def test_companions_alone(self, car, leaves):
        tube = LotFactory(sku=SkuFactory(tube_kind=True), undated=True)
        found = said_of(leaves(tube, car, places=(("", 4),)))
        assert (found.may, found.said, found.known["outcome"]) == (May.LEAVE, (), "")

    def test_no_name_plate_or_chassis_number_is_kept(self, car, leaves):
        kept = json.dumps(dict(said_of(leaves(emarked(), car)).known))
        for word in (car.plate, car.chassis, car.customer.name, car.customer.telephone):
            assert word not in kept

    def test_a_use_that_nobody_has_heard_of_is_the_road(self, car, leaves):
        assert said_of(leaves(emarked(), car, use="moon", market="?")).known["use"] == "road"


class TestApprovals:
    """What they rest on is written down, and one that was lost is a reason."""

    def test_are_kept_with_their_evidence(self, car, variant, leaves):
        letter = EvidenceFactory(checked=True, digest="a" * 64)
        approved(variant, version__evidence=[letter])
        lot = emarked()
        found = said_of(leaves(lot, car))
        kept = found.known["approvals"]
        assert [one["code"] for one in kept] == ["AP-front", "AP-rear"]
        (paper,) = kept[0]["evidence"]
        assert (paper["code"], paper["digest"]) == (letter.code, "a" * 64)
        assert paper["checked_at"] == AT.isoformat()
        assert kept[0]["rests_on"] == "evidence checked by a second person"
        assert found.known_of == {lot.pk: {"approvals": ["AP-front", "AP-rear"]}}

    def test_each_lot_has_those_of_its_own_axle(self, car, variant, leaves):
        approved(variant)
        front = said_of(leaves(emarked(), car, places=(("front", 2),)))
        assert [one["code"] for one in front.known["approvals"]] == ["AP-front"]

    def test_what_is_not_checked_yet_is_said_so(self, car, variant, leaves):
        letter = EvidenceFactory(checked=True, recorded_at=EARLIER)
        approved(variant, version__evidence=[letter])
        before = said_of(leaves(emarked(), car), at=AT - timedelta(days=1))
        assert before.known["approvals"][0]["evidence"][0]["checked_at"] is None

    def test_withdrawn_since_it_was_ordered(self, car, variant, leaves):
        approved(variant)
        lot = emarked()
        assert said_of(leaves(lot, car)).may is May.LEAVE
        said = [
            withdraw(approval=one, on=TODAY, why="letter of today", by=UserFactory(), at=AT)[-1]
            for one in Approval.objects.order_by("code")
        ]
        known = said[-1].known.lower + timedelta(seconds=1)
        found = said_of(leaves(lot, car), at=known)
        assert found.may is May.WITH_A_WORD
        codes = [reason.code for reason in found.reasons]
        assert codes == ["lost maker front", "lost maker rear"]
        assert found.reasons[0].words.startswith("Approved when it was ordered, and not any more.")
        assert found.known["lost_since_ordered"]

    def test_withdrawn_before_it_was_ordered_is_nothing_new(self, car, variant, leaves):
        approved(variant, version__withdrawn_on=date(2025, 3, 1))
        found = said_of(leaves(emarked(), car))
        assert found.known["lost_since_ordered"] == []
        assert found.may is May.LEAVE  # a car maker's approval is a caution on the road

    def test_run_out_since(self, car, variant, leaves):
        approved(variant, version__valid=DateRange(date(2019, 5, 2), date(2026, 10, 1)))
        assert said_of(leaves(emarked(), car)).may is May.WITH_A_WORD

    def test_the_list_of_the_class_it_was_sold_for(self, car, variant, leaves):
        ran = CompetitionClassFactory(code="FHR-A", age_limit_months=12, variants=[variant])
        racing = SkuFactory(racing=True)
        found = said_of(leaves(LotFactory(sku=racing), car, use="track", **{"class": ran.code}))
        assert found.known["class"].startswith(str(ran))
        assert any(reason.code.startswith("age list") for reason in found.reasons)
