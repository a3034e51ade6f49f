"""The same write sent twice is done once, whatever happens in between."""

from __future__ import annotations

import threading
import time
from datetime import timedelta

import pytest
from django.contrib.auth.models import Group
from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils import timezone

from inventory.ground.idempotency import digest, forget
from inventory.ground.models import IdempotencyKey
from tests.factories.people import UserFactory
from tests.ground import calls
from tests.support.concurrency import at_once

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("small_api")]


@pytest.fixture
def caller(api):
    return api(UserFactory(username="edda"))


def post(caller, key="k1", name="pit crew", **body):
    headers = {"Idempotency-Key": key} if key else {}
    return caller.post("/groups/", {"name": name, **body}, format="json", headers=headers)


def test_the_same_key_and_body_give_the_first_answer(caller):
    first, second = post(caller), post(caller)
    assert (first.status_code, second.status_code) == (201, 201)
    assert first.json() == second.json()
    assert second["Location"] == first["Location"]
    assert "Idempotency-Replayed" not in first
    assert second["Idempotency-Replayed"] == "true"
    assert Group.objects.filter(name="pit crew").count() == 1


def test_another_body_is_refused(caller):
    post(caller)
    answer = post(caller, name="marshals")
    assert answer.status_code == 422
    assert answer.json()["code"] == "key-was-used"
    assert not Group.objects.filter(name="marshals").exists()


def test_another_address_is_refused(caller):
    post(caller)
    answer = caller.post("/groups/?a=1", {"name": "pit crew"}, headers={"Idempotency-Key": "k1"})
    assert answer.status_code == 422


def test_another_person_s_key_is_another_key(caller, api):
    post(caller)
    answer = post(api(UserFactory()), name="marshals")
    assert answer.status_code == 201


@pytest.mark.parametrize("key", ["", "x" * 65, "a\tb"])
def test_a_write_without_a_usable_key_is_refused(caller, key):
    answer = post(caller, key=key)
    assert answer.status_code == 400
    assert answer.json()["code"] == "no-key"
    assert not Group.objects.filter(name="pit crew").exists()


def test_nobody_in_particular_may_not_write(api):
    assert post(api()).status_code == 401


@pytest.mark.parametrize(("name", "status"), [("silly", 409), ("", 400), ("teapot", 418)])
def test_what_was_not_done_is_not_kept_and_leaves_nothing(caller, name, status):
    assert post(caller, name=name).status_code == status
    assert not IdempotencyKey.objects.exists()
    assert not Group.objects.filter(name=name).exists()
    assert post(caller, name="pit crew").status_code == 201


def test_the_order_of_a_body_does_not_matter(caller):
    assert digest({"a": 1, "b": [1, {"c": 2, "d": 3}]}, {}) == digest(
        {"b": [1, {"d": 3, "c": 2}], "a": 1}, {}
    )
    assert digest({"a": [1, 2]}, {}) != digest({"a": [2, 1]}, {})


def test_files_are_part_of_what_was_sent():
    def sent(name, content):
        return digest({}, {"file": SimpleUploadedFile(name, content)})

    assert sent("a.csv", b"1") == sent("a.csv", b"1")
    assert len({sent("a.csv", b"1"), sent("a.csv", b"2"), sent("b.csv", b"1")}) == 3


def test_a_very_long_address_still_has_a_key_of_its_own(caller):
    for end in "ab":
        query = "x" * 500 + end
        answer = caller.post(
            f"/groups/?q={query}", {"name": end}, headers={"Idempotency-Key": f"k{end}"}
        )
        assert answer.status_code == 201
    routes = set(IdempotencyKey.objects.values_list("route", flat=True))
    assert len(routes) == 2


def test_old_keys_are_forgotten(caller):
    post(caller)
    assert forget(before=timezone.now() - timedelta(days=1)) == 0
    assert forget(before=timezone.now() + timedelta(days=1)) == 1


@pytest.mark.django_db(transaction=True)
def test_the_same_write_eight_times_at_once_is_done_once(api):
    person = UserFactory()
    answers = at_once(*[lambda: post(api(person)) for _ in range(8)])
    assert [answer.status_code for answer in answers] == [201] * 8
    assert len({answer.content for answer in answers}) == 1
    assert sum("Idempotency-Replayed" not in answer for answer in answers) == 1
    assert Group.objects.filter(name="pit crew").count() == 1


@pytest.mark.django_db(transaction=True)
def test_the_second_waits_for_the_first(api, someone_else):
    person = UserFactory()
    arrived, go_on = calls.arrange()
    first = someone_else.start(lambda: post(api(person)))
    assert arrived.wait(30)
    threading.Timer(0.3, go_on.set).start()
    started = time.monotonic()
    second = post(api(person))
    assert time.monotonic() - started > 0.25
    assert first.result(30).status_code == second.status_code == 201
    assert second["Idempotency-Replayed"] == "true"


@pytest.mark.django_db(transaction=True)
def test_a_first_that_was_rolled_back_leaves_the_key_to_the_second(api, someone_else):
    person = UserFactory()
    arrived, go_on = calls.arrange()
    first = someone_else.start(lambda: post(api(person), name="silly"))
    assert arrived.wait(30)
    calls.forget()
    go_on.set()
    assert post(api(person)).status_code == 201
    assert first.result(30).status_code == 409
    assert Group.objects.filter(name="pit crew").exists()


@pytest.fixture
def sitting(signed_in):
    return signed_in(UserFactory())


def send(sitting, key="k1", name="pit crew", **fields):
    return sitting.post("/page/", {"idempotency_key": key, "name": name, **fields})


def test_a_page_brings_a_new_key_each_time(sitting):
    first, second = (sitting.get("/page/").content.decode() for _ in range(2))
    assert 'name="idempotency_key"' in first
    assert first != second


def test_a_form_sent_twice_is_done_once_and_leads_to_the_same_place(sitting):
    first, second = send(sitting), send(sitting)
    assert first.status_code == second.status_code == 302
    assert first["Location"] == second["Location"]
    assert Group.objects.filter(name="pit crew").count() == 1


def test_a_form_that_was_not_done_can_be_sent_again_with_its_key(sitting):
    answer = send(sitting, name="silly")
    assert "Nobody would join" in answer.content.decode()
    assert not Group.objects.filter(name="silly").exists()
    assert send(sitting, name="marshals").status_code == 302


def test_the_hidden_token_of_the_page_is_not_part_of_what_was_sent(sitting):
    send(sitting, csrfmiddlewaretoken="a")
    assert send(sitting, csrfmiddlewaretoken="b").status_code == 302


def test_a_stranger_s_form_is_refused(client):
    assert send(client).status_code == 403
