"""Of the lots of the demo: every owner, condition, block and awkward date code."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db.models import Count

from inventory.markings import read_date_code
from inventory.models.lot import Block, BlockReason, Condition, Lot, Owner
from inventory.models.place import PlaceKind
from inventory.models.sku import SkuKind

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("shop")]


def test_every_owner_condition_and_reason_of_a_block():
    assert set(Lot.objects.values_list("owner", flat=True)) == set(Owner.values)
    assert set(Lot.objects.values_list("condition", flat=True)) == set(Condition.values)
    assert set(Block.objects.values_list("reason", flat=True)) == set(BlockReason.values)


def test_tyres_stand_in_places_of_every_kind():
    kinds = Lot.objects.values_list("balances__place__kind", flat=True)

    assert set(kinds) == set(PlaceKind.values)


def test_some_stand_in_quarantine_without_any_block():
    waiting = Lot.objects.filter(balances__place__kind=PlaceKind.QUARANTINE, blocks=None)

    assert waiting.exists()


def test_three_figures_leave_the_decade_open(as_of):
    lot = Lot.objects.filter(date_code="357").get()

    assert (lot.week_index, lot.first_day) == (None, None)
    assert len(read_date_code("357", as_of).candidates) == 3


def test_four_old_figures_that_read_two_ways(as_of):
    lot = Lot.objects.get(date_code="2414")

    assert lot.condition == Condition.DISPLAY
    assert {one.year for one in read_date_code("2414", as_of).candidates} == {2014, 1974}


def test_week_53_of_a_year_of_53():
    lot = Lot.objects.get(date_code="5323")

    assert lot.first_day.isoformat() == "2023-12-31"
    assert lot.last_day.isoformat() == "2024-01-06"


def test_whole_identification_numbers_and_one_without_its_date():
    assert Lot.objects.filter(plant="4K7", week_index__isnull=False).count() == 3
    assert Lot.objects.filter(plant="4K7", week_index=None).count() == 1
    assert Lot.objects.filter(plant="K7", week_index__isnull=False).count() == 1


def test_seven_years_old_and_five_years_old_beside_new(as_of):
    older = Lot.objects.made_before(as_of - timedelta(days=7 * 365))
    old = Lot.objects.made_before(as_of - timedelta(days=5 * 365))

    assert 4 <= older.count() < old.count() < Lot.objects.count() / 10


def test_no_code_at_all_is_normal_on_race_tyres():
    undated = Lot.objects.filter(date_code="", sku__kind=SkuKind.TYRE)

    assert undated.filter(sku__pattern__use="competition").count() > 40
    assert not undated.filter(delivery="", sku__pattern__use="competition").exists()


def test_marks_and_pattern_issues_are_mixed_within_a_sku():
    def mixed(field: str) -> set[str]:
        each = Lot.objects.values("sku__code").annotate(kinds=Count(field, distinct=True))
        return set(each.filter(kinds__gt=1).values_list("sku__code", flat=True))

    assert {"COR-SIL-155R13-MBY2", "ORS-ARA-20570VR14-ONDA3"} <= mixed("mark_issue")
    assert {"BRA-STU-44045021", "OKE-CWY-145SR15"} <= mixed("pattern_issue")
    assert "BRA-STU-33X5" in mixed("country")


def test_whose_the_tyres_are_that_are_not_ours():
    assert Lot.objects.filter(owner=Owner.CUSTOMER).count() == 4
    assert Lot.objects.filter(owner=Owner.SUPPLIER).count() == 6
    assert not Lot.objects.exclude(owner=Owner.HOUSE).exclude(unit_cost=None).exists()
