"""The sheet of evidence: what approvals rest on, and who has checked it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime, time
from typing import Any

from django.contrib.auth.models import User
from django.utils import timezone

from fitments.activities.evidence import EVIDENCE
from fitments.models.car import VehicleLine
from fitments.models.evidence import Evidence
from inventory.ground.entries.register import Values
from inventory.ground.sheets import readers
from inventory.ground.sheets.columns import Column, of, to
from inventory.ground.sheets.references import Reference
from inventory.ground.sheets.registered import RegisterSheet
from inventory.ground.sheets.rows import Report, SheetRow
from inventory.ground.sheets.shifting import day_by_weeks
from inventory.models.customer import Axle

_PERSON = Reference(User, "person who signs in as", by="username")
_NOON = time(12)
LISTS = frozenset({"model_ranges", "sizes", "marks", "axles"})


class EvidenceSheet(RegisterSheet):
    """One row a document."""

    name = "evidence"
    title = "Evidence"
    model = Evidence
    into = EVIDENCE
    key = ("code",)
    needs = ("add", "change")  # it says who has checked a document
    columns = (
        of(Evidence, "code", read=readers.code, example="EV-001"),
        of(Evidence, "kind", example="letter"),
        of(Evidence, "reference", example="Letter HC/208"),
        of(Evidence, "issuer", example="Hallmere Cars, technical office"),
        of(Evidence, "dated", example="2019-05-02"),
        of(Evidence, "says", heading="says", example="185/70 R 15 with mark HLM, issue 2."),
        replace(
            to("model ranges", "model_ranges", Reference(VehicleLine, "model range")),
            read=readers.many(readers.code),
            absent=(),
            wanted="codes of model ranges that it names, parted by ;",
        ),
        Column(
            "sizes",
            "sizes",
            readers.many(readers.text),
            absent=(),
            wanted="sizes that it names, parted by ;",
        ),
        Column(
            "marks",
            "marks",
            readers.many(readers.text),
            absent=(),
            example="HLM 2",
            wanted="marks that it names, parted by ;",
        ),
        Column(
            "axles",
            "axles",
            readers.many(readers.choice(Axle.choices)),
            absent=(),
            wanted="axles that it names, parted by ;",
        ),
        of(Evidence, "says_from", heading="from"),
        of(Evidence, "says_to", heading="to"),
        of(Evidence, "digest", heading="digest", wanted="SHA-256 of the file as received"),
        Column(
            "checked on",
            "checked_on",
            readers.day,
            absent=None,
            wanted="the day on which the document itself was looked at",
            shift=day_by_weeks,
        ),
        to("checked by", "checked_by", _PERSON, wanted="the sign-in name of who looked at it"),
        of(Evidence, "due_on", heading="due on", shift=day_by_weeks),
    )

    def values_of(self, row: SheetRow, report: Report, on: date) -> Sequence[Values]:
        """The day of the check as a moment; both who and when, or neither."""
        values: dict[str, Any] = {n: v for n, v in row.values.items() if n != "checked_on"}
        for name in LISTS & set(values):
            values[name] = [getattr(one, "code", one) for one in values[name]]
        if "checked_on" in row.values or "checked_by" in row.values:
            checked, by = row.values.get("checked_on"), row.values.get("checked_by")
            if (checked is None) != (by is None):
                report(row.number, "checked on", "say both who checked it and when.")
                checked = by = None
            elif checked is not None and checked > on:
                report(row.number, "checked on", f"{checked.isoformat()} is still to come.")
            values["checked_by"] = by
            values["checked_at"] = _at_noon(checked) if checked else None
        return [values]


def _at_noon(day: date) -> datetime:
    return timezone.make_aware(datetime.combine(day, _NOON))
