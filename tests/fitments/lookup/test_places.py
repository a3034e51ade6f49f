"""A page of cars read as plain rows, on one round, says what each car judged by itself says."""

from __future__ import annotations

import random
from datetime import date

import pytest
from django.db.backends.postgresql.psycopg_any import DateRange

from fitments.lookup.approvals import approvals_for
from fitments.lookup.cars import cars_for
from fitments.lookup.of_size import approvals_of_size, briefly_asked
from fitments.lookup.spots import AXLES, AsItStands, listed_rows, spot_of, with_places
from fitments.lookup.tyres import loaded, tyre_of
from fitments.models.car import Variant
from fitments.rules.values import DaySpan, Market, Use
from fitments.verdict import judge
from tests.factories.approvals import ApprovalFactory, EvidenceFactory
from tests.factories.cars import (
    FitmentFactory,
    PressureFactory,
    VariantFactory,
    VehicleLineFactory,
    WheelOptionFactory,
)
from tests.factories.catalogue import SkuFactory
from tests.factories.when import AT, TODAY

pytestmark = pytest.mark.django_db

SIZES = ("185/70 R 15", "185/70 VR 15", "165 R 15", "5.60-15", "195/65 R 15")
DAYS = (None, date(1962, 3, 1), date(1964, 3, 14), date(1965, 1, 1), date(1970, 1, 1))
ABOUT = {"in_force_on": TODAY, "known_on": AT}


def fleet(rng):
    """Cars of a few ranges with more sizes, wheels, pressures and approvals than a tyre needs."""
    lines = [VehicleLineFactory() for _ in range(3)]
    for line in lines:
        for number in range(6):
            approved(rng, line, number)
    for _ in range(8):
        variant = VariantFactory(
            vehicle_line=rng.choice(lines),
            top_speed_kmh=rng.choice([None, 168, 230]),
            front_axle_kg=rng.choice([None, 640, 1900]),
            competition=rng.random() < 0.2,
        )
        for axle in AXLES[: rng.choice([1, 2, 2, 2])]:
            WheelOptionFactory(variant=variant, axle=axle, width_in=rng.choice(["5.00", "9.00"]))
            WheelOptionFactory(variant=variant, axle=axle, wire=True)
        for number in range(rng.randint(2, 7)):
            fitted(rng, variant, number)
        for size in rng.sample(["", *SIZES], 2):
            PressureFactory(variant=variant, axle=rng.choice(AXLES), size=size)


def fitted(rng, variant, number):
    first, last = sorted(rng.sample(DAYS[1:], 2))
    FitmentFactory(
        variant=variant,
        axle=rng.choice(AXLES),
        size_text=rng.choice(SIZES),
        combination=f"C{number}",
        wheel=rng.choice(["", "", "disc", "wire"]),
        standing=rng.choice(["fitted_new", "approved", "accepted"]),
        built_from=rng.choice([None, first]),
        built_to=rng.choice([None, last]),
        least_speed=rng.choice(["", "H", "V"]),
        least_load_index=rng.choice([None, 84, 95]),
        source=f"handbook, page {number}",
    )


def approved(rng, line, number):
    papers = [EvidenceFactory(checked=rng.random() < 0.5) for _ in range(rng.randint(0, 2))]
    ApprovalFactory(
        vehicle_line=line,
        code=f"{line.code}-{number}",
        axle=rng.choice(AXLES),
        size_text=rng.choice(SIZES),
        mark=rng.choice(["HLM", "HLM", "Z"]),
        mark_issue=f"{number}",
        version__evidence=papers,
        version__valid=DateRange(
            *rng.choice([(date(2019, 5, 2), None), (date(2019, 5, 2), TODAY)])
        ),
        version__withdrawn_on=rng.choice([None, None, date(2026, 3, 1)]),
    )


