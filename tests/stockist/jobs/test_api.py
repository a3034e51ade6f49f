"""Jobs over the API."""

from __future__ import annotations

import pytest

from inventory.ground.models import Job
from stockist.jobs.api import RESOURCES
from stockist.roles import ROLES
from tests.support.calling import ROOT, read, refused, write
from tests.support.resources import pages_are_whole, previous_leads_back, slips_are_refused

pytestmark = pytest.mark.django_db


def test_a_job_tells_how_far_it_is(api, ended):
    job = ended(to=25, wrong=[3, 12])
    told = read(api("counter"), f"jobs/{job.pk}/")
    assert told["title"] == "Count: to 25"
    assert (told["state"], told["share"], told["attempt"]) == ("done", 100, 1)
    assert (told["rows_total"], told["rows_done"], told["rows_failed"]) == (25, 23, 2)
    assert (told["asked_by"], told["cancelled_by"]) == ("asker", None)
    assert told["result"] == "Counted to 25."


def test_its_failed_rows(api, ended):
    job, other = ended(to=25, wrong=[3, 12]), ended(slot="two", to=5, wrong=[1])
    found = read(api("counter"), "job-failures/", job=job.pk)["results"]
    assert [(row["row"], row["column"], row["words"]) for row in found] == [
        (3, "oddness", "this row is odd."),
        (12, "oddness", "this row is odd."),
    ]
    assert len(read(api("counter"), "job-failures/")["results"]) == 3
    assert read(api("counter"), "job-failures/", job=other.pk)["results"][0]["row"] == 1


@pytest.mark.parametrize("name", RESOURCES)
def test_every_list_is_like_the_others(name, api, ended, same_queries):
    def more():
        for _ in range(5):
            ended(slot=str(Job.objects.count()), to=5, wrong=[1])

    more()
    client = api("owner")
    pages_are_whole(client, f"{name}/", RESOURCES[name])
    previous_leads_back(client, f"{name}/")
    slips_are_refused(client, f"{name}/")
    assert same_queries(lambda: read(client, f"{name}/"), more) == 1


def test_the_list_is_filtered(api, ended, waiting):
    ended(slot="a", to=1)
    waiting("stumble", slot="b")
    client = api("buyer")
    assert [row["kind"] for row in read(client, "jobs/", state="waiting")["results"]] == ["stumble"]
    assert [row["state"] for row in read(client, "jobs/", kind="count")["results"]] == ["done"]
    refused(client.get(f"{ROOT}jobs/?state=asleep"), 400, pointer="/state")


def test_cancelled_and_resumed(api, waiting):
    job, client = waiting(to=3), api("owner")
    told = write(client, "post", f"jobs/{job.pk}/cancel/", key="once").json()
    assert (told["state"], told["cancelled_by"]) == ("cancelled", "owner")
    again = write(client, "post", f"jobs/{job.pk}/cancel/", key="once")
    assert again["Idempotency-Replayed"] == "true"
    assert again.json() == told
    assert write(client, "post", f"jobs/{job.pk}/resume/").json()["state"] == "waiting"


def test_run_again_is_another_job(api, ended):
    job, client = ended(to=3), api("owner")
    answer = write(client, "post", f"jobs/{job.pk}/again/", key="once")
    assert answer.status_code == 201
    new = answer.json()["id"]
    assert new != job.pk
    assert answer["Location"].endswith(f"/api/v1/jobs/{new}/")
    assert client.get(answer["Location"]).json()["slot"] == "one again 1"
    assert write(client, "post", f"jobs/{job.pk}/again/", key="once").json()["id"] == new
    assert Job.objects.count() == 2


def test_what_cannot_be_is_refused_in_words(api, ended):
    job, client = ended(to=3), api("owner")
    told = refused(write(client, "post", f"jobs/{job.pk}/cancel/"), 409, "done already")
    assert told["code"] == "job-has-ended"
    refused(write(client, "post", f"jobs/{job.pk}/resume/"), 409, "nothing left")
    refused(write(client, "post", "jobs/999999/resume/"), 404)
    refused(client.post(f"{ROOT}jobs/{job.pk}/again/"), 400, "key of its own")


@pytest.mark.parametrize("role", ROLES)
@pytest.mark.parametrize("what", ["cancel", "resume", "again"])
def test_buyer_and_owner_act(role, what, api, waiting):
    job = waiting(to=3)
    status = write(api(role), "post", f"jobs/{job.pk}/{what}/").status_code
    assert (status == 403) is (role not in {"buyer", "owner"})
    refused(write(api(), "post", f"jobs/{job.pk}/{what}/"), 401)
