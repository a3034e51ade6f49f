"""Alive, ready, and what is said when something the house stands on is not in order."""

from __future__ import annotations

import pytest
from django.contrib.auth.models import Group
from django.db import OperationalError, connection

from stockist.health.readiness import FINE, readiness, unguarded, written_once

pytestmark = pytest.mark.django_db


def test_alive_asks_nothing(client, django_assert_num_queries):
    with django_assert_num_queries(0):
        answer = client.get("/healthz")
    assert (answer.status_code, answer.content) == (200, b"alive\n")


def test_ready_when_all_is_in_order(client):
    answer = client.get("/readyz")
    assert answer.status_code == 200
    assert answer.json()["ready"] is True
    assert set(answer.json()["parts"].values()) == {FINE}
    assert "no-store" in answer["Cache-Control"]


def test_the_ledger_is_among_what_is_guarded():
    assert {"inventory_posting", "inventory_ledgerline"} <= written_once()
    assert unguarded() == set()


def test_a_trigger_that_was_switched_off_is_missed(client):
    with connection.cursor() as cursor:
        cursor.execute("ALTER TABLE inventory_posting DISABLE TRIGGER append_only_rows")
    answer = client.get("/readyz")
    assert answer.status_code == 503
    assert answer.json()["parts"]["append-only rules"] == "not guarded: inventory_posting"


def test_a_migration_that_waits_is_missed():
    with connection.cursor() as cursor:
        cursor.execute("DELETE FROM django_migrations WHERE app = 'sessions'")
    assert readiness()["tables"] == "1 migrations are not applied: run manage.py migrate"


def test_a_database_that_does_not_answer_is_told(monkeypatch, client):
    def refuse():
        raise OperationalError("password for shop at db.example.org is wrong")

    monkeypatch.setattr(connection, "ensure_connection", refuse)
    monkeypatch.setattr(connection, "cursor", refuse)
    answer = client.get("/readyz")
    assert answer.status_code == 503
    assert answer.json()["parts"]["database"] == "the database does not answer"
    assert "example.org" not in answer.content.decode()


def test_a_broker_that_does_not_answer_is_told(settings):
    settings.REDIS_URL = "redis://127.0.0.1:1/0"
    assert readiness()["broker"] == "the broker does not answer"


def test_a_form_sent_to_it_is_refused(client):
    assert client.post("/readyz").status_code == 405
    assert not Group.objects.filter(name="x").exists()
