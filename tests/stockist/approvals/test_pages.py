"""The register on two dates, one approval, its documents, and what is missing."""

from __future__ import annotations

import csv
from datetime import date
from html import unescape
from io import BytesIO, StringIO

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils import timezone
from openpyxl import load_workbook

from fitments.activities import approvals
from fitments.models.approval import ApprovalVersion
from fitments.models.evidence import Evidence
from inventory.ground.uploads.limits import MEGABYTE
from tests.factories.approvals import ApprovalFactory, EvidenceFactory
from tests.factories.cars import FitmentFactory, VariantFactory
from tests.factories.catalogue import SkuFactory
from tests.factories.people import UserFactory
from tests.factories.sending import held_set
from tests.factories.stock import stock_in
from tests.ground.uploads import files
from tests.ground.uploads.streams import Body
from tests.support.counting import queries_of

pytestmark = pytest.mark.django_db


def body(answer, status=200):
    assert answer.status_code == status, answer.content.decode()[:3000]
    return unescape(answer.content.decode())


@pytest.fixture(autouse=True)
def folder(settings, tmp_path):
    settings.EVIDENCE_ROOT = tmp_path / "evidence"
    return settings.EVIDENCE_ROOT


@pytest.fixture
def owner(signed_in):
    return signed_in("owner")


@pytest.fixture
def counter(signed_in):
    return signed_in("counter")


@pytest.fixture
def approval():
    return ApprovalFactory(code="AP-ONE", version__evidence=[EvidenceFactory(checked=True)])


class TestRegister:
    def test_now(self, counter, approval):
        page = body(counter.get("/approvals/"))
        assert "AP-ONE" in page
        assert "185/70 R 15, any pattern, mark HLM issue 2" in page
        assert "✓ in force" in page
        assert "✓ evidence checked by a second person" in page
        assert "The register as known now, for any day." in page

    def test_two_dates_are_asked_apart(self, counter, approval):
        """Withdrawn today as of 2024: last month nobody knew."""
        approvals.withdraw(
            approval=approval, on=date(2024, 6, 1), why="x", by=UserFactory(), at=timezone.now()
        )

        def asked(**days):
            return "AP-ONE" in body(counter.get("/approvals/", days))

        assert not asked(in_force_on="2025-01-01")
        assert asked(in_force_on="2024-05-31")
        assert asked(in_force_on="2025-01-01", known_on="2026-02-01")
        assert not asked(known_on="2025-12-31")  # before anything was known of it
        assert not asked(in_force_on="2018-01-01", known_on="2026-02-01")

    def test_what_it_rested_on_is_told_as_it_was_known(self, counter, approval):
        letter = Evidence.objects.get()
        Evidence.objects.filter(pk=letter.pk).update(checked_at=None, checked_by=None)
        assert "a claim whose evidence nobody has checked" in body(counter.get("/approvals/"))
        page = body(counter.get("/approvals/", {"known_on": "2026-11-24"}))
        assert "✓ evidence checked by a second person" in page

    def test_filtered_and_ordered(self, counter, approval):
        ApprovalFactory(code="LIST-9", organisers=True)
        page = body(counter.get("/approvals/", {"issuer": "organiser", "order": "-pk"}))
        assert "LIST-9" in page
        assert "AP-ONE" not in page
        assert "AP-ONE" in body(counter.get("/approvals/", {"q": "hlm 185/70"}))
        assert "says nothing like that" in body(counter.get("/approvals/", {"q": "nothing"}))

    def test_an_unreadable_day_shows_nothing_and_says_so(self, counter, approval):
        page = body(counter.get("/approvals/", {"known_on": "yesterday"}))
        assert "Enter a valid date." in page
        assert "AP-ONE" not in page

    def test_no_more_queries_for_more_rows(self, counter, approval):
        few = queries_of(lambda: counter.get("/approvals/"))
        for _ in range(5):
            ApprovalFactory(version__evidence=EvidenceFactory.create_batch(2))
        assert queries_of(lambda: counter.get("/approvals/")) == few

    def test_as_a_spreadsheet_without_formulas(self, counter):
        ApprovalFactory(code="AP-TWO", version__conditions="=HYPERLINK(1)")
        answer = counter.get("/approvals/register.xlsx", {"known_on": "2026-11-20"})
        assert answer["Content-Disposition"] == (
            'attachment; filename="approvals-known-2026-11-20.xlsx"'
        )
        sheet = load_workbook(BytesIO(answer.content)).active
        head, row = ([cell.value for cell in each] for each in sheet.iter_rows())
        told = dict(zip(head, row, strict=True))
        assert told["approval"] == "AP-TWO"
        assert told["conditions"] == "'=HYPERLINK(1)"
        assert "'=HYPERLINK(1)" in counter.get("/approvals/register.csv").content.decode()
        assert counter.get("/approvals/register.exe").status_code == 404


