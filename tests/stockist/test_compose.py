"""compose.yaml: no secret in it, each service looked after, and a role that owns nothing."""

from __future__ import annotations

import re

import pytest
import yaml
from django.db import DatabaseError, connection, transaction

from stockist.variables import VARIABLES
from tests.support.source import ROOT

TEXT = (ROOT / "compose.yaml").read_text()
FILE = yaml.safe_load(TEXT)
SERVICES = FILE["services"]
LASTING = sorted(set(SERVICES) - {"migrate"})


def test_the_five_services_and_the_one_that_migrates():
    assert set(SERVICES) == {"postgres", "redis", "web", "worker", "beat", "migrate"}


@pytest.mark.parametrize("name", LASTING)
def test_each_is_asked_how_it_is_and_started_again(name):
    assert SERVICES[name]["healthcheck"]["test"]
    assert SERVICES[name]["restart"] == "unless-stopped"


@pytest.mark.parametrize("name", ["web", "worker", "beat", "migrate"])
def test_ours_run_without_privileges(name):
    service = SERVICES[name]
    assert service["cap_drop"] == ["ALL"]
    assert service["read_only"] is True
    assert "USER stockist" in service["build"]["dockerfile_inline"] if "build" in service else True


def test_no_secret_is_written_in_it():
    secrets = re.findall(r"^ *\w*(?:PASSWORD|SECRET_KEY): +(.+)$", TEXT, re.M)
    assert secrets
    assert [value for value in secrets if not value.startswith("${")] == []
    assert re.findall(r"://[^:/\s]+:(?!\$\{)[^@\s]+@", TEXT) == []


@pytest.mark.parametrize("name", ["SECRET_KEY", "ALLOWED_HOSTS", "SHOP_PASSWORD", "OWNER_PASSWORD"])
def test_what_must_be_given_is_asked_for_in_words(name):
    asked = re.search(rf"\$\{{{name}:\?([^}}]+)\}}", TEXT)
    assert asked[1].startswith("set it to")


def test_everything_given_to_the_shop_is_a_setting_of_its():
    given = set(SERVICES["web"]["environment"])
    assert given <= set(VARIABLES)
    assert {name for name, variable in VARIABLES.items() if variable.required} <= given


def test_only_the_migrating_service_signs_in_as_the_owner():
    addresses = {name: SERVICES[name]["environment"]["DATABASE_URL"] for name in ("web", "worker")}
    assert all(address.startswith("postgresql://stockist:") for address in addresses.values())
    migrating = SERVICES["migrate"]["environment"]["DATABASE_URL"]
    assert migrating.startswith("postgresql://stockist_owner:")


def test_data_outlive_their_containers():
    assert set(FILE["volumes"]) == {"postgres", "redis", "data"}


@pytest.fixture
def as_in_compose(db):
    """The owner and the shop's role, made by the very script of compose.yaml, and one table."""
    script = FILE["configs"]["roles"]["content"].replace("$$", "$")
    sql = script.split("<<'SQL'\n")[1].split("SQL")[0].replace(":'password'", "'x'")
    with connection.cursor() as cursor:
        cursor.execute("CREATE ROLE stockist_owner SUPERUSER")
        cursor.execute("SET LOCAL ROLE stockist_owner")
        cursor.execute(sql)
        cursor.execute("CREATE TABLE kept (id serial, word text)")
        cursor.execute(
            "CREATE TRIGGER append_only_rows BEFORE UPDATE OR DELETE ON kept "
            "FOR EACH ROW EXECUTE FUNCTION refuse_change('Written once.')"
        )
        cursor.execute("SET LOCAL ROLE stockist")
        yield cursor


def test_the_shop_s_role_reads_and_writes(as_in_compose):
    as_in_compose.execute("INSERT INTO kept (word) VALUES ('tyre') RETURNING word")
    assert as_in_compose.fetchone() == ("tyre",)


@pytest.mark.parametrize(
    "attempt",
    [
        "UPDATE kept SET word = 'rim'",
        "TRUNCATE kept",
        "ALTER TABLE kept DISABLE TRIGGER append_only_rows",
        "DROP TRIGGER append_only_rows ON kept",
        "SET session_replication_role = replica",
        "CREATE TABLE mine (id int)",
        "DROP FUNCTION refuse_change()",
    ],
)
def test_and_cannot_get_round_the_rules(as_in_compose, attempt):
    as_in_compose.execute("INSERT INTO kept (word) VALUES ('tyre')")
    with pytest.raises(DatabaseError), transaction.atomic():
        as_in_compose.execute(attempt)
    as_in_compose.execute("SELECT word FROM kept")
    assert as_in_compose.fetchone() == ("tyre",)
