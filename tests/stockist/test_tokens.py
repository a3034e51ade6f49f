"""Tokens of one's own: made for a password, listed, taken back; and what problems mean."""

from __future__ import annotations

import base64
from datetime import timedelta

import pytest
from django.core.cache import cache
from django.utils import timezone
from knox.models import AuthToken
from rest_framework.test import APIClient

from tests.support.calling import refused
from tests.support.people import PASSWORD, with_role

pytestmark = pytest.mark.django_db
PATH = "/api/v1/tokens/"


@pytest.fixture(autouse=True)
def _nobody_has_asked_too_often():
    cache.clear()


@pytest.fixture
def person():
    return with_role("counter")


def basic(name: str, password: str = PASSWORD) -> dict[str, str]:
    return {"Authorization": "Basic " + base64.b64encode(f"{name}:{password}".encode()).decode()}


def bearing(token: str) -> dict[str, str]:
    return {"Authorization": f"Token {token}"}


def made(person) -> dict:
    answer = APIClient().post(PATH, headers=basic(person.username))
    assert answer.status_code == 201, answer.content
    return answer.json()


def test_a_name_and_password_give_a_token_that_opens_the_api(person):
    answer = APIClient().get("/api/v1/skus/", headers=bearing(made(person)["token"]))
    assert answer.status_code == 200


def test_it_is_told_once_and_kept_by_nobody(person):
    answer = APIClient().post(PATH, headers=basic("counter"))
    assert answer["Cache-Control"] == "no-store"
    row = AuthToken.objects.get()
    assert answer.json()["token"] not in (row.digest, row.token_key)
    assert row.expiry is not None


def test_ones_own_are_listed_by_their_first_signs(person):
    mine, other = made(person), made(with_role("buyer"))
    listed = APIClient().get(PATH, headers=bearing(mine["token"])).json()
    assert [row["key"] for row in listed] == [mine["key"]]
    assert mine["token"].startswith(mine["key"])
    assert other["key"] not in str(listed)
    assert mine["token"] not in str(listed)


def test_one_is_taken_back(person):
    first, second = made(person), made(person)
    path = f"{PATH}{first['key']}/"
    assert APIClient().delete(path, headers=bearing(second["token"])).status_code == 204
    refused(APIClient().get(PATH, headers=bearing(first["token"])), 401)
    assert APIClient().get(PATH, headers=bearing(second["token"])).status_code == 200
    refused(APIClient().delete(path, headers=bearing(second["token"])), 404)


def test_all_are_taken_back(person):
    tokens = [made(person)["token"] for _ in range(3)]
    kept = made(with_role("buyer"))["token"]
    assert APIClient().delete(PATH, headers=bearing(tokens[0])).status_code == 204
    for token in tokens:
        refused(APIClient().get(PATH, headers=bearing(token)), 401)
    assert APIClient().get(PATH, headers=bearing(kept)).status_code == 200


def test_those_of_others_are_out_of_reach(person):
    mine, other = made(person), made(with_role("buyer"))
    refused(APIClient().delete(f"{PATH}{other['key']}/", headers=bearing(mine["token"])), 404)
    assert AuthToken.objects.count() == 2


def test_a_token_makes_no_other_token(person):
    answer = APIClient().post(PATH, headers=bearing(made(person)["token"]))
    refused(answer, 403, "cannot make another")


def test_one_who_is_signed_in_on_the_pages_makes_one(person):
    client = APIClient(enforce_csrf_checks=True)
    client.force_login(person)
    refused(client.post(PATH), 403, "CSRF")
    client = APIClient()
    client.force_login(person)
    assert client.post(PATH).status_code == 201


def test_nobody_has_more_than_twenty(person):
    for _ in range(20):
        AuthToken.objects.create(user=person)
    refused(APIClient().post(PATH, headers=basic("counter")), 409, "take one back first")


def test_an_old_one_opens_nothing_and_counts_no_more(person):
    token = made(person)
    AuthToken.objects.update(expiry=timezone.now() - timedelta(days=1))
    refused(APIClient().get(PATH, headers=bearing(token["token"])), 401)
    assert APIClient().get(PATH, headers=basic("counter")).json() == []


def test_few_are_made_in_an_hour(person):
    statuses = [APIClient().post(PATH, headers=basic("counter")).status_code for _ in range(21)]
    assert statuses == [201] * 20 + [429]


@pytest.mark.parametrize("headers", [{}, basic("counter", "guess"), basic("nobody"), bearing("x")])
def test_nobody_else_gets_one(person, headers):
    refused(APIClient().post(PATH, headers=headers), 401)
    assert AuthToken.objects.count() == 0


def test_guessing_is_stopped_after_five_tries(person):
    for _ in range(5):
        APIClient().post(PATH, headers=basic("counter", "guess"))
    assert APIClient().post(PATH, headers=basic("counter")).status_code in {401, 403, 429}
    assert AuthToken.objects.count() == 0


@pytest.mark.parametrize("code", ["stale-version", "faulty", "no-key", "invalid", "not-found"])
def test_what_a_problem_means(code):
    answer = APIClient().get(f"/api/v1/problems/{code}/").json()
    assert answer["code"] == code
    assert answer["meaning"].endswith(".")


def test_the_type_of_a_problem_leads_there(api):
    problem = refused(api("counter").get("/api/v1/skus/999/"), 404)
    assert APIClient().get(problem["type"]).status_code == 200
