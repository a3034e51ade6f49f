"""What runs in the background, seen and stopped by people."""

from __future__ import annotations

import pytest

from inventory.ground.jobs.claims import claim, record
from inventory.ground.jobs.kinds import Step
from inventory.ground.models import Job
from stockist.jobs import views
from stockist.roles import ROLES

pytestmark = pytest.mark.django_db
WORKS_BY_ITSELF = "hx-trigger"


def body(answer, status=200):
    assert answer.status_code == status
    return answer.content.decode()


def post(client, job, what, key="k1"):
    return client.post(f"/jobs/{job.pk}/{what}/", {"idempotency_key": key})


@pytest.fixture
def buyer(signed_in):
    return signed_in("buyer")


def test_an_empty_list_says_where_jobs_come_from(buyer):
    page = body(buyer.get("/jobs/"))
    assert "more than a thousand rows" in page
    assert WORKS_BY_ITSELF not in page


def test_each_job_is_told_in_words(buyer, ended, waiting):
    ended(slot="done", to=25, wrong=[3])
    ended("stumble", slot="failed", how="refuse")
    waiting(slot="waiting", to=7)
    page = body(buyer.get("/jobs/"))
    assert "Count: to 25" in page
    assert "✓ done" in page
    assert "25 of 25 rows, 1 failed" in page
    assert "✕ failed" in page
    assert "ask for less" in page
    assert "· waiting" in page
    assert "by asker" in page


def test_a_running_job_has_a_bar_and_the_page_looks_again(buyer, waiting):
    job = waiting(to=25)
    record(claim(job.pk), Step(cursor=10, done=10, total=25, doing="counting"))
    for address in ("/jobs/", f"/jobs/{job.pk}/"):
        page = body(buyer.get(address))
        assert '<progress class="bar" max="100" value="40"' in page
        assert "10 of 25 rows" in page
        assert "(40 %)" in page
        assert "counting" in page
        assert WORKS_BY_ITSELF in page
        still = body(buyer.get(f"{address}?still=1"))
        assert WORKS_BY_ITSELF not in still
        assert "let it move" in still


def test_a_bar_has_no_length_where_none_can_be_told(buyer, waiting):
    job = waiting(to=25)
    record(claim(job.pk), Step(cursor=25, done=25, total=25, doing="loading"))
    page = body(buyer.get(f"/jobs/{job.pk}/"))
    assert '<progress class="bar" max="100" aria-label' in page


def test_the_list_is_narrowed(buyer, ended, waiting):
    ended(slot="done", to=1)
    waiting(slot="waiting", to=2)
    ended("stumble", slot="failed", how="refuse")

    def shown(query):
        page = body(buyer.get(f"/jobs/{query}"))
        return [name for name in ("to 1", "to 2", "Stumble") if f"{name}</a>" in page]

    assert shown("?state=done") == ["to 1"]
    assert shown("?state=under-way") == ["to 2"]
    assert shown("?kind=stumble") == ["Stumble"]
    assert "Select a valid choice" in body(buyer.get("/jobs/?state=asleep"))


def test_the_list_is_paged_newest_first(buyer, waiting, monkeypatch):
    monkeypatch.setattr(views, "ON_A_PAGE", 2)
    jobs = [waiting(slot=str(n), to=n) for n in range(5)]
    page = body(buyer.get("/jobs/?kind=count"))
    assert [f"/jobs/{job.pk}/" in page for job in jobs] == [False, False, False, True, True]
    assert f"?kind=count&amp;before={jobs[3].pk}" in page
    page = body(buyer.get(f"/jobs/?kind=count&before={jobs[1].pk}"))
    assert [f"/jobs/{job.pk}/" in page for job in jobs] == [True, False, False, False, False]
    assert "Earlier ones" not in page


def test_twice_the_jobs_cost_no_more_queries(buyer, waiting, same_queries):
    def more():
        for number in range(3):
            waiting(slot=str((Job.objects.count(), number)), to=1)

    more()
    assert same_queries(lambda: buyer.get("/jobs/"), more) <= 8


