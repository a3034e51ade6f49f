"""The sheet of compounds. A successor may stand later in the same sheet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any

from django.contrib.auth.models import User

from inventory.activities.cataloguing.makers import COMPOUNDS
from inventory.ground.entries.finding import fold
from inventory.ground.entries.register import Values
from inventory.ground.sheets import readers
from inventory.ground.sheets.cells import quoted
from inventory.ground.sheets.columns import Column, of, to
from inventory.ground.sheets.references import Reference
from inventory.ground.sheets.registered import RegisterSheet, Registration
from inventory.ground.sheets.rows import Report, SheetRow
from inventory.models.maker import Compound, TyreMaker


@dataclass
class _WithSuccessors(Registration):
    """Compounds first, then who follows whom: by then all of them are there."""

    successors: Sequence[str | None] = field(default_factory=tuple)

    def write(self, *, by: User, at: datetime) -> None:
        """Write the compounds, then their successors, each a version of its own."""
        altered = [entry for entry in self.entries if entry.parts_changed]
        for entry in altered:
            entry.parts_changed = False
        super().write(by=by, at=at)
        keys = {(fold(code), entry.row.maker_id) for code, entry in self._told() if code}
        found = COMPOUNDS.finder.find(keys)
        rows: list[Values] = []
        for code, entry in self._told():
            follows = found.get((fold(code), entry.row.maker_id)) if code else None
            if entry.row.successor_id != (follows and follows.pk):
                rows.append({**_identity(entry.row), "successor": follows})
        COMPOUNDS.enter(rows, by=by, at=at)
        for entry in altered:
            entry.parts_changed = True
        self.count()

    def compare(self) -> None:
        """Mark the compounds that another one follows than is said now."""
        told = [(code, entry) for code, entry in self._told() if not entry.is_new]
        before = Compound.objects.in_bulk({entry.row.successor_id for _, entry in told} - {None})
        for code, entry in told:
            follows = before.get(entry.row.successor_id)
            if fold(code or "") != (fold(follows.code) if follows else ""):
                entry.parts_changed = True
        self.count()

    def _told(self) -> list[tuple[str | None, Any]]:
        pairs = zip(self.successors, self.entries, strict=True)
        return [(code, entry) for code, entry in pairs if code is not None]


class Compounds(RegisterSheet):
    """One row a compound of a maker."""

    name = "compounds"
    title = "Compounds"
    model = Compound
    into = COMPOUNDS
    key = ("maker", "code")
    columns = (
        to("maker", "maker", Reference(TyreMaker, "tyre maker"), required=True, example="TARN"),
        of(Compound, "code", read=readers.code, example="q4"),
        of(Compound, "temperature_from_c", heading="works from °C", example="60"),
        of(Compound, "temperature_to_c", heading="works to °C", example="95"),
        of(Compound, "axle_only", heading="axle"),
        Column(
            "successor",
            "successor",
            readers.code,
            example="",
            wanted="the code of the compound of the same maker that took its place",
        ),
        of(Compound, "year", heading="year", example="2024"),
    )

    def values_of(self, row: SheetRow, report: Report, on: date) -> Sequence[Values]:
        """Everything but the successor, which is looked for when all rows are there."""
        return [{name: value for name, value in row.values.items() if name != "successor"}]

    def plan(
        self, rows: Sequence[SheetRow], report: Report, *, on: date, lock: bool
    ) -> Registration:
        """Judge the rows, and whether each successor is in the table or in the sheet."""
        plan = super().plan(rows, report, on=on, lock=lock)
        here = {_key(row, "code") for row in rows}
        wanted = [row for row in rows if row.values.get("successor")]
        there = here | set(COMPOUNDS.finder.find([_key(row, "successor") for row in wanted]))
        for row in wanted:
            code, maker = row.values["successor"], row.values["maker"]
            if _key(row, "successor") == _key(row, "code"):
                report(row.number, "successor", "a compound cannot be its own successor.")
            elif _key(row, "successor") not in there:
                words = f"{maker} has no compound {quoted(code)}, here or in this sheet."
                report(row.number, "successor", words)
        successors = [row.values.get("successor") for row in rows]
        whole = _WithSuccessors(plan.into, plan.numbers, plan.entries, plan.outcome, successors)
        whole.compare()
        return whole


def _key(row: SheetRow, name: str) -> tuple[Any, ...]:
    return fold(row.values[name]), row.values["maker"].pk


def _identity(compound: Compound) -> Values:
    return {"maker": compound.maker, "code": compound.code}
