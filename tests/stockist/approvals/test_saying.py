"""What is said of approvals and marks on pages: entered, corrected, a new issue; by the owner."""

from __future__ import annotations

from datetime import date
from hashlib import sha256
from html import unescape

import pytest

from fitments.models.approval import Approval, ApprovalVersion
from fitments.models.mark import IssuerMark
from tests.factories.approvals import (
    ApprovalFactory,
    CompetitionClassFactory,
    EvidenceFactory,
    IssuerMarkFactory,
)
from tests.factories.cars import VehicleLineFactory
from tests.factories.catalogue import CompoundFactory, PatternFactory, SkuFactory

pytestmark = pytest.mark.django_db


def body(answer, status=200):
    assert answer.status_code == status, answer.content.decode()[:3000]
    return unescape(answer.content.decode())


@pytest.fixture
def owner(signed_in):
    return signed_in("owner")


@pytest.fixture
def approval():
    letter = EvidenceFactory(code="EV-1", checked=True)
    return ApprovalFactory(code="HLM-2-F", version__evidence=[letter])


def key(**told):
    """A form as it is sent, with the same key only where it says the same."""
    said = repr(sorted((name, str(value)) for name, value in told.items()))
    return {"idempotency_key": sha256(said.encode()).hexdigest()[:32], **told}


class TestEnter:
    def claim(self, **more):
        line = VehicleLineFactory()
        told = {
            "code": "HLM-9", "vehicle_line": line.pk, "axle": "both", "size_text": "185/70r15",
            "mark": "HLM", "mark_issue": "9", "valid_from": "2019-05-02", "buffing_allowed": "no",
            "least_load_index": "88", "conditions": "dry only", "evidence": "ev-1; EV-2",
            "why": "letter of May",
        }  # fmt: skip
        return key(**(told | more))

    @pytest.fixture(autouse=True)
    def papers(self):
        return [EvidenceFactory(code="EV-1"), EvidenceFactory(code="EV-2")]

    def test_for_both_axles(self, owner, papers):
        page = body(owner.post("/approvals/enter/", self.claim(), follow=True))
        assert "Recorded: HLM-9-F, HLM-9-R." in page
        for row in Approval.objects.all():
            version = row.versions.get()
            assert row.car_maker == row.vehicle_line.maker
            assert (row.size, row.mark_issue) == ("185/70 R 15", "9")
            assert version.valid.lower == date(2019, 5, 2)
            assert (version.least_load_index, version.buffing_allowed) == (88, False)
            assert (version.conditions, version.why) == ("dry only", "letter of May")
            assert set(version.evidence.all()) == set(papers)
            assert version.recorded_by.username == "owner"

    def test_sent_twice_it_is_there_once(self, owner):
        told = self.claim(axle="rear")
        owner.post("/approvals/enter/", told)
        assert "already done" in body(owner.post("/approvals/enter/", told, follow=True))
        assert [one.code for one in Approval.objects.all()] == ["HLM-9"]

    def test_of_an_organiser_for_a_class(self, owner):
        ran, pattern = CompetitionClassFactory(), PatternFactory()
        told = self.claim(
            vehicle_line="", competition_class=ran.pk, mark="", mark_issue="", by_list="on",
            axle="front", pattern=pattern.pk, valid_from="",
        )  # fmt: skip
        body(owner.post("/approvals/enter/", told, follow=True))
        row = Approval.objects.get()
        assert (row.competition_class, row.car_maker, row.pattern) == (ran, None, pattern)
        assert row.versions.get().valid.lower is None

    @pytest.mark.parametrize(
        ("more", "words", "status"),
        [
            ({"size_text": "round"}, "cannot be read", 400),
            ({"evidence": "EV-1; NONE"}, "There is no document NONE: record it first", 400),
            ({"valid_to": "2018-01-01"}, "The last day in force comes before the first.", 400),
            ({"mark": "", "mark_issue": ""}, "names its mark, or is by list", 400),
            ({"vehicle_line": ""}, "one of the two", 400),
            ({"why": ""}, "This field is required", 400),
            ({"least_load_index": "299"}, "299", 400),
        ],
    )
    def test_what_is_wrong_is_told_and_nothing_is_lost(self, owner, more, words, status):
        page = body(owner.post("/approvals/enter/", self.claim(**more)), status)
        assert words in page
        assert 'value="HLM-9"' in page
        assert not Approval.objects.exists()

    def test_a_fault_stands_at_its_field(self, owner):
        told = self.claim(pattern=PatternFactory().pk, compound=CompoundFactory().pk)
        page = body(owner.post("/approvals/enter/", told), 400)
        field = page.partition('for="id_compound"')[2].partition("</div>")[0]
        assert "is not a compound of the maker of" in field

    def test_all_or_none(self, owner):
        ApprovalFactory(code="HLM-9-R")
        page = body(owner.post("/approvals/enter/", self.claim()), 400)
        assert "there already" in page
        assert not Approval.objects.filter(code="HLM-9-F").exists()


