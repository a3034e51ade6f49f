"""Gaps and what an approval touches over the API; documents' files; the job of the night."""

from __future__ import annotations

from datetime import date

import pytest
from django.contrib.auth.models import Group, Permission
from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils import timezone

from fitments.lookup.tested import found_in_tests
from inventory.ground.jobs.kinds import Work
from stockist.approvals.job import look_for_gaps
from tests.factories.approvals import ApprovalFactory, EvidenceFactory, TestResultFactory
from tests.factories.cars import FitmentFactory
from tests.factories.catalogue import SkuFactory
from tests.factories.sending import held_set
from tests.factories.when import AT
from tests.ground.uploads import files

pytestmark = pytest.mark.django_db
ROOT = "/api/v1/"


@pytest.fixture(autouse=True)
def folder(settings, tmp_path):
    settings.EVIDENCE_ROOT = tmp_path / "evidence"


def test_what_is_missing(api):
    FitmentFactory(variant__code="V-BARE")
    EvidenceFactory(code="EV-DUE", due_on=date(2020, 1, 1))
    told = api("counter").get(f"{ROOT}missing/").json()
    assert [(one["gap"], one["code"]) for one in told["results"]] == [
        ("not_approved", "V-BARE"),
        ("not_listed", "V-BARE"),
        ("due", "EV-DUE"),
    ]
    assert (told["next"], told["previous"]) == (None, None)
    only = api("counter").get(f"{ROOT}missing/", {"gap": "due"}).json()
    assert [one["code"] for one in only["results"]] == ["EV-DUE"]


@pytest.mark.parametrize(
    "asked",
    [{"gap": "all"}, {"page": "1"}, {"gaps": "due"}, {"page_size": "101"}, {"ordering": "name"}],
)
def test_slips_are_refused(api, asked):
    assert api("counter").get(f"{ROOT}missing/", asked).status_code == 400


@pytest.mark.parametrize("cursor", ["x", "", "W10", "bnVsbA", "WzAsW11d", "é"])
def test_what_is_no_cursor(api, cursor):
    answer = api("counter").get(f"{ROOT}missing/", {"cursor": cursor})
    assert answer.status_code == 404, answer.content
    assert "no cursor of this list" in answer.json()["detail"]


@pytest.mark.parametrize("ordering", ["gap", "-gap", "code", "-code"])
def test_every_gap_comes_once_page_by_page_and_back_again(api, ordering):
    for number in range(4):
        EvidenceFactory(code=f"EV-{number}", due_on=date(2020, 1, 9 - number))
        FitmentFactory(variant__code=f"V-{number}")
    client = api("counter")
    whole = client.get(f"{ROOT}missing/", {"ordering": ordering}).json()["results"]
    assert len(whole) == 12
    page = client.get(f"{ROOT}missing/", {"ordering": ordering, "page_size": 5}).json()
    pages = [page["results"]]
    while page["next"]:
        page = client.get(page["next"]).json()
        pages.append(page["results"])
    assert [len(one) for one in pages] == [5, 5, 2]
    assert [row for rows in pages for row in rows] == whole
    back = [page["results"]]
    while page["previous"]:
        page = client.get(page["previous"]).json()
        back.insert(0, page["results"])
    assert back == pages
    keys = [(one["gap"], one["code"]) for one in whole]
    assert len(set(keys)) == 12
    codes = [code for _, code in keys]
    if ordering.endswith("code"):
        assert codes == sorted(codes, reverse=ordering.startswith("-"))


def test_what_is_missing_of_one_car_or_by_words(api):
    for number in range(3):
        FitmentFactory(variant__code=f"V-{number}")
    rows = api("counter").get(f"{ROOT}missing/", {"code": "v-1"}).json()["results"]
    assert [(one["gap"], one["code"]) for one in rows] == [
        ("not_approved", "V-1"),
        ("not_listed", "V-1"),
    ]
    rows = api("counter").get(f"{ROOT}missing/", {"q": "V-2", "gap": "not_listed"}).json()
    assert [one["code"] for one in rows["results"]] == ["V-2"]


def test_what_an_approval_touches(api):
    _, order, lot, hold = held_set()
    claim = ApprovalFactory(size_text=lot.sku.size_text, listed=True)
    told = api("owner").get(f"{ROOT}approvals/{claim.pk}/touched/").json()
    assert told["holds"] == [hold.number]
    assert told["orders"] == [order.number]
    assert told["stock"] == [
        {"sku": lot.sku.code, "in_the_racks": 4, "spoken_for": 4, "to_sell": 0}
    ]


