"""A job in words."""

from __future__ import annotations

import pytest

from inventory.ground.jobs.words import rows_of, share_of, title_of, told
from inventory.ground.models import Job


@pytest.mark.parametrize(
    ("done", "failed", "total", "words", "share"),
    [
        (0, 0, None, "", None),
        (0, 0, 12000, "0 of 12,000 rows", 0),
        (2998, 2, 12000, "3,000 of 12,000 rows, 2 failed", 25),
        (1, 0, 1, "1 of 1 row", None),
        (1, 0, None, "1 row", None),
        (12, 0, None, "12 rows", None),
        (0, 2, None, "2 rows failed", None),
        (10, 2, None, "12 rows, 2 failed", None),
        (0, 0, 0, "", None),
    ],
)
def test_how_far(done, failed, total, words, share):
    job = Job(state="running", rows_done=done, rows_failed=failed, rows_total=total)
    assert (rows_of(job), share_of(job)) == (words, share)


def test_what_is_done_is_done_whatever_its_rows():
    assert share_of(Job(state="done", rows_done=0, rows_total=None)) == 100


def test_what_it_is():
    assert title_of(Job(kind="count", arguments={"to": 3})) == "Count: to 3"
    assert title_of(Job(kind="stumble")) == "Stumble"
    assert title_of(Job(kind="of-old", arguments={"to": 3})) == "of-old"
    assert str(Job(kind="count", slot="one")) == "count (one)"


@pytest.mark.parametrize(
    ("state", "words"),
    [
        ("running", "Count: to 3: running; 1 of 3 rows; counting"),
        ("failed", "Count: to 3: failed; 1 of 3 rows; It broke."),
        ("done", "Count: to 3: done; 1 of 3 rows; Counted."),
        ("waiting", "Count: to 3: waiting; 1 of 3 rows"),
    ],
)
def test_in_one_line(state, words):
    job = Job(kind="count", arguments={"to": 3}, state=state, rows_done=1, rows_total=3,
              doing="counting", last_error="It broke.", result="Counted.")  # fmt: skip
    assert told(job) == words
