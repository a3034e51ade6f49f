"""Approvals and evidence over the API: said, corrected, withdrawn, and as known then."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest
from django.db.backends.postgresql.psycopg_any import DateRange, DateTimeTZRange

from fitments.models.approval import Approval, ApprovalVersion
from tests.factories.approvals import (
    ApprovalFactory,
    ApprovalVersionFactory,
    CompetitionClassFactory,
    EvidenceFactory,
)
from tests.factories.cars import VehicleLineFactory
from tests.factories.catalogue import PatternFactory
from tests.support.calling import ROOT, every_row, read, refused, write

pytestmark = pytest.mark.django_db


@pytest.fixture
def owner(api):
    return api("owner")


@pytest.fixture
def claim() -> dict:
    line = VehicleLineFactory()
    return {
        "code": "HLM-SPR-2-F",
        "car_maker": line.maker_id,
        "vehicle_line": line.pk,
        "axle": "front",
        "size_text": "185/70 R 15",
        "mark": "HLM",
        "mark_issue": "2",
        "said": {"valid_from": "1963-05-02", "valid_to": "1969-12-31"},
    }


def codes(client, **query) -> set[str]:
    return {row["code"] for row in every_row(client, "approvals/", **query)}


class TestSaying:
    """Each thing that is said is a version of its own."""

    @pytest.fixture
    def approval(self, owner, claim) -> dict:
        answer = write(owner, "post", "approvals/", claim)
        assert answer.status_code == 201, answer.content
        return answer.json()

    def say(self, client, approval, what, **sent):
        path = f"approvals/{approval['id']}/{what}/"
        return write(client, "post", path, {"why": "as the maker writes"} | sent)

    def test_recorded_with_what_it_rests_on(self, owner, claim):
        evidence = EvidenceFactory(checked=True)
        claim["said"] |= {"evidence": [evidence.pk], "conditions": "on 5.5 J rims"}
        row = write(owner, "post", "approvals/", claim).json()
        (version,) = row["versions"]
        assert (version["valid_from"], version["valid_to"]) == ("1963-05-02", "1969-12-31")
        assert version["known_to"] is None
        assert version["conditions"] == "on 5.5 J rims"
        assert version["evidence"][0]["code"] == evidence.code
        assert version["evidence"][0]["self_checked"] is False
        assert version["recorded_by"] == "owner"

    def test_corrected(self, owner, approval):
        version = approval["versions"][0]["id"]
        answer = self.say(owner, approval, "correct", version=version, valid_to="1970-06-30")
        assert answer.status_code == 200, answer.content
        (now,) = answer.json()["versions"]
        assert (now["valid_from"], now["valid_to"]) == ("1963-05-02", "1970-06-30")
        assert now["why"] == "as the maker writes"
        every = every_row(owner, "approval-versions/", approval=approval["id"])
        assert [row["known_to"] is None for row in every] == [True, False]

    def test_an_older_version_is_not_corrected(self, owner, approval):
        version = approval["versions"][0]["id"]
        self.say(owner, approval, "correct", version=version, valid_to="1970-06-30")
        again = self.say(owner, approval, "correct", version=version, valid_to="1971-06-30")
        refused(again, 412, "Somebody else")

    def test_a_version_of_another_approval_is_none_of_this(self, owner, approval):
        other = ApprovalFactory().versions.get()
        answer = self.say(owner, approval, "correct", version=other.pk, conditions="x")
        refused(answer, 400, pointer="/version")

    def test_superseded(self, owner, approval, claim):
        sent = claim | {"code": "HLM-SPR-3-F", "mark_issue": "3", "said": {}}
        later = write(owner, "post", "approvals/", sent).json()
        answer = self.say(
            owner, approval, "supersede", successor=later["id"], first_day="1967-01-01"
        )
        (version,) = answer.json()["versions"]
        assert (version["valid_to"], version["superseded_by_code"]) == (
            "1966-12-31", "HLM-SPR-3-F",
        )  # fmt: skip
        itself = self.say(owner, approval, "supersede", successor=approval["id"])
        refused(itself, 422, "cannot supersede itself", "/successor")

    def test_withdrawn(self, owner, approval):
        answer = self.say(owner, approval, "withdraw", on="1965-03-01")
        assert answer.json()["versions"][0]["withdrawn_on"] == "1965-03-01"
        refused(self.say(owner, approval, "withdraw"), 409, "withdrawn already")

    def test_another_period(self, owner, approval):
        answer = self.say(owner, approval, "add-period", valid_from="1975-01-01")
        assert len(answer.json()["versions"]) == 2
        clash = self.say(owner, approval, "add-period", valid_from="1969-06-01")
        refused(clash, 409, "already said of this approval")

    @pytest.mark.parametrize("what", ["correct", "supersede", "withdraw", "add-period"])
    def test_why_is_asked_for(self, owner, approval, what):
        refused(self.say(owner, approval, what, why=" "), 400, pointer="/why")

    def test_sent_twice_it_is_said_once(self, owner, approval):
        path, sent = f"approvals/{approval['id']}/withdraw/", {"why": "letter", "on": "1965-03-01"}
        first = write(owner, "post", path, sent, key="one letter")
        again = write(owner, "post", path, sent, key="one letter")
        assert first.json() == again.json()
        assert ApprovalVersion.objects.count() == 2

    @pytest.mark.parametrize(
        ("change", "status", "words"),
        [
            ({"said": None}, 400, ""),
            ({"said": {"valid_from": "1970-01-01", "valid_to": "1969-01-01"}}, 422, "last day"),
            ({"said": {"least_load_index": 999}}, 400, ""),
            ({"said": {"evidence": [99]}}, 400, ""),
            ({"mark": ""}, 422, "names its mark"),
            ({"by_list": True}, 422, "by list"),
            ({"vehicle_line": None}, 422, "one of the two"),
            ({"size_text": "nonsense"}, 422, "cannot be read"),
            ({"axle": "both"}, 400, ""),
        ],
    )
    def test_what_cannot_be_claimed(self, owner, claim, change, status, words):
        refused(write(owner, "post", "approvals/", claim | change), status, words)
        assert Approval.objects.count() == 0


class TestReading:
    """The register as it stands, and as it stood."""

    @pytest.fixture
    def register(self):
        """A: 1963 to 1969, said in January 2026; corrected in June to end in 1966. B: withdrawn."""
        june, january = datetime(2026, 6, 1, tzinfo=UTC), datetime(2026, 1, 5, tzinfo=UTC)
        one = ApprovalFactory(code="A", version=False)
        days = DateRange(date(1963, 1, 1), date(1970, 1, 1))
        ApprovalVersionFactory(approval=one, valid=days, known=DateTimeTZRange(january, june))
        days = DateRange(date(1963, 1, 1), date(1967, 1, 1))
        ApprovalVersionFactory(approval=one, valid=days, known=DateTimeTZRange(june, None))
        ApprovalFactory(code="B", version__withdrawn_on=date(2025, 3, 1))

    def test_as_it_is_known_now(self, register, owner):
        rows = {row["code"]: row["versions"] for row in every_row(owner, "approvals/")}
        assert [version["valid_to"] for version in rows["A"]] == ["1966-12-31"]
        assert len(rows["B"]) == 1

    def test_as_it_was_known_then(self, register, owner):
        (row,) = every_row(owner, "approvals/", code="A", known_on="2026-03-01")
        assert [version["valid_to"] for version in row["versions"]] == ["1969-12-31"]
        assert codes(owner, known_on="2025-12-31") == set()

    def test_in_force_on_a_day(self, register, owner):
        assert codes(owner, in_force_on="1965-01-01") == {"A"}
        assert codes(owner, in_force_on="1966-12-31") == {"A"}
        assert codes(owner, in_force_on="1967-01-01") == set()
        # a withdrawal counts from its own day on
        assert codes(owner, in_force_on="2025-02-28") == {"B"}
        assert codes(owner, in_force_on="2025-03-01") == set()

    def test_in_force_as_it_was_known_then(self, register, owner):
        query = {"in_force_on": "1968-01-01"}
        assert codes(owner, **query) == set()
        assert codes(owner, **query, known_on="2026-03-01") == {"A"}
        (row,) = every_row(owner, "approvals/", **query, known_on="2026-03-01")
        assert len(row["versions"]) == 1

    def test_every_version_can_be_listed(self, register, owner):
        assert len(every_row(owner, "approval-versions/")) == 3
        assert len(every_row(owner, "approval-versions/", known_on="2026-03-01")) == 2
        assert len(every_row(owner, "approval-versions/", in_force_on="1968-01-01")) == 1

    def test_by_what_it_is_about(self, owner):
        pattern = PatternFactory()
        one = ApprovalFactory(pattern=pattern, rear=True, mark="QRT", mark_issue="7")
        ApprovalFactory()
        for query in (
            {"mark": "qrt"}, {"mark_issue": "7"}, {"axle": "rear"}, {"pattern": pattern.pk},
            {"vehicle_line": one.vehicle_line_id}, {"car_maker": one.car_maker_id},
        ):  # fmt: skip
            assert codes(owner, **query) == {one.code}, query

    def test_an_organisers_list(self, owner):
        kind = CompetitionClassFactory()
        one = ApprovalFactory(organisers=True, competition_class=kind)
        ApprovalFactory()
        assert codes(owner, competition_class=kind.pk) == codes(owner, by_list="true") == {one.code}

    def test_by_a_size_in_any_form(self, owner, claim):
        write(owner, "post", "approvals/", claim)
        assert codes(owner, size="185 70 15") == {"HLM-SPR-2-F"}
        assert codes(owner, size="165 R 13") == set()
        refused(owner.get(f"{ROOT}approvals/?size=nonsense"), 400, pointer="/size")
        refused(owner.get(f"{ROOT}approvals/?known_on=lately"), 400, pointer="/known_on")


class TestEvidence:
    """Recorded by one, checked by another."""

    SENT = {"code": "EV-1", "kind": "letter", "reference": "HC/208", "issuer": "Hallmere Cars"}

    def test_recorded_checked_and_changed(self, api, owner):
        buyer = api("buyer")
        row = write(buyer, "post", "evidence/", self.SENT).json()
        assert (row["recorded_by"], row["checked_by"]) == ("buyer", None)
        path = f"evidence/{row['id']}/"
        checked = write(owner, "post", f"{path}check/", {"due_on": "2028-01-01"}).json()
        assert (checked["checked_by"], checked["self_checked"]) == ("owner", False)
        assert checked["due_on"] == "2028-01-01"
        changed = write(owner, "patch", path, {"says": "issue 2 only"}).json()
        assert (changed["checked_by"], changed["says"]) == (None, "issue 2 only")

    def test_ones_own_check_is_shown_as_such(self, owner):
        row = write(owner, "post", "evidence/", self.SENT).json()
        assert write(owner, "post", f"evidence/{row['id']}/check/").json()["self_checked"] is True

    def test_a_digest_is_one(self, owner):
        answer = write(owner, "post", "evidence/", self.SENT | {"digest": "abc"})
        refused(answer, 422, "64 figures")

    def test_nobody_says_who_checked_it(self, owner):
        answer = write(owner, "post", "evidence/", self.SENT | {"checked_by": "buyer"})
        refused(answer, 400, "cannot be set", "/checked_by")

    def test_by_approval_kind_and_check(self, owner):
        one = EvidenceFactory(checked=True, list_page=True)
        approval = ApprovalFactory(version__evidence=[one])
        days = DateRange(date(2000, 1, 1), date(2001, 1, 1))
        ApprovalVersionFactory(approval=approval, valid=days, evidence=[one])
        EvidenceFactory()
        for query in ({"approval": approval.pk}, {"kind": "list"}, {"unchecked": "false"}):
            rows = every_row(owner, "evidence/", **query)
            assert [row["id"] for row in rows] == [one.pk], query

    def test_due_by_a_day(self, owner):
        EvidenceFactory(due_on=date(2027, 1, 1))
        EvidenceFactory()
        assert len(every_row(owner, "evidence/", due_to="2027-01-01")) == 1
        assert read(owner, "evidence/", due_to="2026-12-31")["results"] == []