def one_by_one(sku, use):
    """Every car by itself, from all that there is of it."""
    tyre = tyre_of(loaded(sku))
    for variant in with_places(Variant.objects.order_by("code")):
        asked = approvals_for(vehicle_lines=[variant.vehicle_line_id], **ABOUT)
        facts = asked.get(("range", variant.vehicle_line_id), ())
        for axle in AXLES:
            for built, standing in periods(variant, axle, tyre, facts):
                spot = spot_of(
                    variant,
                    axle,
                    built=built,
                    stands=AsItStands(),
                    approvals=facts,
                    competition_class=None,
                )
                verdict = judge(tyre, spot, use=use, market=Market.GB, on=TODAY)
                yield variant.code, axle, built, standing, verdict


def periods(variant, axle, tyre, facts):
    """When cars were built that the tyre's size is listed for, else all if it is approved."""
    found = {}
    for row in listed_rows(variant, "fitments"):
        if row.axle == axle and set(row.size_keys) & tyre.size_keys:
            start = max(row.built_from or date.min, variant.built_from)
            end = min(row.built_to or date.max, variant.built_to)
            if start <= end:
                found.setdefault(DaySpan(start, end), row.get_standing_display())
    if not found and any(one.axle == axle and one.keys & tyre.size_keys for one in facts):
        found[DaySpan(variant.built_from, variant.built_to)] = "approved by the car's maker"
    return found.items()


@pytest.mark.parametrize("seed", range(3))
def test_a_page_says_what_judging_car_by_car_says(seed):
    fleet(random.Random(seed))
    told = set()
    for sku in (SkuFactory(marked=True), SkuFactory(size_text="165 R 15 86H"), SkuFactory()):
        for use in (Use.ROAD, Use.TRACK):
            page = cars_for(sku, **ABOUT, use=use, market=Market.GB)
            found = [
                (one.variant.code, one.axle, one.built, one.standing, one.verdict)
                for one in page.fits
            ]
            codes = {one[0] for one in found}
            every = list(one_by_one(sku, use))
            assert found == [one for one in every if one[0] in codes]
            assert {code for code, _, _, standing, _ in every if "new" in standing} <= codes
            told |= {finding.words for one in page.fits for finding in one.verdict.findings}
    assert len(told) > 40


def brief(lines, keys):
    rows = briefly_asked(lines, AT).answer()
    return approvals_of_size(frozenset(keys), rows, **ABOUT)


def test_an_approval_of_the_size_comes_in_full_and_others_as_who_gives_them():
    paper = EvidenceFactory(checked=True)
    own = ApprovalFactory(version__evidence=[paper])
    line = own.vehicle_line
    for size in SIZES[2:]:
        other = ApprovalFactory(vehicle_line=line, size_text=size)
    ApprovalFactory(vehicle_line=line, size_text="165 R 15", mark="OLD", withdrawn=True)
    found = brief([line.pk], own.size_keys)
    full, said = found.here(line.pk, own.axle)
    assert found.here(line.pk, "rear") == ()
    (expected,) = [
        fact
        for fact in approvals_for(vehicle_lines=[line.pk], **ABOUT)["range", line.pk]
        if fact.code == own.code
    ]
    assert full == expected
    assert (said.mark, said.code, said.evidence) == (other.mark, "", ())


def test_a_maker_that_is_not_the_ranges_own_is_called_by_its_own_name():
    line = VehicleLineFactory()
    other = VehicleLineFactory().maker
    ApprovalFactory(vehicle_line=line, car_maker=other, size_text="165 R 15")
    assert [fact.issuer for fact in brief([line.pk], ["none"]).here(line.pk, "front")] == [
        other.name
    ]


def test_nothing_of_the_size_asks_for_no_papers(django_assert_num_queries):
    own = ApprovalFactory(size_text="165 R 15")
    rows = briefly_asked([own.vehicle_line_id], AT).answer()
    with django_assert_num_queries(0):
        approvals_of_size(frozenset(["none"]), rows, **ABOUT)