class TestCorrect:
    def address(self, approval):
        version = ApprovalVersion.objects.get(approval=approval, known__upper_inf=True)
        return f"/approvals/{approval.pk}/correct/{version.pk}/"

    def test_it_is_filled_with_what_is_said_and_kept_as_a_new_version(self, owner, approval):
        address = self.address(approval)
        assert f'href="{address}"' in body(owner.get(f"/approvals/{approval.pk}/"))
        page = body(owner.get(address))
        assert 'value="EV-1"' in page
        first = approval.versions.get()
        told = key(valid_from=first.valid.lower.isoformat(), conditions="dry only", why="misread")
        page = body(owner.post(address, told, follow=True))
        assert "dry only" in page
        assert "What was said before" in page
        before, now = approval.versions.order_by("pk")
        assert before.known.upper == now.known.lower
        assert (now.conditions, now.why, list(now.evidence.all())) == ("dry only", "misread", [])

    def test_who_comes_second_reads_that_it_has_changed(self, owner, approval):
        address = self.address(approval)
        owner.post(address, key(conditions="dry only", why="misread"))
        page = body(owner.post(address, key(conditions="wet only", why="misread too")), 400)
        assert "Somebody else has changed this" in page
        assert "wet only" in page
        assert approval.versions.count() == 2

    def test_nothing_new_and_no_reason(self, owner, approval):
        address = self.address(approval)
        first = approval.versions.get()
        told = {"valid_from": first.valid.lower.isoformat(), "evidence": "EV-1"}
        assert "just what is said already" in body(owner.post(address, key(why="x", **told)), 400)
        assert "This field is required" in body(owner.post(address, key(why="", **told)), 400)

    def test_a_version_of_another_is_none_of_this(self, owner, approval):
        other = ApprovalFactory().versions.get()
        assert owner.get(f"/approvals/{approval.pk}/correct/{other.pk}/").status_code == 404

    def test_another_time(self, owner):
        approval = ApprovalFactory(version=False)
        address = f"/approvals/{approval.pk}/period/"
        assert 'type="date"' in body(owner.get(address))
        told = {"valid_from": "1963-05-02", "valid_to": "1965-12-31", "why": "the old handbook"}
        page = body(owner.post(address, key(**told), follow=True))
        assert "from 1963-05-02 to 1965-12-31" in page
        again = {**told, "valid_to": "1964-01-01"}
        page = body(owner.post(address, key(**again), follow=True), 400)
        assert "Something else is already said" in page
        assert approval.versions.count() == 1


class TestNewIssue:
    ADDRESS = "/approvals/new-issue/"

    def asked(self, approval, **more):
        return key(**({
            "car_maker": approval.car_maker_id, "mark": "HLM", "old_issue": "2", "new_issue": "3",
            "first_day": "2026-07-01", "size": "185/70 R 15", "evidence": "EV-1",
            "why": "bulletin 12",
        } | more))  # fmt: skip

    def test_it_is_shown_first_and_then_done(self, owner, approval):
        IssuerMarkFactory(car_maker=approval.car_maker, mark="HLM", old_stock="Until 2028.")
        told = self.asked(approval)
        page = body(owner.post(self.ADDRESS, told))
        assert "It changes 1 approval" in page
        assert "HLM-3-F" in page
        assert "says: Until 2028." in page
        assert (Approval.objects.count(), approval.versions.count()) == (1, 1)
        page = body(owner.post(self.ADDRESS, told | {"sure": "yes"}, follow=True))
        assert "1 superseded, 1 recorded in their place." in page
        assert "superseded by HLM-3-F" in page
        again = body(owner.post(self.ADDRESS, told | {"sure": "yes"}, follow=True))
        assert "already done" in again
        assert Approval.objects.count() == 2

    def test_without_words_for_old_stock_it_says_so(self, owner, approval):
        page = body(owner.post(self.ADDRESS, self.asked(approval)))
        assert "the counter has no words of the maker for old stock" in page

    @pytest.mark.parametrize(
        ("more", "field", "words"),
        [
            ({"size": "round"}, "size", "cannot be read"),
            ({"old_issue": "1"}, "old_issue", "nothing could take its place"),
            ({"new_issue": "2"}, "new_issue", "cannot take its own place"),
            ({"first_day": ""}, "first_day", "required"),
        ],
    )
    def test_what_is_wrong_is_told_at_its_field(self, owner, approval, more, field, words):
        told = self.asked(approval, **more) | {"sure": "yes"}
        page = body(owner.post(self.ADDRESS, told), 400)
        assert words in page.partition(f'for="id_{field}"')[2].partition("</div>")[0]
        assert approval.versions.count() == 1