class TestApproval:
    def test_what_is_said_and_what_was(self, counter, approval):
        version = approval.versions.get()
        approvals.correct(
            version=version, why="misread", conditions="dry only", by=UserFactory(),
            at=timezone.now(),
        )  # fmt: skip
        page = body(counter.get(f"/approvals/{approval.pk}/"))
        assert "dry only" in page
        assert ": misread" in page
        assert "What was said before" in page
        assert "Withdraw it" not in page

    def test_the_owner_withdraws_and_sees_what_it_touches(self, owner, approval):
        sku = SkuFactory(size_text="185/70 R 15", mark="HLM", mark_issue="2")
        stock_in(on_hand=6, sku=sku)
        page = body(owner.get(f"/approvals/{approval.pk}/"))
        assert "1 SKU with 6 tyres in the racks, 0 holds, 0 lines of open orders." in page
        assert "It touches 1 SKU with 6 tyres in the racks" in page  # before it is confirmed
        address = f"/approvals/{approval.pk}/withdraw/"
        assert "This field is required" in body(
            owner.post(address, {"idempotency_key": "a", "why": ""}), 400
        )
        answer = owner.post(address, {"idempotency_key": "b", "why": "their letter"}, follow=True)
        assert "nothing more is promised on it" in body(answer)
        assert "✕ withdrawn on" in body(answer)
        assert approval.versions.filter(withdrawn_on__isnull=False).count() == 1

    def test_another_issue_takes_its_place(self, owner, approval):
        later = ApprovalFactory(code="AP-THREE", mark_issue="3")
        sent = {
            "idempotency_key": "a",
            "successor": "AP-THREE",
            "first_day": "2026-07-01",
            "why": "x",
        }
        page = body(owner.post(f"/approvals/{approval.pk}/supersede/", sent, follow=True))
        assert "superseded by AP-THREE" in page
        now = ApprovalVersion.objects.get(approval=approval, known__upper_inf=True)
        assert now.superseded_by == later
        sent = {"idempotency_key": "b", "successor": "NONE", "why": "x"}
        assert "Select a valid choice" in body(
            owner.post(f"/approvals/{approval.pk}/supersede/", sent), 400
        )

    def test_holds_and_orders_are_named(self, owner):
        _, order, lot, hold = held_set()
        sku = lot.sku
        claim = ApprovalFactory(size_text=sku.size_text, listed=True)
        page = body(owner.get(f"/approvals/{claim.pk}/"))
        assert hold.number in page
        assert order.number in page

    def test_a_document_that_does_not_speak_of_it(self, counter):
        letter = EvidenceFactory(sizes=["165 R 15"], marks=["HLM 3"], axles=["rear"])
        claim = ApprovalFactory(version__evidence=[letter])
        page = body(counter.get(f"/approvals/{claim.pk}/"))
        for words in ("the size 185/70 R 15", "the front axle", "the mark HLM 2"):
            assert f"it does not name {words}" in page

    @pytest.mark.parametrize("role", ["counter", "buyer", "warehouse"])
    @pytest.mark.parametrize("step", ["withdraw", "supersede"])
    def test_only_the_owner_says_something_else(self, signed_in, approval, role, step):
        sent = {"idempotency_key": "a", "why": "x", "successor": approval.code}
        answer = signed_in(role).post(f"/approvals/{approval.pk}/{step}/", sent)
        assert answer.status_code == 403
        assert approval.versions.count() == 1


