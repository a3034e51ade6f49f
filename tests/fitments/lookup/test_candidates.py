"""Which tyres could go on this car: what is looked for, in which parts, at how many queries."""

from __future__ import annotations

from datetime import date

import pytest
from django.db.backends.postgresql.psycopg_any import DateRange, DateTimeTZRange

from fitments.lookup.candidates import candidates_at, candidates_for
from fitments.lookup.span import read_span
from fitments.lookup.spots import AsItStands, TypedWheel
from fitments.rules.values import Axle, Basis, Market, Outcome, Spot, Use
from tests.factories.approvals import ApprovalFactory, ApprovalVersionFactory, EvidenceFactory
from tests.factories.cars import FitmentFactory, VariantFactory, WheelOptionFactory
from tests.factories.catalogue import SkuFactory
from tests.factories.when import AT, EARLIER, TODAY

pytestmark = pytest.mark.django_db


@pytest.fixture
def car():
    variant = VariantFactory(with_wheels=True)
    FitmentFactory(variant=variant)
    FitmentFactory(variant=variant, rear=True)
    return variant


def asked(variant, built="June 1964", **more):
    question = {
        "built": read_span(built),
        "in_force_on": TODAY,
        "known_on": AT,
        "use": Use.ROAD,
        "market": Market.GB,
    }
    return candidates_for(variant, **{**question, **more})


def codes(part, axle=Axle.FRONT):
    return [one.sku.code for one in part.judged if one.axle is axle]


def test_finds_a_listed_size_on_both_axles(car):
    SkuFactory(code="TB-1")
    [part] = asked(car).parts
    assert [(one.axle, one.listed) for one in part.judged] == [
        (Axle.FRONT, True),
        (Axle.REAR, True),
    ]


def test_tubes_are_no_tyres(car):
    SkuFactory(tube_kind=True)
    assert asked(car).parts[0].judged == ()


def test_an_unlisted_size_of_like_diameter_on_the_same_rim_is_looked_at_and_not_listed(car):
    SkuFactory(code="TB-195", size_text="195/65 R 15 91H")
    SkuFactory(code="TB-14", size_text="185/70 R 14 88H")
    SkuFactory(code="TB-225", size_text="225/70 R 15 100H")
    [part] = asked(car).parts
    assert codes(part) == ["TB-195"]
    assert not part.judged[0].listed
    assert part.judged[0].verdict.outcome is not Outcome.SUITS


def test_a_rear_is_no_alternative_for_the_front():
    variant = VariantFactory(with_wheels=True)
    FitmentFactory(variant=variant, size_text="185/70 R 15")
    FitmentFactory(variant=variant, rear=True, size_text="195/70 R 15")
    SkuFactory(code="TB-F")
    SkuFactory(code="TB-R", size_text="195/70 R 15 92V")
    [part] = asked(variant).parts
    assert codes(part, Axle.FRONT) == ["TB-F"]
    assert codes(part, Axle.REAR) == ["TB-R"]


def test_a_change_of_size_inside_the_year_gives_two_answers_and_the_day_between():
    variant = VariantFactory(with_wheels=True)
    FitmentFactory(variant=variant, built_to=date(1964, 3, 14))
    FitmentFactory(variant=variant, size_text="195/65 R 15", built_from=date(1964, 3, 15))
    old, new = SkuFactory(code="OLD"), SkuFactory(code="NEW", size_text="195/65 R 15 91H")
    found = asked(variant, "1964")
    assert found.dividing_days == (date(1964, 3, 15),)
    before, after = found.parts
    assert [one.sku for one in before.judged if one.listed] == [old]
    assert [one.sku for one in after.judged if one.listed] == [new]
    assert asked(variant, "June 1964").dividing_days == ()


def test_a_size_that_goes_with_another_wheel_waits_for_that_wheel(car):
    WheelOptionFactory(variant=car, wire=True)
    WheelOptionFactory(variant=car, wire=True, rear=True)
    FitmentFactory(variant=car, size_text="175/70 R 15", wheel="wire", combination="B")
    SkuFactory(code="TB-175", size_text="175/70 R 15 86H")
    assert "TB-175" not in [one.sku.code for one in asked(car).parts[0].judged if one.listed]
    [part] = asked(car, stands=AsItStands(wheel="wire")).parts
    assert [one.sku.code for one in part.judged if one.listed] == ["TB-175"]


def test_typed_wheels_are_judged_instead_of_the_listed_ones(car):
    SkuFactory(code="TB-1")
    typed = TypedWheel(rim_mm=356, bead="5-degree")
    [part] = asked(car, stands=AsItStands(typed={Axle.FRONT: typed})).parts
    outcomes = {one.axle: one.verdict.outcome for one in part.judged if one.listed}
    assert outcomes[Axle.FRONT] is Outcome.DOES_NOT_SUIT
    assert outcomes[Axle.REAR] is not Outcome.DOES_NOT_SUIT


