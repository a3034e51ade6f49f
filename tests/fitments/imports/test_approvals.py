"""Approvals from a spreadsheet: two axles, superseded within the sheet, versions not edits."""

from __future__ import annotations

from datetime import date

import pytest

from fitments.activities import versions
from fitments.activities.versions import Said
from fitments.models.approval import Approval, ApprovalVersion
from inventory.ground.sheets.shifting import Shift
from tests.factories.approvals import CompetitionClassFactory, EvidenceFactory
from tests.factories.cars import CarMakerFactory, VehicleLineFactory
from tests.factories.catalogue import CompoundFactory, PatternFactory
from tests.ground.sheet_loads import loaded, wrong

pytestmark = pytest.mark.django_db

HEADINGS = [
    "code", "car maker", "model range", "class", "axle", "size", "pattern maker", "pattern",
    "compound", "mark", "mark issue", "by list", "valid from", "valid to", "withdrawn on",
    "superseded by", "least load index", "buffing allowed", "conditions", "evidence",
]  # fmt: skip


@pytest.fixture(autouse=True)
def register():
    line = VehicleLineFactory(code="SPR", maker__code="HLM", maker__name="Hallmere")
    pattern = PatternFactory(name="Cairnway", maker__code="TARN")
    CompoundFactory(code="q4", maker=pattern.maker)
    CompetitionClassFactory(code="T2")
    EvidenceFactory(code="EV-1")
    EvidenceFactory(code="EV-2")
    return line


def row(**cells):
    told = {
        "code": "A", "car maker": "HLM", "model range": "SPR", "axle": "front",
        "size": "165 SR 15", "mark": "HLM", "mark issue": "2", "valid from": "2019-05-02",
    }  # fmt: skip
    told |= {name.replace("_", " "): value for name, value in cells.items()}
    return [told.get(heading, "") for heading in HEADINGS]


def listed(**cells):
    """A row of an organiser's list."""
    blank = {"car_maker": "", "model_range": "", "mark": "", "mark_issue": "", "class": "T2"}
    return row(**(blank | {"by_list": "yes"} | cells))


def said(code):
    approval = Approval.objects.get(code=code)
    (version,) = versions.current([approval])[approval.pk]
    return Said.of(version)


def test_a_row_with_everything(register):
    loaded(
        "approvals", HEADINGS,
        row(
            size="165sr15", pattern_maker="tarn", pattern="cairnway", compound="q4",
            valid_to="2026-12-31", withdrawn_on="2026-06-01", least_load_index="86",
            buffing_allowed="no", conditions="rear only", evidence="ev-1; EV-2",
        ),
    )  # fmt: skip
    approval = Approval.objects.get()
    assert (approval.vehicle_line, approval.size) == (register, "165 SR 15")
    assert (approval.pattern.name, approval.compound.code) == ("Cairnway", "q4")
    now = said("A")
    assert (now.valid_from, now.valid_to) == (date(2019, 5, 2), date(2026, 12, 31))
    assert (now.withdrawn_on, now.least_load_index) == (date(2026, 6, 1), 86)
    assert (now.buffing_allowed, now.conditions) == (False, "rear only")
    assert {one.code for one in now.evidence} == {"EV-1", "EV-2"}


def test_both_axles_are_two_approvals():
    done = loaded("approvals", HEADINGS, row(axle="both"))
    assert (done.rows, done.new) == (1, 2)
    assert dict(Approval.objects.values_list("code", "axle")) == {"A-F": "front", "A-R": "rear"}


def test_loading_again_says_nothing_new():
    rows = (HEADINGS, row(axle="both", evidence="EV-1"), listed(code="L"))
    loaded("approvals", *rows)
    assert loaded("approvals", *rows).same == 3
    assert ApprovalVersion.objects.count() == 3


def test_what_is_said_otherwise_is_a_new_version_and_the_old_one_is_closed():
    loaded("approvals", HEADINGS, row(evidence="EV-1"))
    assert loaded("approvals", HEADINGS, row(evidence="EV-2", conditions="dry")).changed == 1
    old, new = ApprovalVersion.objects.order_by("pk")
    assert (old.known.upper, new.known.upper) == (new.known.lower, None)
    assert (new.conditions, new.why) == ("dry", "as the sheet of approvals says")
    assert [one.code for one in old.evidence.all()] == ["EV-1"]


def test_what_an_approval_is_about_is_not_changed_by_a_sheet():
    loaded("approvals", HEADINGS, row())
    told = wrong("approvals", HEADINGS, row(mark_issue="3", size="175 SR 15"))
    assert {words.split(":")[0] for words in told} == {"row 2, size", "row 2, mark issue"}
    assert all("never changes: withdraw this one" in words for words in told)


