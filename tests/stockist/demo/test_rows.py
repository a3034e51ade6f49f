"""The sheets by themselves: everything in them can be read, and nobody real can be reached."""

from __future__ import annotations

import re

import pytest

from inventory.markings import normalise_gtin, read_date_code, read_size

AXLES = ("front", "rear")
SIZED = ["skus", "companions", "fitments", "approvals", "pressures"]


def test_every_file_of_the_folder_is_a_sheet_in_the_list(folder, plan):
    listed = [named["file"] for named in plan["sheets"]]

    assert sorted(listed) == sorted(file.name for file in folder.glob("*.csv"))


@pytest.mark.parametrize("sheet", SIZED)
def test_every_size_can_be_read(rows, sheet):
    kinds = [row for row in rows(sheet) if row["size"] and row.get("kind", "tyre") == "tyre"]

    assert [row["size"] for row in kinds if not read_size(row["size"]).canonical] == []
    assert kinds


def test_every_date_code_can_be_read(rows, as_of):
    codes = {row["date code"] for row in rows("opening-stock")} - {""}
    codes |= {row[f"{axle} date code"] for row in rows("customer-cars") for axle in AXLES} - {""}

    assert all(read_date_code(code, as_of).text for code in codes)
    assert len(codes) > 100


def test_nothing_was_made_after_it_was_received(rows, as_of):
    for row in rows("opening-stock"):
        made = read_date_code(row["date code"], as_of).first_day if row["date code"] else None
        assert made is None or made.isoformat() <= row["received on"], row["lot"]
        assert row["received on"] <= as_of.isoformat(), row["lot"]


def test_article_numbers_are_of_the_block_for_use_inside_a_firm(rows):
    # GS1 keeps the prefixes 20 to 29 for numbers that mean something inside one firm only.
    numbers = [n for row in rows("skus") for n in row["GTINs"].split("; ") if n]

    assert {normalise_gtin(number)[:2] for number in numbers} == {"02"}
    assert {number[0] for number in numbers} == {"2"}
    assert len(numbers) > 300


def test_nobody_real_can_be_written_to_or_rung_up(rows):
    # RFC 2606 keeps ".example"; Ofcom keeps 01632 960000 to 960999 for drama.
    people = [*rows("customers"), *rows("suppliers")]

    assert all(re.fullmatch(r"(\S+@\S+\.example)?", row["e-mail"]) for row in people)
    assert all(re.fullmatch(r"(\+44 1632 960\d{3})?", row["telephone"]) for row in people)


def test_the_codes_of_each_sheet_are_told_once(rows):
    for sheet in ("skus", "variants", "evidence", "approvals", "places", "model-ranges"):
        codes = [row["code"] for row in rows(sheet)]
        assert len(set(codes)) == len(codes), sheet


def test_what_the_guide_names_is_there(rows, folder):
    guide = (folder / "ABOUT.md").read_text("utf-8")
    named = set(re.findall(r"\b[A-Z]{2,3}-[0-9A-Z]+(?:-[0-9A-Z]+)*\b", guide))
    known = {row["lot"] for row in rows("opening-stock")}
    for sheet in ("skus", "variants", "evidence", "approvals"):
        known |= {row["code"] for row in rows(sheet)}

    assert len(named) > 100
    # A name may stand for several codes that begin with it: MBY-LIN-SIL-155 for both issues.
    assert {name for name in named if not any(code.startswith(name) for code in known)} == set()
