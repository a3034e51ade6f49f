"""Approvals entered in bulk, as the sheet does it."""

from __future__ import annotations

from datetime import date

import pytest

from fitments.activities.claims import CLAIMS
from fitments.activities.sizes import service_faults, with_size
from fitments.activities.versions import Said
from fitments.models.approval import Approval, ApprovalVersion
from inventory.ground.entries.faults import Faulty
from tests.factories.cars import VehicleLineFactory
from tests.support.counting import queries_of

SINCE = Said(valid_from=date(2019, 5, 2))


@pytest.fixture
def claims(db):
    """So many different claims of one range, each with the same said of it."""
    line = VehicleLineFactory()

    def make(*numbers, said=SINCE, why=""):
        return [
            {"code": f"C{n}", "car_maker": line.maker, "vehicle_line": line, "axle": "front",
             "size_text": "165 R 15", "mark": f"M{n}", "said": said, "why": why}
            for n in numbers
        ]  # fmt: skip

    return make


def test_new_same_and_changed(claims, who):
    CLAIMS.enter(claims(1, 2), **who)
    entries = CLAIMS.enter([*claims(1), *claims(2, said=Said()), *claims(3)], **who)
    assert [(one.is_new, one.is_changed) for one in entries] == [
        (False, False), (False, True), (True, False),
    ]  # fmt: skip
    assert Approval.objects.count() == 3
    assert ApprovalVersion.objects.count() == 4


def test_each_reason_is_kept_with_its_own_versions(claims, who):
    CLAIMS.enter([*claims(1, why="one"), *claims(2, why="two"), *claims(3, why="one")], **who)
    rows = ApprovalVersion.objects.order_by("approval__code")
    assert [version.why for version in rows] == ["one", "two", "one"]


def test_a_claim_alone_says_nothing(claims, who):
    (claim,) = claims(1)
    CLAIMS.enter([{name: value for name, value in claim.items() if name != "said"}], **who)
    assert Approval.objects.count() == 1
    assert not ApprovalVersion.objects.exists()


def test_what_an_approval_is_about_never_changes(claims, who):
    CLAIMS.enter(claims(1), **who)
    (claim,) = claims(1)
    with pytest.raises(Faulty, match="never changes: withdraw this one") as refusal:
        CLAIMS.enter([claim | {"axle": "rear", "size_text": "175 R 15"}], **who)
    assert {fault.field for fault in refusal.value.faults} == {"axle", "size_text"}
    assert Approval.objects.get().axle == "front"


def test_the_same_size_written_otherwise_is_a_change_of_what_was_typed(claims, who):
    CLAIMS.enter(claims(1), **who)
    (claim,) = claims(1)
    with pytest.raises(Faulty, match="never changes"):
        CLAIMS.enter([claim | {"size_text": "165r15"}], **who)


def test_nothing_is_entered_if_one_is_wrong(claims, who):
    with pytest.raises(Faulty):
        CLAIMS.enter([*claims(1), *claims(2, said=Said(least_load_index=999))], **who)
    assert not Approval.objects.exists()


def test_queries_do_not_grow_with_the_claims(claims, who):
    def asked(first, count):
        rows = claims(*range(first, first + count))
        return queries_of(lambda: CLAIMS.enter(rows, **who))

    assert asked(0, 5) == asked(100, 40)
    assert asked(0, 5) == asked(100, 40)  # the same again


class TestSizes:
    def test_a_size_is_read_into_columns(self):
        values, faults = with_size({"size_text": "165r15", "axle": "front"}, rim=True)
        assert not faults
        assert (values["size"], values["rim_mm"], values["axle"]) == ("165 R 15", 381, "front")
        assert values["size_keys"] == sorted(values["size_keys"])

    def test_the_rim_only_where_it_is_wanted(self):
        assert "rim_mm" not in with_size({"size_text": "165 R 15"})[0]

    def test_no_size_is_any_and_none_given_is_none_read(self):
        assert with_size({"size_text": ""})[0] == {"size_text": "", "size": "", "size_keys": []}
        assert with_size({"axle": "front"}) == ({"axle": "front"}, [])

    def test_what_cannot_be_read_is_told(self):
        values, (fault,) = with_size({"size_text": "round"})
        assert values == {"size_text": "round"}
        assert (fault.field, "cannot be read" in fault.words) == ("size_text", True)

    @pytest.mark.parametrize("index", [0, 86, 150])
    def test_load_indices_that_there_are(self, index):
        assert not list(service_faults(load_index=index))

    @pytest.mark.parametrize(
        ("index", "speed", "fields"),
        [(None, "", []), (999, "", ["least_load_index"]), (86, "X", ["least_speed"]),
         (-1, "?", ["least_load_index", "least_speed"]), (86, "(Y)", []), (86, "v", [])],
    )  # fmt: skip
    def test_service_marks_that_there_are_not(self, index, speed, fields):
        told = service_faults(load_index=index, speed=speed)
        assert [fault.field for fault in told] == fields
