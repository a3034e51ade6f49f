"""GS1 check digits against examples of GS1's own pages and software; the source is in each row."""

import csv
from pathlib import Path

import pytest

from inventory.markings.identifiers import BadIdentifier, check_digit, normalise_gtin

DATA = Path(__file__).parent / "data" / "gs1_check_digits.csv"
ROWS = list(csv.DictReader(DATA.read_text(encoding="utf-8").splitlines()))


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['key']} {row['full']}")
def test_check_digit(row):
    assert check_digit(row["without_check_digit"]) == int(row["check_digit"])
    rightly_marked = row["full"] == row["without_check_digit"] + row["check_digit"]
    assert rightly_marked is (row["valid"] == "1")


@pytest.mark.parametrize("row", [r for r in ROWS if r["key"].startswith("GTIN")], ids=str)
def test_gtin_is_stored_or_refused(row):
    if row["valid"] == "1":
        assert normalise_gtin(row["full"]) == row["full"].zfill(14)
    else:
        with pytest.raises(BadIdentifier, match=f"is {row['check_digit']}, not"):
            normalise_gtin(row["full"])


def test_the_worked_example_sums_to_57():
    # gs1.org, "How to calculate a check digit manually": 6291041500213
    weights = [1, 3] * 6
    assert sum(int(d) * w for d, w in zip("629104150021", weights, strict=True)) == 57
    assert check_digit("629104150021") == 60 - 57