def test_failed_rows_are_listed_and_paged(buyer, ended, monkeypatch):
    monkeypatch.setattr(views, "ROWS_ON_A_PAGE", 2)
    job = ended(to=25, wrong=[3, 4, 5])
    page = body(buyer.get(f"/jobs/{job.pk}/"))
    assert page.count("this row is odd.") == 2
    assert "Page 1 of 2" in page
    page = body(buyer.get(f"/jobs/{job.pk}/?page=2"))
    assert page.count("this row is odd.") == 1
    assert '<td data-head="Row">5</td>' in page


def test_what_one_may_do_depends_on_where_it_stands(buyer, ended, waiting):
    def buttons(job):
        page = body(buyer.get(f"/jobs/{job.pk}/"))
        return [b for b in ("Cancel<", "Resume where it stopped<", "Run again<") if b in page]

    assert buttons(waiting(slot="a", to=1)) == ["Cancel<"]
    assert buttons(ended(slot="b", to=1)) == ["Run again<"]
    assert buttons(ended("stumble", slot="c", how="refuse")) == ["Resume where it stopped<"]


def test_cancelled_resumed_and_run_again(buyer, waiting, ended):
    job = waiting(to=25)
    page = body(buyer.post(f"/jobs/{job.pk}/cancel/", {"idempotency_key": "a"}, follow=True))
    assert "what was done before stays" in page
    assert "– cancelled" in page
    assert "<dt>Cancelled by</dt><dd>buyer</dd>" in page
    body(buyer.post(f"/jobs/{job.pk}/resume/", {"idempotency_key": "b"}, follow=True))
    job.refresh_from_db()
    assert job.state == "waiting"
    done = ended(slot="two", to=1)
    answer = post(buyer, done, "again", "c")
    new = Job.objects.get(slot="two again 1")
    assert answer["Location"] == f"/jobs/{new.pk}/"
    assert post(buyer, done, "again", "c")["Location"] == answer["Location"]
    assert new.asked_by.username == "buyer"


@pytest.mark.parametrize(
    ("kind", "what", "sentence"),
    [
        ("count", "cancel", "This job is done already."),
        ("count", "resume", "nothing left to resume"),
        ("stumble", "again", "This is done once only"),
    ],
)
def test_a_refusal_is_shown_on_the_page(buyer, ended, kind, what, sentence):
    job = ended(kind, to=1, how="refuse")
    page = body(post(buyer, job, what), 409)
    assert sentence in page
    assert "That is more" in page or "Counted to 1." in page


def test_a_job_that_is_not_there(buyer):
    assert buyer.get("/jobs/999999/").status_code == 404
    for what in ("cancel", "resume", "again"):
        assert buyer.post(f"/jobs/999999/{what}/", {"idempotency_key": what}).status_code == 404


@pytest.mark.parametrize("role", ROLES)
def test_everybody_sees_and_buyer_and_owner_act(role, signed_in, waiting):
    job, client = waiting(to=1), signed_in(role)
    assert client.get("/jobs/").status_code == 200
    page = body(client.get(f"/jobs/{job.pk}/"))
    may = role in {"buyer", "owner"}
    assert ("Cancel<" in page) is may
    assert post(client, job, "cancel").status_code == (302 if may else 403)


def test_a_stranger_is_sent_to_sign_in(client, waiting):
    job = waiting(to=1)
    for address in ("/jobs/", f"/jobs/{job.pk}/"):
        assert client.get(address)["Location"].startswith("/sign-in/")
    assert post(client, job, "cancel")["Location"].startswith("/sign-in/")
    assert client.get(f"/jobs/{job.pk}/cancel/").status_code == 302


def test_looking_starts_what_was_left_lying(buyer, waiting, children):
    waiting(to=1)
    buyer.get("/jobs/")
    assert len(children) == 1
