"""Approvals to be looked at again: the lookup, the page, the spreadsheet, the job of the night."""

from __future__ import annotations

import io
from datetime import timedelta

import pytest
from django.utils import timezone
from openpyxl import load_workbook

from fitments.lookup.reviews import HORIZON_DAYS, reviews_due
from inventory.ground.jobs.kinds import Work, kind_named
from inventory.ground.models import Job
from stockist.reviews.job import said
from stockist.schedule import NIGHT
from tests.factories.approvals import ApprovalFactory, EvidenceFactory
from tests.factories.when import AT, TODAY
from tests.support.calling import read, refused

pytestmark = pytest.mark.django_db


def due(code, days, on=TODAY, **more):
    """An approval whose evidence is due in so many days."""
    paper = EvidenceFactory(code=f"E-{code}", due_on=on + timedelta(days=days))
    return ApprovalFactory(code=code, version__evidence=[paper], **more)


def ending(code, last):
    """An approval that is in force until a day, that day included."""
    end = last + timedelta(days=1)
    return ApprovalFactory(code=code, version__valid=(TODAY - timedelta(days=900), end))


def codes(**more):
    return [one.code for one in reviews_due(on=TODAY, **more)]


def test_by_evidence_and_by_the_end_of_its_days_the_longest_due_first():
    due("SOON", 20)
    due("LATE", -3, axle="rear")
    ending("ENDS", TODAY + timedelta(days=5))
    found = reviews_due(on=TODAY)
    assert [one.code for one in found] == ["LATE", "ENDS", "SOON"]
    assert [one.overdue(TODAY) for one in found] == [True, False, False]
    assert found[1].reasons == (f"in force until {TODAY + timedelta(days=5)}",)
    assert found[0].reasons == (f"E-LATE is due for another look on {found[0].due_on}",)


@pytest.mark.parametrize("ahead", [0, 1])
def test_the_last_day_of_the_horizon_counts(ahead):
    due("EVIDENCE", HORIZON_DAYS + ahead)
    ending("ENDS", TODAY + timedelta(days=HORIZON_DAYS + ahead))
    assert len(codes()) == (0 if ahead else 2)
    assert len(codes(days=HORIZON_DAYS + 1)) == 2


def test_what_is_not_in_force_is_not_told():
    ending("OVER", TODAY - timedelta(days=1))
    due("WITHDRAWN", 5, version__withdrawn_on=TODAY)
    due("NOT-DUE", 400)
    assert codes() == []


def test_one_row_though_two_documents_are_due():
    papers = [EvidenceFactory(code=f"E-{n}", due_on=TODAY + timedelta(days=n)) for n in (9, 2)]
    ApprovalFactory(code="TWO", version__evidence=papers)
    (one,) = reviews_due(on=TODAY)
    assert one.due_on == TODAY + timedelta(days=2)
    assert [words[:3] for words in one.reasons] == ["E-2", "E-9"]


def test_as_many_queries_for_twice_the_approvals(same_queries):
    due("A-0", 3)
    more = lambda: [due(f"B-{n}", n, mark=f"M{n}") for n in range(4)]  # noqa: E731
    assert same_queries(codes, more) == 2


def test_the_job_lists_them_and_is_of_the_night():
    work = Work(0, "tonight", {}, None, AT)
    kind = kind_named("approval-reviews")
    assert kind.step(work, None).result.startswith("No approval is due")
    due("LATE", -3)
    due("SOON", 3, axle="rear")
    step = kind.step(work, None)
    assert step.done == 2
    assert step.result == (
        "2 approvals are due for another look within 60 days, 1 of them overdue: LATE, SOON."
    )
    assert said(reviews_due(on=TODAY) * 6, TODAY).endswith("and 2 more.")
    assert kind.name in {daily.kind for daily in NIGHT}


def test_the_page_and_the_spreadsheet(signed_in):
    today = timezone.localdate()
    due("=LATE", -3, on=today)
    due("SOON", 30, on=today, axle="rear")
    Job.objects.create(
        kind="approval-reviews", slot="x", due_at=AT, made_at=AT, result="It said so."
    )
    owner = signed_in("owner")
    page = owner.get("/approvals/reviews/").content.decode()
    assert page.index("=LATE") < page.index("SOON")
    assert "✕ overdue" in page
    assert "It said so." in page
    assert "SOON" not in owner.get("/approvals/reviews/", {"days": 5}).content.decode()
    assert "SOON" in owner.get("/approvals/reviews/", {"q": "soon"}).content.decode()
    assert "whole number" in owner.get("/approvals/reviews/", {"days": "x"}).content.decode()
    book = load_workbook(io.BytesIO(owner.get("/approvals/reviews/reviews.xlsx").content))
    rows = list(book.active.iter_rows(values_only=True))
    assert [row[0] for row in rows] == ["approval", "'=LATE", "SOON"]


def test_over_the_api(api):
    today = timezone.localdate()
    due("LATE", -3, on=today)
    due("SOON", 30, on=today, axle="rear")
    counter = api("counter")
    told = read(counter, "approval-reviews/")
    assert told["next"] is told["previous"] is None
    assert [one["code"] for one in told["results"]] == ["LATE", "SOON"]
    assert told["results"][0]["due_on"] == str(today - timedelta(days=3))
    assert len(read(counter, "approval-reviews/", days=5)["results"]) == 1
    back = read(counter, "approval-reviews/", ordering="-code", page_size=1)
    assert [one["code"] for one in back["results"]] == ["SOON"]
    after = counter.get(back["next"]).json()
    assert [one["code"] for one in after["results"]] == ["LATE"]
    refused(counter.get("/api/v1/approval-reviews/?ordering=tyre"), 400, pointer="/ordering")
    refused(counter.get("/api/v1/approval-reviews/?days=-1"), 400, pointer="/days")
    refused(counter.get("/api/v1/approval-reviews/?day=1"), 400)
    refused(api().get("/api/v1/approval-reviews/"), 401)
