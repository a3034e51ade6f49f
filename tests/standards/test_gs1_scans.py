"""GS1 data as scanners send it, against published examples; the source is in each row."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from inventory.markings import SEPARATOR, UnreadableScan, read_scan

DATA = Path(__file__).parent / "data" / "gs1_elements.csv"
with DATA.open(encoding="utf-8") as file:
    ROWS = list(csv.DictReader(file))


@pytest.mark.parametrize("row", [r for r in ROWS if r["elements"]], ids=lambda row: row["text"])
def test_a_published_example_is_read(row):
    wanted = tuple(tuple(pair.split("=")) for pair in row["elements"].split())
    assert read_scan(row["text"].replace("|", SEPARATOR)).elements == wanted


@pytest.mark.parametrize("row", [r for r in ROWS if not r["elements"]], ids=lambda row: row["text"])
def test_what_a_published_test_refuses_is_refused(row):
    with pytest.raises(UnreadableScan):
        read_scan(row["text"])