class TestMarks:
    def told(self, **more):
        return key(**({"mixing": "same", "old_stock": "Until 2028.", "why": "bulletin"} | more))

    def test_recorded_and_changed_with_every_version_kept(self, owner, approval):
        sent = self.told(car_maker=approval.car_maker_id, mark="HLM", evidence="EV-1")
        page = body(owner.post("/approvals/marks/record/", sent, follow=True))
        assert "one issue round the car" in page
        mark = IssuerMark.objects.get()
        assert (mark.evidence.code, mark.written_by.username) == ("EV-1", "owner")
        seen = mark.versions.get().pk
        address = f"/approvals/marks/{mark.pk}/change/"
        page = body(owner.post(address, self.told(mixing="free", seen=seen), follow=True))
        assert "issues may be mixed" in page
        assert "one issue round the car. Until 2028. Written by owner: bulletin" in page
        stale = self.told(mixing="", old_stock="Other.", seen=seen)
        page = body(owner.post(address, stale), 412)
        assert "Somebody else has changed this" in page
        assert "Other." in page
        assert mark.versions.count() == 2

    def test_it_rests_on_one_document(self, owner, approval):
        EvidenceFactory(code="EV-2")
        sent = self.told(car_maker=approval.car_maker_id, mark="HLM", evidence="EV-1;EV-2")
        page = body(owner.post("/approvals/marks/record/", sent), 400)
        assert "rests on one document" in page

    def test_the_same_mark_twice(self, owner):
        mark = IssuerMarkFactory()
        sent = self.told(car_maker=mark.car_maker_id, mark="hlm")
        assert "is there already" in body(owner.post("/approvals/marks/record/", sent), 400)

    def test_listed_narrowed_and_ordered(self, signed_in):
        IssuerMarkFactory(mark="HLM", mixing="same")
        IssuerMarkFactory(mark="QRS", mixing="")
        client = signed_in("counter")
        page = body(client.get("/approvals/marks/", {"order": "car_maker__name"}))
        assert "HLM" in page
        assert "? not on record" in page
        page = body(client.get("/approvals/marks/", {"mixing": "same", "q": "hlm"}))
        assert "QRS" not in page


def addresses(approval, mark):
    version = approval.versions.get().pk
    return {
        "enter": "/approvals/enter/",
        "correct": f"/approvals/{approval.pk}/correct/{version}/",
        "period": f"/approvals/{approval.pk}/period/",
        "new issue": "/approvals/new-issue/",
        "record a mark": "/approvals/marks/record/",
        "change a mark": f"/approvals/marks/{mark.pk}/change/",
    }


@pytest.mark.parametrize("role", ["counter", "warehouse", "buyer"])
def test_only_the_owner_says_anything(signed_in, approval, role):
    client, mark = signed_in(role), IssuerMarkFactory()
    for what, address in addresses(approval, mark).items():
        assert client.get(address).status_code in (403, 405), what
        assert client.post(address, key(why="x")).status_code == 403, what
    shown = 403 if role == "warehouse" else 200
    assert client.get("/approvals/marks/").status_code == shown
    assert client.get(f"/approvals/marks/{mark.pk}/").status_code == shown
    page = client.get(f"/approvals/{approval.pk}/").content.decode()
    assert "Correct it" not in page
    register = client.get("/approvals/").content.decode()
    assert "/approvals/enter/" not in register
    assert (Approval.objects.count(), ApprovalVersion.objects.count()) == (1, 1)


class TestResults:
    """What an independent test found, recorded beside its report and told at the counter."""

    @pytest.fixture
    def report(self):
        SkuFactory(code="TB-CAIRN")
        return EvidenceFactory(test_report=True, issuer="Fellside Motoring")

    def found(self, **more):
        told = {
            "sku": "TB-CAIRN", "discipline": "braking from 100 km/h, wet", "result": "47.3",
            "unit": "m", "rank": "2", "out_of": "9",
        }  # fmt: skip
        return key(**(told | more))

    def test_by_the_buyer_for_the_counter(self, signed_in, report):
        address = f"/approvals/evidence/{report.pk}/"
        buyer = signed_in("buyer")
        assert "Record what it found" in body(buyer.get(address))
        page = body(buyer.post(f"{address}result/", self.found(), follow=True))
        assert "47.3 m rank 2 of 9" in page
        page = body(signed_in("counter").get("/counter/tyres/TB-CAIRN/"))
        assert "braking from 100 km/h, wet: <strong>47.3 m, rank 2 of 9</strong>" in page

    @pytest.mark.parametrize(
        ("more", "words"),
        [
            ({"unit": ""}, "has a unit"),
            ({"rank": "10"}, "at most of how many"),
            ({"sku": "NONE"}, "Select a valid choice"),
            ({"result": "", "unit": "", "rank": "", "out_of": ""}, "Give the result, or"),
        ],
    )
    def test_what_is_wrong(self, signed_in, report, more, words):
        address = f"/approvals/evidence/{report.pk}/result/"
        page = body(signed_in("owner").post(address, self.found(**more)), 400 if "sku" in more
                    else 422)  # fmt: skip
        assert words in page
        assert not report.results.exists()

    def test_only_of_a_report_and_not_by_everybody(self, signed_in, report):
        letter = EvidenceFactory()
        owner = signed_in("owner")
        assert "Record what it found" not in body(owner.get(f"/approvals/evidence/{letter.pk}/"))
        answer = owner.post(f"/approvals/evidence/{letter.pk}/result/", self.found())
        assert "is no test report" in body(answer, 422)
        for role in ("counter", "warehouse"):
            answer = signed_in(role).post(
                f"/approvals/evidence/{report.pk}/result/", self.found(note=role)
            )
            assert answer.status_code == 403
