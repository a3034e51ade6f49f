"""A job whose chunks each leave one line in a table that would take a second one just as well."""

from __future__ import annotations

import os
import time

from django.db import connection

from inventory.ground.jobs.kinds import Step, Work, job_kind

TABLE = "CREATE TABLE IF NOT EXISTS tally (job bigint, chunk integer, process integer)"


@job_kind("tally", title="Tally")
def tally(work: Work, cursor: int | None) -> Step:
    """Write one line, then take a while before it is committed: long enough to be killed in."""
    chunk = cursor or 0
    with connection.cursor() as asked:
        asked.execute("INSERT INTO tally VALUES (%s, %s, %s)", [work.job_id, chunk, os.getpid()])
    time.sleep(work.arguments["pause"])
    left = chunk + 1 < work.arguments["chunks"]
    return Step(cursor=chunk + 1 if left else None, done=1, total=work.arguments["chunks"])