def sent(content=None, name="../../HC 208.pdf", **more):
    told = {
        "idempotency_key": "k", "code": "EV-9", "kind": "letter", "reference": "HC/208",
        "issuer": "Hallmere Cars", "sizes": "185/70r15; 165 R 15", "axles": ["front"],
    }  # fmt: skip
    if content is not None:
        told["file"] = SimpleUploadedFile(name, content, content_type="application/pdf")
    return told | more


class TestEvidence:
    def test_recorded_with_its_file_checked_by_another(self, signed_in, owner):
        buyer = signed_in("buyer")
        content = files.pdf()
        page = body(buyer.post("/approvals/evidence/record/", sent(content), follow=True))
        assert "claimed: nobody has checked it" in page
        assert "Save HC 208.pdf" in page
        letter = Evidence.objects.get()
        assert letter.sizes == ["185/70 R 15", "165 R 15"]
        assert "It says what is written here" not in page
        address = f"/approvals/evidence/{letter.pk}/"
        seen = {"idempotency_key": "c", "seen": letter.versions.get().pk, "due_on": "2030-01-01"}
        assert buyer.post(f"{address}check/", seen).status_code == 403
        assert "✓ checked by owner" in body(owner.post(f"{address}check/", seen, follow=True))
        answer = owner.get(f"{address}file/")
        assert answer.content == content
        assert answer["Content-Disposition"] == 'attachment; filename="HC 208.pdf"'
        assert answer["X-Content-Type-Options"] == "nosniff"
        assert "sandbox" in answer["Content-Security-Policy"]

    def test_the_owner_s_own_is_self_checked_and_shown_so(self, owner):
        owner.post("/approvals/evidence/record/", sent())
        letter = Evidence.objects.get()
        seen = {"idempotency_key": "c", "seen": letter.versions.get().pk}
        page = body(owner.post(f"/approvals/evidence/{letter.pk}/check/", seen, follow=True))
        assert "! self-checked by owner" in page

    @pytest.mark.parametrize(
        ("content", "words"),
        [
            (b"#!/bin/sh\nrm -rf /", "A PDF or JPEG or PNG is taken here"),
            (files.pdf_with(b"/JavaScript"), "holds a script"),
            (files.pdf() + b" " * 21_000_000, "MB are more than the 20 MB"),
            (b"\xff\xd8\xff half", "cannot be read to its end"),
            (files.png_of(60_000, 60_000), "more than the 50 million points"),
            (files.pdf_with_packed(b"\0" * 70_000_000), "unpacks to more than is looked at"),
        ],
        ids=["script", "active", "large", "half", "picture bomb", "packed bomb"],
    )
    def test_a_file_that_is_not_taken(self, owner, folder, content, words):
        page = body(owner.post("/approvals/evidence/record/", sent(content)), 400)
        assert words in page
        assert 'value="HC/208"' in page  # nothing that was typed is lost
        assert not Evidence.objects.exists()
        assert not folder.exists()

    def test_a_gigabyte_is_refused_with_the_sentence_and_not_kept(
        self, owner, folder, settings, tmp_path
    ):
        """Through the whole of the shop; that no memory is taken is told beside the handler."""
        settings.FILE_UPLOAD_TEMP_DIR = str(tmp_path)
        stream = Body(1024 * MEGABYTE, sent())
        answer = owner.post(
            "/approvals/evidence/record/", data=b"", content_type=stream.media_type,
            **{
                "wsgi.input": stream, "CONTENT_LENGTH": str(stream.length),
                "CONTENT_TYPE": stream.media_type,
            },
        )  # fmt: skip
        page = body(answer, 400)
        assert "1025 MB are more than the 20 MB" in page
        assert 'value="HC/208"' in page
        kept = sum(path.stat().st_size for path in tmp_path.rglob("*") if path.is_file())
        assert kept <= 26 * MEGABYTE  # what came before the limit, until the answer is sent
        assert not Evidence.objects.exists()
        assert not folder.exists()

    def test_a_photograph_loses_where_it_was_taken(self, owner):
        content = files.photograph_at(54, 2)
        owner.post("/approvals/evidence/record/", sent(content, "IMG.jpg", kind="photograph"))
        letter = Evidence.objects.get()
        kept = owner.get(f"/approvals/evidence/{letter.pk}/file/").content
        assert b"telephone" not in kept
        assert letter.digest != letter.copy_digest

    def test_a_correction_is_a_new_version_and_wants_checking(self, owner, approval):
        letter = Evidence.objects.get()
        address = f"/approvals/evidence/{letter.pk}/correct/"
        seen = letter.versions.get().pk
        told = sent(why="misread", seen=seen, reference="HC/209")
        page = body(owner.post(address, told, follow=True))
        assert "claimed: nobody has checked it" in page
        assert "HC/209" in page
        assert "What was known of it before" in page
        stale = sent(why="again", seen=seen, idempotency_key="z", issuer="Other")
        assert "Somebody else has changed this" in body(owner.post(address, stale), 412)
        missing = sent(why="", seen=seen, idempotency_key="y")
        assert "This field is required" in body(owner.post(address, missing), 400)

    def test_only_the_file_whose_digest_is_on_record(self, owner):
        letter = EvidenceFactory(digest="ab" * 32)
        told = sent(files.pdf(), why="found", seen=letter.versions.get().pk)
        page = body(owner.post(f"/approvals/evidence/{letter.pk}/correct/", told), 409)
        assert "is that of another file" in page

    def test_the_list_by_what_is_due(self, counter):
        EvidenceFactory(code="OLD", due_on=date(2020, 1, 1))
        EvidenceFactory(code="NEW")
        page = body(counter.get("/approvals/evidence/", {"checked": "due", "q": "hallmere"}))
        assert "OLD" in page
        assert "NEW" not in page

    def test_the_warehouse_has_no_business_here(self, signed_in, approval):
        client = signed_in("warehouse")
        for address in ("", "evidence/", "missing/", f"{approval.pk}/"):
            assert client.get(f"/approvals/{address}").status_code == 403


