"""Approvals by their code: what each is about, entered in bulk with what is said of it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from typing import Any

from django.contrib.auth.models import User

from fitments.activities import versions
from fitments.activities.sizes import service_faults, with_size
from fitments.activities.versions import Said
from fitments.models.approval import Approval, ApprovalVersion
from inventory.ground.entries.faults import Fault
from inventory.ground.entries.register import Entry, Register, Values

_NEVER_CHANGES = (
    "What an approval is about never changes: withdraw this one with the reason, and record "
    "another under a code of its own."
)


def said_faults(said: Said) -> Iterator[Fault]:
    """What cannot be said of an approval."""
    if said.valid_from and said.valid_to and said.valid_to < said.valid_from:
        yield Fault("valid_to", "The last day in force comes before the first.")
    if said.withdrawn_on and said.valid_from and said.withdrawn_on < said.valid_from:
        yield Fault("withdrawn_on", "It cannot be withdrawn before it came into force.")
    yield from service_faults(load_index=said.least_load_index)


def _faults(approval: Approval, given: Values) -> Iterator[Fault]:
    maker, line = approval.car_maker, approval.vehicle_line
    if maker is not None and line is not None and line.maker_id != maker.pk:
        yield Fault("vehicle_line", f"{line.name} is not a model range of {maker}.")
    pattern, compound = approval.pattern, approval.compound
    if pattern is not None and compound is not None and pattern.maker_id != compound.maker_id:
        yield Fault("compound", f"{compound} is not a compound of the maker of {pattern}.")
    if isinstance(given.get("said"), Said):
        yield from said_faults(given["said"])


class ApprovalRegister(Register[Approval]):
    """Approvals by their code. ``said`` is what is said of one, ``why`` the reason, both parts."""

    parts = frozenset({"said", "why"})

    def completed(self, given: Values) -> tuple[Values, list[Fault]]:
        """The size is read; no size means any."""
        return with_size(given)

    def plan(self, rows: Sequence[Values], *, lock: bool = False) -> list[Entry[Approval]]:
        """As of every register; what an approval is about cannot be changed by it."""
        entries = super().plan(rows, lock=lock)
        for entry in entries:
            if not entry.faults:
                entry.faults += [Fault(_field(name), _NEVER_CHANGES) for name in entry.changes]
        return entries

    def write_parts(self, entries: Sequence[Entry[Approval]], *, by: User, at: datetime) -> None:
        """Say of each approval what was given, where it is not what is said of it already."""
        changed = [entry for entry in entries if entry.is_new or entry.parts_changed]
        told = [entry for entry in changed if "said" in entry.given]
        held = versions.current([entry.row for entry in told])
        for why in dict.fromkeys(entry.given.get("why", "") for entry in told):
            of_it = [entry for entry in told if entry.given.get("why", "") == why]
            versions.replace(
                [version for entry in of_it for version in held.get(entry.row.pk, ())],
                [(entry.row, entry.given["said"]) for entry in of_it],
                why=why,
                by=by,
            )

    def compare(self, entries: Sequence[Entry[Approval]]) -> None:
        """Mark the entries of which something else is said now than was given."""
        told = [entry for entry in entries if not entry.is_new and "said" in entry.given]
        held: Mapping[int, list[ApprovalVersion]] = versions.current([e.row for e in told])
        for entry in told:
            now = [Said.of(version) for version in held.get(entry.row.pk, ())]
            entry.parts_changed = now != [entry.given["said"]]


def _field(attname: str) -> str:
    names: dict[Any, str] = {f.attname: f.name for f in Approval._meta.concrete_fields}
    text = "size_text" if attname in ("size", "size_keys") else attname
    return names[text]


CLAIMS = ApprovalRegister(Approval, key=("code",), derive=_faults)
