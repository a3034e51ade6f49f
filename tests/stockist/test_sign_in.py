"""Signing in and out: the right words, the lock after guessing, and where one lands."""

from __future__ import annotations

import pytest
from django.contrib.auth import get_user_model

from tests.support.people import PASSWORD, with_role

pytestmark = pytest.mark.django_db


def enter(client, name="counter", password=PASSWORD, **more):
    return client.post("/sign-in/", {"username": name, "password": password, **more})


def test_the_right_password_opens(client):
    with_role("counter")
    answer = enter(client)
    assert (answer.status_code, answer["Location"]) == (302, "/")
    assert client.session["_auth_user_id"]


def test_the_wrong_one_does_not(client):
    with_role("counter")
    answer = enter(client, password="guess")
    assert answer.status_code == 200
    assert "_auth_user_id" not in client.session


def test_after_five_guesses_the_right_one_does_not_open_either(client):
    with_role("counter")
    for _ in range(5):
        enter(client, password="guess")
    answer = enter(client)
    assert answer.status_code == 429
    assert "Wait 15 minutes" in answer.content.decode()


def test_others_are_not_locked_out_by_it(client):
    with_role("counter")
    with_role("buyer")
    for _ in range(5):
        enter(client, password="guess")
    assert enter(client, name="buyer").status_code == 302


def test_nobody_is_sent_to_another_site(client):
    with_role("counter")
    assert enter(client, next="https://elsewhere.example/")["Location"] == "/"


def test_signing_out_is_a_form_not_a_link(signed_in):
    client = signed_in("counter")
    assert client.get("/sign-out/").status_code == 405
    assert client.post("/sign-out/")["Location"] == "/sign-in/"
    assert "_auth_user_id" not in client.session


def test_pages_forbid_inline_script_and_frames(client):
    policy = client.get("/sign-in/")["Content-Security-Policy"]
    assert "default-src 'self'" in policy
    assert "unsafe" not in policy
    for rule in ("frame-ancestors 'none'", "form-action 'self'", "base-uri 'none'"):
        assert rule in policy


def test_passwords_are_kept_with_argon2(settings):
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.Argon2PasswordHasher"]
    person = get_user_model()(username="edda")
    person.set_password(PASSWORD)
    assert person.password.startswith("argon2$")
