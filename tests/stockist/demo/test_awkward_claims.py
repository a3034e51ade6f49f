"""Of the approvals of the demo: every thing that a claim can rest on, and everything ended."""

from __future__ import annotations

import pytest

from fitments.models.approval import Approval, ApprovalVersion
from fitments.models.car import Variant, WheelOption
from fitments.models.evidence import Evidence, EvidenceKind
from fitments.models.fitment import Fitment, Standing
from inventory.models.companion import RimKind

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("shop")]


def test_evidence_of_every_kind():
    assert set(Evidence.objects.values_list("kind", flat=True)) == set(EvidenceKind.values)


def test_evidence_checked_by_another_by_oneself_and_by_nobody():
    checked = [one for one in Evidence.objects.all() if one.checked_by_id]

    assert sum(one.self_checked for one in checked) == 4
    assert len(checked) == 33
    assert Evidence.objects.filter(digest="").count() == 1


def test_evidence_due_for_another_look_already(as_of):
    assert set(Evidence.objects.filter(due_on__lt=as_of).values_list("code", flat=True)) == {
        "EV-003",
        "EV-023",
        "EV-034",
        "EV-041",
    }


def test_claims_superseded_and_withdrawn():
    versions = ApprovalVersion.objects.all()

    assert versions.exclude(superseded_by=None).count() >= 10
    assert set(versions.exclude(withdrawn_on=None).values_list("approval__code", flat=True)) == {
        "MBY-WHI-ARA-195-F",
        "MBY-WHI-ARA-195-R",
    }


def test_claims_that_rest_on_nothing():
    bare = ApprovalVersion.objects.filter(evidence=None, approval__competition_class=None)

    assert bare.count() >= 6


def test_claims_by_list_and_by_mark():
    assert Approval.objects.filter(by_list=True, competition_class=None).count() > 20
    assert Approval.objects.filter(by_list=False).count() > 20


def test_fitments_of_every_standing():
    assert set(Fitment.objects.values_list("standing", flat=True)) == set(Standing.values)


def test_cars_that_changed_size_on_one_day():
    saloon = Fitment.objects.filter(variant__code="LIN-14-SAL", combination="A", axle="front")
    told = saloon.order_by("built_from").values_list("size", "built_from", "built_to")

    assert [(size, str(first), str(last)) for size, first, last in told] == [
        ("5.20-13", "1959-09-07", "1964-03-14"),
        ("5.60-13", "1964-03-15", "1966-08-26"),
        ("155 SR 13", "1966-08-27", "None"),
    ]


def test_wheels_disc_spoked_and_alloy_on_one_car():
    kinds = WheelOption.objects.filter(variant__code="LIN-14-SAL", axle="front")

    assert set(kinds.values_list("rim_kind", "tubed")) == {
        (RimKind.DISC, True),
        (RimKind.SPOKED, True),
        (RimKind.ALLOY, False),
    }


def test_a_car_of_which_hardly_anything_is_known():
    car = Variant.objects.get(code="SAR-18-PRE")

    assert (car.built_from, car.top_speed_kmh, car.front_axle_kg) == (None, None, None)
