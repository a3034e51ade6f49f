"""The load benchmark at a small size: every question asked both ways, so that it cannot rot."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest
from django.apps import apps
from django.core.management import call_command
from django.db import connection
from django.utils import timezone

from inventory.ledger.reconcile import differences
from inventory.models.balance import Balance
from inventory.models.lot import Lot
from inventory.models.posting import LedgerLine
from inventory.models.sku import Sku
from tests.load.asked import proving, reading
from tests.load.asked.asking import Differs, Question
from tests.load.asked.everything import WRITERS, everything
from tests.load.made.house import house
from tests.load.made.sizes import sizes
from tests.load.scale import SCALES
from tests.load.table import AtLeast, Beside, Limit, Pair, Row, Within, printed

SMALL = SCALES["small"]
ROWS = (
    "reading 400 mixed sizes",
    "availability of one SKU",
    "matched sets of one recipe",
    "which tyre, rules included",
    "which cars",
    "posting, 1 writer",
    "posting, 8 writers ",
    "posting, 8 writers on one row",
    "full reconciliation",
    "balances of the last 2,000 postings",
)


@pytest.mark.django_db(transaction=True)
def test_every_question_is_asked_both_ways_and_answered_alike(capsys):
    at = timezone.now()  # the API asks the clock, and must be asked about the same moment
    house(SMALL, seed=1, at=at)
    assert Sku.objects.count() == SMALL.skus
    assert Lot.objects.count() == SMALL.lots
    assert LedgerLine.objects.count() == SMALL.lines
    assert pointing_at_nothing() == []
    threads = lambda: ThreadPoolExecutor(WRITERS)  # noqa: E731
    table = printed(everything(SMALL, seed=1, at=at, writers=threads, read=400))
    for words in ROWS:
        assert words in table
    assert len(table.splitlines()) == 2 + len(ROWS)
    proving.damaged(0, whole=True)
    assert differences() == []
    assert Balance.objects.exclude(held=0).exists()
    call_command("patrol")
    assert "All is in order." in capsys.readouterr().out


def pointing_at_nothing() -> list[str]:
    """Foreign keys of all tables that lead nowhere: nothing looked while the rows came."""
    found = []
    with connection.cursor() as cursor:
        for model in apps.get_models(include_auto_created=True):
            for field in model._meta.concrete_fields:
                if field.is_relation:
                    there, key = field.related_model._meta.db_table, field.target_field.column
                    cursor.execute(
                        f"SELECT count(*) FROM {model._meta.db_table} a LEFT JOIN {there} b "
                        f'ON b."{key}" = a."{field.column}" '
                        f'WHERE a."{field.column}" IS NOT NULL AND b."{key}" IS NULL'
                    )
                    found += [str(field)] * bool(cursor.fetchone()[0])
    return found


def test_a_different_answer_is_no_figure():
    asked = Question("one", Limit(), [1, 2], int, lambda case: case + 1, lambda *both: both[1:])
    with pytest.raises(Differs, match="ours 1, by hand 2"):
        asked.row()


def test_a_figure_that_is_too_slow_is_told():
    fast, slow = Pair([0.002] * 9, [0.001] * 9), Pair([0.03] * 9, [0.001] * 9)
    rows = [
        Row("quick", fast, Beside(3, 5)),
        Row("slow", slow, Beside(25, 50)),
        Row("late", slow, Within(0.02, 95)),
        Row("rate", fast, AtLeast(0.6), (59.0, 100.0)),
        Row("asked of nobody", fast),
    ]
    assert [row.holds for row in rows] == [True, False, False, False, None]
    lines = printed(rows).splitlines()[2:]
    assert "| holds " in lines[0]
    assert all("does not hold" in line for line in lines[1:4])
    assert "59% (59 of 100 a second)" in lines[3]


def test_the_same_seed_gives_the_same_house():
    one, other, third = (sizes(np.random.default_rng(seed)) for seed in (4, 4, 5))
    assert (one.share == other.share).all()
    assert (one.share != third.share).any()
    typed = [reading.mixed(np.random.default_rng(4), one.texts, 50) for _ in range(2)]
    assert typed[0] == typed[1]


def test_the_other_reader_is_no_straw_man():
    assert reading.by_hand("165sr 14  84s") == (165, None, "S", 14, 84, "S")
    assert reading.by_hand("5.60–15") == (5.6, None, None, 15, None, None)
    assert reading.by_hand("30x3½") is None