class TestSuperseded:
    def test_by_a_row_later_or_earlier_in_the_sheet_for_the_same_axle(self):
        old = row(code="OLD", axle="both", mark_issue="1", valid_to="2018-12-31",
                  valid_from="2001-01-01", superseded_by="NEW")  # fmt: skip
        new = row(code="NEW", axle="both")
        loaded("approvals", HEADINGS, old, new)
        for end in "FR":
            assert said(f"OLD-{end}").superseded_by == Approval.objects.get(code=f"NEW-{end}")
        assert loaded("approvals", HEADINGS, new, old).same == 4

    def test_a_row_for_one_axle_by_a_row_for_both(self):
        loaded("approvals", HEADINGS, row(code="NEW", axle="both"),
               row(code="OLD", axle="rear", mark_issue="1", superseded_by="new"))  # fmt: skip
        assert said("OLD").superseded_by.code == "NEW-R"

    def test_by_one_that_is_in_the_register(self):
        loaded("approvals", HEADINGS, row(code="NEW"))
        loaded("approvals", HEADINGS, row(code="OLD", mark_issue="1", superseded_by="new"))
        assert said("OLD").superseded_by.code == "NEW"

    def test_not_by_what_is_not_there_itself_or_the_other_axle(self):
        assert wrong(
            "approvals", HEADINGS,
            row(code="A", superseded_by="B"),
            row(code="C", mark_issue="3", superseded_by="c"),
            row(code="D", mark_issue="4", superseded_by="E"),
            row(code="E", mark_issue="5", axle="rear"),
        ) == [
            "row 2, superseded by: there is no approval “B”, here or in this sheet.",
            "row 3, superseded by: an approval cannot supersede itself.",
            "row 4, superseded by: E is for the rear axle, D is not.",
        ]  # fmt: skip


class TestLists:
    def test_any_size_and_pattern_of_a_class(self):
        loaded("approvals", HEADINGS, listed(size="", valid_from="", buffing_allowed="yes"))
        approval = Approval.objects.get()
        assert approval.competition_class.code == "T2"
        assert (approval.by_list, approval.size, approval.size_keys) == (True, "", [])
        assert (said("A").valid_from, said("A").valid_to) == (None, None)

    def test_a_list_moves_with_its_season_and_a_maker_s_letter_does_not(self):
        shift = Shift(weeks=52, years=1)
        days = {"valid_from": "2026-01-19", "valid_to": "2026-12-31", "withdrawn_on": "2026-06-01"}
        loaded("approvals", HEADINGS, listed(code="L", **days), row(**days), shift=shift)
        assert (said("L").valid_from, said("L").valid_to) == (date(2027, 1, 19), date(2027, 12, 31))
        assert (said("A").valid_from, said("A").valid_to) == (date(2026, 1, 19), date(2026, 12, 31))
        assert said("A").withdrawn_on == said("L").withdrawn_on == date(2027, 5, 31)

    def test_an_open_list_stays_open(self):
        loaded("approvals", HEADINGS, listed(valid_from=""), shift=Shift(weeks=52, years=1))
        assert said("A").valid_from is None


def test_every_row_is_told():
    CarMakerFactory(code="OTH", name="Other")
    told = wrong(
        "approvals", HEADINGS,
        row(code="A", size="round"),
        row(code="B", mark="", mark_issue=""),
        row(code="C", **{"class": "T2"}),
        row(code="D", car_maker="OTH"),
        row(code="E", pattern="Cairnway"),
        row(code="F", valid_to="2001-01-01"),
        row(code="G", evidence="EV-1;EV-9"),
        row(code="H", least_load_index="999"),
        row(code="I", axle="middle"),
        row(code="J", model_range="SPQ"),
        row(code="K", mark="≋"),
        row(code="k", mark="≋", mark_issue="7"),
    )  # fmt: skip
    assert [words.split(":")[0] for words in told] == [
        "row 2, size", "row 3, by list", "row 4, car maker", "row 5, model range", "row 6, pattern",
        "row 7, valid to", "row 8, evidence", "row 9, least load index", "row 10, axle",
        "row 11, model range", "row 13, code",
    ]  # fmt: skip
    assert not Approval.objects.exists()


def test_one_claim_under_two_codes():
    assert wrong("approvals", HEADINGS, row(code="A"), row(code="B")) == [
        "row 3, mark issue: This approval is in the register already."
    ]


def test_a_code_that_both_axles_make_of_another_row():
    told = wrong("approvals", HEADINGS, row(code="A", axle="both"), row(code="A-F", mark_issue="3"))
    assert told == ["row 3, code: An approval of this code is there already."]
