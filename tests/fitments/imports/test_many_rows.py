"""Sheets of cars and approvals with many rows: as many queries as for few, and all of it in."""

from __future__ import annotations

import pytest

from fitments.models.approval import Approval, ApprovalVersion
from fitments.models.car import ChassisRange, Variant, WheelOption
from fitments.models.evidence import Evidence
from fitments.models.fitment import Fitment
from inventory.ground.sheets.loading import load
from inventory.ground.sheets.registry import sheet_named
from tests.factories.approvals import EvidenceFactory
from tests.factories.cars import VariantFactory, VehicleLineFactory
from tests.factories.people import UserFactory
from tests.factories.when import AT
from tests.ground.sheet_files import csv_file
from tests.ground.sheet_loads import loaded
from tests.support.counting import queries_of

pytestmark = pytest.mark.django_db

SIZES = ["165 SR 15", "5.60-15", "185/70 R 15", "6.40-13", "205/70 VR 14"]


@pytest.fixture(autouse=True)
def sprint():
    line = VehicleLineFactory(code="SPR", maker__code="HLM")
    VariantFactory(code="V1", vehicle_line=line)
    EvidenceFactory(code="EV-1")
    UserFactory(username="owner")
    return line


def variants(first, count):
    return [
        ["model range", "code", "name", "chassis"],
        *(["SPR", f"N{n}", f"1.{n}", f"HS {n * 10}-{n * 10 + 9}; HSA 1-{n + 1}"]
          for n in range(first, first + count)),
    ]  # fmt: skip


def wheels(first, count):
    return [
        ["variant", "wheel", "axle", "rim", "width in", "as listed"],
        *(["V1", f"wheel {n}", "both", "15", "5.5", "no"] for n in range(first, first + count)),
    ]


def fitments(first, count):
    return [
        ["variant", "axle", "combination", "size", "standing", "source"],
        *(["V1", "both", f"C{n}", SIZES[n % 5], "accepted alternative", "S1"]
          for n in range(first, first + count)),
    ]  # fmt: skip


def pressures(first, count):
    return [
        ["variant", "axle", "size", "when", "kPa", "source"],
        *(["V1", "front", SIZES[n % 5], f"when {n}", "200", "S1"]
          for n in range(first, first + count)),
    ]  # fmt: skip


def evidence(first, count):
    return [
        ["code", "kind", "reference", "issued by", "checked on", "checked by"],
        *([f"N{n}", "letter", f"R{n}", "Hallmere", "2026-02-11", "owner"]
          for n in range(first, first + count)),
    ]  # fmt: skip


def approvals(first, count):
    return [
        ["code", "car maker", "model range", "axle", "size", "mark", "mark issue", "valid from",
         "superseded by", "evidence"],
        *([f"A{n}", "HLM", "SPR", "both", SIZES[n % 5], "HLM", str(n), "2019-05-02",
           f"A{n - 1}" if n > first else "", "EV-1"]
          for n in range(first, first + count)),
    ]  # fmt: skip


EVERY = [variants, wheels, fitments, pressures, evidence, approvals]


@pytest.mark.parametrize("rows", EVERY, ids=lambda rows: rows.__name__)
def test_as_many_queries_for_many_rows_as_for_few(rows):
    sheet, by = sheet_named(rows.__name__), UserFactory()

    def asked(first, count):
        data = csv_file(*rows(first, count))
        return queries_of(lambda: load(sheet, data, by=by, at=AT))

    assert asked(0, 5) == asked(100, 60)  # all of them new
    assert asked(0, 5) == asked(100, 60)  # all of them there already


@pytest.mark.parametrize("rows", EVERY, ids=lambda rows: rows.__name__)
def test_many_rows_are_loaded_and_loaded_again(rows):
    told = rows(0, 600)
    done = loaded(rows.__name__, *told)
    assert done.rows == 600
    assert done.new in (600, 1200)  # both axles are two
    again = loaded(rows.__name__, *told)
    assert (again.new, again.changed, again.same) == (0, 0, done.new)


def test_what_came_of_them(sprint):
    loaded("variants", *variants(0, 300))
    loaded("wheels", *wheels(0, 300))
    loaded("fitments", *fitments(0, 300))
    loaded("evidence", *evidence(0, 300))
    loaded("approvals", *approvals(0, 300))
    assert Variant.objects.exclude(search="").count() >= 300
    assert ChassisRange.objects.filter(prefix="HSA").count() == 300
    assert WheelOption.objects.filter(rim_mm=381, bead="5-degree").count() == 600
    assert Fitment.objects.filter(size="165 SR 15").count() == 120
    assert Evidence.objects.filter(checked_by__username="owner").count() == 300
    assert Approval.objects.count() == ApprovalVersion.objects.count() == 600
    assert ApprovalVersion.objects.filter(superseded_by__isnull=False).count() == 598
    assert all(version.evidence.count() == 1 for version in ApprovalVersion.objects.all()[:20])


@pytest.mark.parametrize("rows", EVERY, ids=lambda rows: rows.__name__)
def test_the_last_row_of_many_is_wrong_and_none_is_loaded(rows):
    sheet = sheet_named(rows.__name__)
    told = rows(0, 300)
    told[-1] = [*told[-1][:-1], "\x07"]
    before = sheet.model.objects.count()
    with pytest.raises(Exception, match="One thing is wrong with this spreadsheet"):
        loaded(rows.__name__, *told)
    assert sheet.model.objects.count() == before
