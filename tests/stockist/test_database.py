"""The embedded server, as every test has it."""

from __future__ import annotations

import pytest
from django.db import connection

pytestmark = pytest.mark.django_db


def ask(sql: str, *values: object) -> tuple:
    with connection.cursor() as cursor:
        cursor.execute(sql, values)
        return cursor.fetchone()


def test_databases_have_the_builtin_locale():
    sql = "SELECT datlocprovider, datlocale FROM pg_database WHERE datname = current_database()"
    assert ask(sql) == ("b", "C.UTF-8")


def test_a_test_run_has_a_database_and_a_server_of_its_own(settings):
    name = ask("SELECT current_database()")[0]
    assert name.startswith("test_")
    if "FOLDER" in settings.DATABASES["default"]:
        assert ask("SHOW data_directory")[0].endswith("postgres-test")


@pytest.mark.parametrize(
    ("text", "plain"), [("Écurie Ñandú", "ecurie nandu"), ("Straße", "strasse")]
)
def test_plain_takes_accents_and_capitals_away(text, plain):
    assert ask("SELECT plain(%s)", text) == (plain,)


def test_plain_may_be_indexed():
    assert ask("SELECT provolatile FROM pg_proc WHERE proname = 'plain'") == ("i",)


@pytest.mark.parametrize("extension", ["btree_gist", "citext", "pg_trgm", "unaccent"])
def test_the_extension_is_there(extension):
    assert ask("SELECT count(*) FROM pg_extension WHERE extname = %s", extension) == (1,)
