"""The database restarted under a worker. It has a server of its own: others use the tests'."""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

import psycopg
import pytest
from django.conf import settings

from stockist.database import cluster, server, sharing
from tests.support.source import ROOT
from tests.worker.house import House, wait_until

pytestmark = pytest.mark.worker
CHUNKS = 10

# Makes the tables that jobs need, and asks for one.
PREPARE = f"""
import django
django.setup()
from django.contrib.auth.models import User
from django.db import connection
from django.db.migrations.executor import MigrationExecutor
from django.utils import timezone
from inventory.ground.jobs.asking import ask
from tests.worker.tasks import TABLE
migrations = MigrationExecutor(connection)
last = migrations.loader.graph.leaf_nodes
migrations.migrate([*last("contenttypes"), *last("auth"), *last("ground")])
connection.cursor().execute(TABLE)
arguments = {{"chunks": {CHUNKS}, "pause": 0.15}}
by = User.objects.create(username="asks")
ask(kind="tally", slot="one", arguments=arguments, by=by, at=timezone.now())
"""


@pytest.fixture
def own_house(broker):
    """A house whose embedded server nobody else uses; and a function that asks its database."""
    if not settings.DATABASES["default"].get("FOLDER"):
        pytest.skip("the tests run on a server named by DATABASE_URL, which is not theirs to stop")
    # Not below pytest's own folder, which is closed to the user that the server runs as.
    folder = Path(tempfile.mkdtemp(prefix="stockist-"))
    folder.chmod(0o755)
    house, data = House(folder, None, broker.url), folder / "postgres"
    address = server.serve(data, careless=True)

    def query(sql):
        where = f"host={address.folder} port={address.port} user={cluster.SUPERUSER}"
        try:
            with psycopg.connect(f"{where} dbname=stockist") as connection:
                return connection.execute(sql).fetchall()
        except psycopg.OperationalError:
            return []

    yield house, data, query
    house.end()
    server.release(data)
    shutil.rmtree(folder)


def test_a_database_that_is_restarted(own_house):
    house, data, query = own_house
    subprocess.run([sys.executable, "-c", PREPARE], env=house.environment, cwd=ROOT, check=True)
    house.worker()
    chunks = "SELECT chunk FROM tally ORDER BY chunk"
    wait_until(lambda: len(query(chunks)) >= 2, "the second chunk", house.log)
    with sharing.alone(data):  # a worker starts it anew at once, and pg_ctl would wait for that one
        server.stop(data)
    server.serve(data, careless=True)
    wait_until(lambda: query("SELECT ended_at FROM ground_job WHERE kind = 'tally' "
                             "AND ended_at IS NOT NULL"), "the end", house.log)  # fmt: skip
    found = query("SELECT state, rows_done FROM ground_job WHERE kind = 'tally'")
    assert found == [("done", CHUNKS)]
    assert query(chunks) == [(chunk,) for chunk in range(CHUNKS)]