def test_a_car_that_is_not_listed_is_judged_by_typed_places(car):
    sku = SkuFactory(code="TB-1")
    [part] = asked(car).parts
    spots = {axle: Spot(axle=axle, fitted=part.spots[axle].fitted) for axle in Axle}
    found = candidates_at(spots, built=None, use=Use.ROAD, market=Market.GB, on=TODAY)
    assert {one.sku for one in found.judged} == {sku}
    assert found.built is None


def test_nothing_typed_finds_nothing(car):
    SkuFactory()
    found = candidates_at(
        {axle: Spot(axle=axle) for axle in Axle},
        built=None,
        use=Use.ROAD,
        market=Market.GB,
        on=TODAY,
    )
    assert found.judged == ()


def facts(car, **more):
    [part] = asked(car, **more).parts
    return part.spots[Axle.FRONT].approvals


def test_approvals_of_the_range_come_with_what_they_rest_on(car):
    evidence = EvidenceFactory(checked=True)
    ApprovalFactory(vehicle_line=car.vehicle_line, version__evidence=[evidence])
    [fact] = facts(car)
    assert (fact.basis, fact.evidence) == (Basis.CHECKED, (str(evidence),))


def test_an_approval_of_the_other_axle_or_another_range_is_not_of_this_place(car):
    ApprovalFactory(vehicle_line=car.vehicle_line, rear=True)
    ApprovalFactory()
    assert facts(car) == ()


@pytest.mark.parametrize(
    ("evidence", "basis"),
    [
        ([], Basis.NONE),
        ([{}], Basis.CLAIMED),
        ([{"self_checked": True}], Basis.SELF_CHECKED),
        ([{"self_checked": True}, {"checked": True}], Basis.CHECKED),
        ([{"checked": True, "checked_at": AT.replace(year=2027)}], Basis.CLAIMED),
        ([{"recorded_at": AT.replace(year=2027)}], Basis.NONE),
    ],
)
def test_an_approval_is_worth_what_was_checked_by_then(car, evidence, basis):
    rows = [EvidenceFactory(**one) for one in evidence]
    ApprovalFactory(vehicle_line=car.vehicle_line, version__evidence=rows)
    [fact] = facts(car)
    assert fact.basis is basis


def test_the_register_is_asked_as_it_was_known_and_as_it_was_in_force(car):
    approval = ApprovalFactory(vehicle_line=car.vehicle_line, version=False)
    middle = AT.replace(month=6)
    ApprovalVersionFactory(
        approval=approval,
        valid=DateRange(date(2019, 1, 1), None),
        known=DateTimeTZRange(EARLIER, middle),
    )
    ApprovalVersionFactory(
        approval=approval,
        valid=DateRange(date(2019, 1, 1), date(2024, 1, 1)),
        known=DateTimeTZRange(middle, None),
    )
    [then] = facts(car, known_on=EARLIER.replace(month=2))
    [now] = facts(car)
    assert then.valid.last is None
    assert now.valid.last == date(2023, 12, 31)
    assert facts(car, known_on=EARLIER.replace(year=2020)) == ()


def test_of_several_periods_the_one_in_force_is_told_else_the_nearest(car):
    approval = ApprovalFactory(vehicle_line=car.vehicle_line, version=False)
    for first, last in ((2010, 2014), (2018, 2022)):
        ApprovalVersionFactory(
            approval=approval, valid=DateRange(date(first, 1, 1), date(last, 1, 1))
        )
    assert facts(car, in_force_on=date(2012, 6, 1))[0].valid.first == date(2010, 1, 1)
    assert facts(car, in_force_on=date(2026, 6, 1))[0].valid.first == date(2018, 1, 1)
    assert facts(car, in_force_on=date(2015, 1, 1))[0].valid.first == date(2010, 1, 1)


def test_as_many_queries_for_many_answers_as_for_few(car, same_queries):
    def more():
        for number in range(6):
            SkuFactory(code=f"TB-{number}")
            SkuFactory(code=f"TB-A-{number}", size_text="195/65 R 15 91H")
            evidence = EvidenceFactory(checked=True)
            ApprovalFactory(
                vehicle_line=car.vehicle_line, mark=f"HLM{number}", version__evidence=[evidence]
            )

    SkuFactory(code="TB-FIRST")
    ApprovalFactory(vehicle_line=car.vehicle_line, version__evidence=[EvidenceFactory()])
    SkuFactory(code="TB-A", size_text="195/65 R 15 91H")
    assert same_queries(lambda: asked(car, "1964"), more) == 10