@pytest.mark.parametrize("what", ["missing/", "approvals/1/touched/"])
def test_the_warehouse_has_no_business_here(api, what):
    assert api("warehouse").get(ROOT + what).status_code == 403


def test_a_file_is_sent_and_handed_out(api):
    paper, owner = EvidenceFactory(checked=True), api("owner")
    address = f"{ROOT}evidence/{paper.pk}/"
    assert owner.get(f"{address}file/").status_code == 404
    sent = {"why": "scanned", "file": SimpleUploadedFile("../a.pdf", files.pdf())}
    answer = owner.post(
        f"{address}send-file/", sent, format="multipart", headers={"Idempotency-Key": "k"}
    )
    assert answer.status_code == 200, answer.content
    assert (answer.json()["file_name"], answer.json()["checked_at"]) == ("a.pdf", None)
    got = owner.get(f"{address}file/")
    assert got.content == files.pdf()
    assert got["Content-Disposition"] == 'attachment; filename="a.pdf"'
    versions = owner.get(f"{ROOT}evidence-versions/", {"evidence": paper.pk}).json()["results"]
    assert [one["why"] for one in versions] == ["scanned", ""]


def test_a_file_that_is_not_taken_is_a_problem_with_its_field(api):
    sent = {"why": "x", "file": SimpleUploadedFile("a.pdf", b"#!/bin/sh")}
    answer = api("owner").post(
        f"{ROOT}evidence/{EvidenceFactory().pk}/send-file/", sent, format="multipart",
        headers={"Idempotency-Key": "k"},
    )  # fmt: skip
    assert (answer.status_code, answer.json()["code"]) == (415, "not-that-kind")
    assert answer.json()["errors"][0]["pointer"] == "/file"


def test_the_night_counts_what_is_missing():
    FitmentFactory()
    done = look_for_gaps(Work(1, "2026-11-23", {}, None, AT), None)
    assert done.cursor is None
    assert done.result == (
        "1 × no tyre approved by the car's maker; 1 × no tyre in the catalogue in a listed size."
    )
    assert done.total == 2


class TestTests:
    def test_at_the_counter(self, signed_in):
        report = EvidenceFactory(
            test_report=True, checked=True, issuer="Fellside Motoring", dated=date(2025, 4, 1)
        )
        sku = SkuFactory(code="TB-CAIRN")
        TestResultFactory(evidence=report, sku=sku)
        TestResultFactory(sku=sku, discipline="noise", ranked_only=True)
        TestResultFactory(sku=sku, discipline="gone", withdrawn=True)
        page = signed_in("counter").get("/counter/tyres/TB-CAIRN/").content.decode()
        assert "braking from 100 km/h, wet: <strong>47.3 m, rank 2 of 9</strong>" in page
        assert "Fellside Motoring, 1 Apr 2025" in page
        assert "evidence checked by a second person" in page
        assert "noise: <strong>rank 2 of 9</strong>" in page
        assert "a claim whose evidence nobody has checked" in page
        assert "gone" not in page

    @pytest.mark.parametrize("role", ["counter", "warehouse", "buyer", "owner"])
    def test_the_report_is_a_link_for_whoever_may_read_it(self, signed_in, role):
        """No link that answers 403; the warehouse has neither the page nor the document."""
        result = TestResultFactory(sku=SkuFactory(code="TB-CAIRN"))
        client, address = signed_in(role), f"/approvals/evidence/{result.evidence_id}/"
        answer = client.get("/counter/tyres/TB-CAIRN/")
        assert (answer.status_code == 200) is (role != "warehouse")
        assert (client.get(address).status_code == 200) is (role != "warehouse")
        assert (address in answer.content.decode()) is (role != "warehouse")

    def test_the_reference_alone_for_whoever_may_not_read_it(self, signed_in):
        """A role made by hand, that looks up tyres and cars, and no documents."""
        result = TestResultFactory(sku=SkuFactory(code="TB-CAIRN"))
        client = signed_in("counter")
        reading = Permission.objects.get(codename="view_evidence")
        Group.objects.get(name="counter").permissions.remove(reading)
        page = client.get("/counter/tyres/TB-CAIRN/").content.decode()
        assert result.evidence.reference in page
        assert "/approvals/evidence/" not in page

    def test_as_it_was_known(self):
        result = TestResultFactory()
        type(result).objects.filter(pk=result.pk).update(result=50)
        (now,) = found_in_tests(result.sku, known_on=timezone.now())
        (then,) = found_in_tests(result.sku, known_on=AT)
        assert (now.found, then.found) == ("50 m, rank 2 of 9", "47.3 m, rank 2 of 9")
