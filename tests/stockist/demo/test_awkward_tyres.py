"""Of the tyres of the demo: every form of size, every kind that some rule turns on."""

from __future__ import annotations

import pytest

from inventory.markings import read_size
from inventory.models.companion import Companion, Need, RimKind
from inventory.models.maker import Compound, Pattern, Shoulder, Tread, Use, Weather
from inventory.models.sku import Hand, Sidewall, Sku, SkuKind, SkuStatus, TubeType

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("shop")]

SIZES = {
    "metric, without a profile": "185 R 15 93T",
    "metric, with a profile": "185/65 R 15 88H",
    "letter inside the size": "155 SR 13 78S",
    "open-ended letter": "205/70 VR 14",
    "inch cross-ply": "5.60-13 4PR",
    "inch with a letter": "5.50 L 15",
    "metric with a dash": "155-15",
    "rim in millimetres": "165 R 400 87S",
    "rim in millimetres, dash": "165-380",
    "rim in millimetres, with a profile": "190/65 R 390 89H",
    "letter size": "F70-14",
    "letter size, radial": "LR78-15",
    "bias-belted": "185/70 B 13",
    "light commercial": "185 R 14 C 102/100R",
    "prefix P": "P225/75 R 15 102S",
    "temporary spare": "T115/70 D 14 88M",
    "flotation": "31x10.50 R 15 LT 109Q",
    "beaded edge": "820x120",
    "straight side": "33x5 6PR",
    "dual, inch": "4.40/4.50-21 4PR",
    "dual, two systems": "7.35-14/185-14 4PR",
    "competition, centimetres": "20/54-13",
    "competition, millimetres": "245/575-13",
    "competition, inches": "9.0/20.0-13",
    "competition, no such pair": "4.50/11.60-15",
    "bracketed": "245/40 R 18 (97Y)",
}


@pytest.mark.parametrize("size", SIZES.values(), ids=SIZES)
def test_a_tyre_of_every_form_of_size(size):
    sku = Sku.objects.tyres().filter(size_text=size).first()

    assert sku is not None
    assert sku.size == read_size(size).canonical


@pytest.mark.parametrize(
    ("field", "choices"),
    [("status", SkuStatus), ("sidewall", Sidewall), ("hand", Hand), ("kind", SkuKind)],
)
def test_every_status_sidewall_hand_and_kind(field, choices):
    assert set(Sku.objects.values_list(field, flat=True)) == set(choices.values)


def test_tubes_said_to_be_needed_allowed_and_refused():
    told = set(Sku.objects.tyres().values_list("tube", flat=True))

    assert told == {TubeType.TUBE_TYPE, TubeType.TUBELESS, TubeType.NO_TUBE}


@pytest.mark.parametrize(
    ("field", "choices"),
    [("use", Use), ("weather", Weather), ("tread", Tread)],
)
def test_patterns_of_every_use_weather_and_tread(field, choices):
    assert set(Pattern.objects.values_list(field, flat=True)) == set(choices.values)


def test_patterns_with_rounded_and_with_square_shoulders():
    assert set(Pattern.objects.values_list("shoulder", flat=True)) == {
        Shoulder.ROUNDED,
        Shoulder.SQUARE,
    }


def test_white_bands_of_two_widths():
    banded = Sku.objects.filter(sidewall=Sidewall.WHITE_BAND)

    assert set(banded.values_list("band_mm", flat=True)) == {20, 40}


def test_every_left_tyre_has_its_right_one():
    def pairs(hand: str) -> set[tuple[object, ...]]:
        return set(Sku.objects.filter(hand=hand).values_list("pattern", "size", "mark_issue"))

    assert pairs(Hand.LEFT) == pairs(Hand.RIGHT) != set()


def test_compounds_of_one_axle_and_with_successors():
    assert Compound.objects.filter(axle_only="front").exists()
    assert Compound.objects.filter(axle_only="rear").exists()
    assert Compound.objects.exclude(successor=None).count() == 3
    assert Compound.objects.filter(temperature_from_c=None).count() == 1


def test_marks_of_differing_style_in_several_issues():
    marked = Sku.objects.exclude(mark="").values_list("mark", "mark_issue")

    assert {mark for mark, _ in marked} == {"HELM", "MBY", "≋", "green dot", "KNL", "QVR"}
    assert {issue for mark, issue in marked if mark == "≋"} == {"1", "2", "3"}
    assert {issue for mark, issue in marked if mark == "green dot"} == {"'79", "'84"}


def test_one_price_in_euro_one_not_known_and_what_is_announced_has_a_day():
    assert Sku.objects.filter(currency="EUR").count() == 1
    assert Sku.objects.filter(price=None).count() == 1
    announced = Sku.objects.filter(status=SkuStatus.ANNOUNCED)
    assert announced.count() == 3
    assert not announced.filter(expected_on=None).exists()


def test_companions_that_must_may_and_must_not_by_size_and_by_tyre():
    assert set(Companion.objects.values_list("need", flat=True)) == set(Need.values)
    assert set(Companion.objects.values_list("rim_kind", flat=True)) == set(RimKind.values)
    assert Companion.objects.filter(tyre=None).exists()
    assert Companion.objects.exclude(tyre=None).exists()
    assert Companion.objects.filter(per_tyre=2).exists()


def test_every_tube_type_tyre_has_its_tube_in_the_rules():
    by_size = set(
        Companion.objects.filter(need=Need.MUST, companion__kind=SkuKind.TUBE)
        .exclude(size_key="")
        .values_list("size_key", flat=True)
    )
    tube_type = Sku.objects.tyres().filter(tube=TubeType.TUBE_TYPE)

    assert [sku.code for sku in tube_type if not by_size & set(sku.size_keys)] == []
