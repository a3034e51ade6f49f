"""Kinds of job that only tests have: one that counts, and ones that go wrong."""

from __future__ import annotations

import time

from inventory.ground.jobs.kinds import Step, Work, Wrong, job_kind
from inventory.ground.models import IdempotencyKey
from inventory.ground.refusal import Busy, Refusal

CHUNK = 10


def effect_of(work: Work, number: int) -> None:
    """Something that a chunk leaves behind, and that is not there once more if it is done twice."""
    IdempotencyKey.objects.create(
        actor=work.by, key=f"{work.job_id}-{number}", route="effect", body=""
    )


def effects() -> list[str]:
    """What chunks left behind, in their order."""
    rows = IdempotencyKey.objects.filter(route="effect").order_by("pk")
    return [key.partition("-")[2] for key in rows.values_list("key", flat=True)]


@job_kind("count", title="Count", about=lambda arguments: f"to {arguments['to']}")
def count(work: Work, cursor: int | None) -> Step:
    """Count in chunks of ten; every row of `wrong` is refused."""
    begin = cursor or 0
    end = min(begin + CHUNK, work.arguments["to"])
    effect_of(work, begin)
    bad = [row for row in work.arguments.get("wrong", ()) if begin < row <= end]
    done = end == work.arguments["to"]
    return Step(
        cursor=None if done else end,
        done=end - begin - len(bad),
        total=work.arguments["to"],
        wrong=[Wrong(row, "this row is odd.", "oddness") for row in bad],
        doing=f"counting from {begin}",
        result=f"Counted to {end}." if done else "",
    )


class TooMuch(Refusal):
    """More than there is."""

    sentence = "That is more than there is: ask for less."


@job_kind("stumble", title="Stumble", again=False)
def stumble(work: Work, cursor: int | None) -> Step:
    """Do one chunk, then what `how` says."""
    effect_of(work, cursor or 0)
    if cursor is None:
        return Step(cursor=1, done=1)
    how = work.arguments["how"]
    if how == "refuse":
        raise TooMuch
    if how == "busy":
        raise Busy
    if how == "database":
        effect_of(work, cursor)  # the same key once more
    if how == "stop":
        return Step(cursor=cursor, refused="It stops here.")
    raise ZeroDivisionError("nothing to share \x00 out")


@job_kind("sleep", title="Sleep")
def sleep(work: Work, cursor: int | None) -> Step:
    """One chunk that takes its time."""
    effect_of(work, 0)
    time.sleep(1.5)
    return Step(done=1)