class TestMissing:
    def test_every_kind(self, counter):
        bare = VariantFactory(code="V-BARE")
        FitmentFactory(variant=bare, size_text="820x120")
        listed = VariantFactory(code="V-NONE-LEFT", vehicle_line=bare.vehicle_line)
        FitmentFactory(variant=listed, size_text="165 R 15")
        SkuFactory(size_text="165 R 15")
        had = VariantFactory(code="V-HAD")
        FitmentFactory(variant=had, size_text="185/70 R 15")
        stock_in(on_hand=4, sku=SkuFactory(size_text="185/70 R 15"))
        ApprovalFactory(code="AP-HAD", vehicle_line=had.vehicle_line, listed=True)
        ApprovalFactory(code="AP-NO-SKU", vehicle_line=had.vehicle_line, mark="ZZ")
        EvidenceFactory(code="EV-DUE", due_on=date(2020, 1, 1))
        EvidenceFactory(code="EV-LATER", due_on=date(2099, 1, 1))
        page = body(counter.get("/approvals/missing/"))
        text = counter.get("/approvals/missing.csv").content.decode("utf-8-sig")
        _, *told = csv.reader(StringIO(text))
        found = sorted((row[0], row[1]) for row in told)
        assert found == sorted(
            [
                ("no tyre approved by the car's maker", "V-BARE"),
                ("no tyre approved by the car's maker", "V-NONE-LEFT"),
                ("no tyre in the catalogue in a listed size", "V-BARE"),
                ("tyres in the catalogue, none to sell", "V-NONE-LEFT"),
                ("approved, and no such tyre in the catalogue", "AP-NO-SKU"),
                ("evidence due for another look", "EV-DUE"),
            ]
        )
        assert "2 × no tyre approved by the car's maker" in page
        only = body(counter.get("/approvals/missing/", {"gap": "due"}))
        assert "EV-DUE" in only
        assert "V-BARE" not in only

    def test_no_more_queries_for_more_cars(self, counter):
        FitmentFactory()
        few = queries_of(lambda: counter.get("/approvals/missing/"))
        for _ in range(4):
            FitmentFactory()
        assert queries_of(lambda: counter.get("/approvals/missing/")) == few
