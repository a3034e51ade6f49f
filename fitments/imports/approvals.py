"""The sheet of approvals. A row for both axles makes two, their codes ending in -F and -R."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date
from typing import Any

from fitments.activities.claims import CLAIMS
from fitments.activities.versions import Said
from fitments.imports.approval_columns import COLUMNS, SAID
from fitments.imports.axles import BOTH, by_axle
from fitments.models.approval import Approval
from inventory.ground.entries.finding import fold
from inventory.ground.entries.register import Entry, Values
from inventory.ground.sheets.cells import quoted
from inventory.ground.sheets.registered import RegisterSheet, Registration
from inventory.ground.sheets.rows import Report, SheetRow
from inventory.ground.sheets.shifting import Shift, day_by_years

_ENDINGS = {"front": "-F", "rear": "-R"}
_WHY = "as the sheet of approvals says"


class Approvals(RegisterSheet):
    """One row an approval and what is said of it now; another may be superseded by a later row."""

    name = "approvals"
    title = "Approvals"
    model = Approval
    into = CLAIMS
    key = ("code",)
    columns = COLUMNS
    needs_to_change = ("add",)  # what is said anew is a version of its own

    def shifted(self, row: SheetRow, shift: Shift) -> None:
        """What an organiser's list says moves with its season, by whole years."""
        if row.values.get("competition_class") is not None:
            for name in ("valid_from", "valid_to"):
                if row.values.get(name):
                    row.values[name] = day_by_years(row.values[name], shift)

    def values_of(self, row: SheetRow, report: Report, on: date) -> Sequence[Values]:
        """The claim for each axle, with what is said of it."""
        said = {name: row.values[name] for name in SAID if name in row.values}
        said["evidence"] = frozenset(said.get("evidence", ()))
        left_out = {*SAID, "superseded_by", "pattern_maker"}
        claim = {name: value for name, value in row.values.items() if name not in left_out}
        claim |= {"said": Said(**said), "why": _WHY}
        if claim["axle"] != BOTH:
            return [claim]
        return [{**one, "code": one["code"] + _ENDINGS[one["axle"]]} for one in by_axle(claim)]

    def plan(
        self, rows: Sequence[SheetRow], report: Report, *, on: date, lock: bool
    ) -> Registration:
        """Judge the claims, then look for what supersedes them, among them and in the register."""
        plan = super().plan(rows, report, on=on, lock=lock)
        wanted = {n: row.values["superseded_by"] for n, row in _superseded(rows)}
        told = [
            (number, str(wanted[number]), entry)
            for number, entry in zip(plan.numbers, plan.entries, strict=True)
            if number in wanted
        ]
        there = self._by_code(plan.entries, told)
        for number, code, entry in told:
            later = next((there[key] for key in _keys(code, entry) if key in there), None)
            for words in _wrong(code, entry.row, later):
                report(number, "superseded by", words)
            said = replace(entry.given["said"], superseded_by=later)
            entry.given = {**entry.given, "said": said}
        CLAIMS.compare(plan.entries)
        plan.count()
        return plan

    def _by_code(
        self, entries: Sequence[Entry[Any]], told: Sequence[tuple[int, str, Entry[Any]]]
    ) -> dict[str, Approval]:
        """The approvals of the sheet, not written yet, and those of the register, by code."""
        here = {fold(entry.row.code): entry.row for entry in entries}
        keys = {key for _, code, entry in told for key in _keys(code, entry)} - set(here)
        held = CLAIMS.finder.find([(key,) for key in keys])
        return {**{key: row for (key,), row in held.items()}, **here}


def _superseded(rows: Sequence[SheetRow]) -> Iterator[tuple[int, SheetRow]]:
    return ((row.number, row) for row in rows if row.values.get("superseded_by"))


def _keys(code: str, entry: Entry[Any]) -> tuple[str, str]:
    """The codes that may be meant: the one that is written, or its row for the same axle."""
    return fold(code), fold(code + _ENDINGS[entry.row.axle])


def _wrong(code: str, approval: Approval, later: Approval | None) -> Iterator[str]:
    if later is None:
        yield f"there is no approval {quoted(code)}, here or in this sheet."
    elif later is approval or later == approval:
        yield "an approval cannot supersede itself."
    elif later.axle != approval.axle:
        yield f"{later.code} is for the {later.axle} axle, {approval.code} is not."
