"""Evidence: recorded by one person, checked by another, or by the same and shown as such.

Nothing is edited away: the database keeps every version of what was known of a document.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from datetime import date, datetime
from typing import TypedDict, Unpack

from django.contrib.auth.models import User
from django.db import transaction
from django.utils import timezone

from fitments.activities.written import WrittenRegister
from fitments.models.car import VehicleLine
from fitments.models.evidence import Evidence, EvidenceVersion
from inventory.ground.entries.faults import Fault, Faulty
from inventory.ground.entries.register import Entry, Values
from inventory.ground.refusal import Refusal, StaleVersion
from inventory.ground.uploads import Received, store
from inventory.markings import UnreadableMarking, read_size

CHECK = frozenset({"checked_at", "checked_by_id", "due_on"})


class NotYetRecorded(Refusal):
    """Evidence is said to have been checked before it was there."""


class AnotherFile(Refusal):
    """A file is not the one whose digest is on record."""


class EvidenceValues(TypedDict, total=False):
    """What can be said of a document; ``digest`` is the SHA-256 of the file as received.

    ``model_ranges`` are codes; ``sizes`` in any form; an empty list: the document does not say.
    """

    code: str
    kind: str
    reference: str
    issuer: str
    dated: date | None
    says: str
    model_ranges: Sequence[str]
    sizes: Sequence[str]
    marks: Sequence[str]
    axles: Sequence[str]
    says_from: date | None
    says_to: date | None
    digest: str
    due_on: date | None
    why: str


def _faults(evidence: Evidence, given: Values) -> Iterator[Fault]:
    evidence.digest = evidence.digest.lower()
    if evidence.checked_by is not None and not evidence.checked_by.is_active:
        yield Fault("checked_by", f"{evidence.checked_by} does not work here any more.")
    if "sizes" in given:
        try:
            evidence.sizes = [read_size(text).canonical for text in evidence.sizes]
        except UnreadableMarking as error:
            yield Fault("sizes", str(error))


class EvidenceRegister(WrittenRegister[Evidence]):
    """Documents by their code. What is changed of one takes its check away, unless that is said."""

    def stamp(self, row: Evidence, *, by: User, at: datetime) -> None:
        row.recorded_by, row.recorded_at = by, at
        self.sign(row, by=by, at=at)

    def rewritten(self, entry: Entry[Evidence]) -> bool:
        return bool(set(entry.changes) - CHECK - {"why"})

    def write(self, entries: Sequence[Entry[Evidence]], *, by: User, at: datetime) -> None:
        for entry in entries:
            if self.rewritten(entry) and "checked_at" not in entry.given:
                entry.row.checked_by, entry.row.checked_at = None, None
        super().write(entries, by=by, at=at)


EVIDENCE = EvidenceRegister(Evidence, key=("code",), derive=_faults)


def record(
    *, file: Received | None = None, by: User, at: datetime, **values: Unpack[EvidenceValues]
) -> Evidence:
    """Enter a document that an approval may rest on, with its file if it has one. Raises Faulty."""
    _refuse_unknown(values.get("model_ranges", ()))
    return EVIDENCE.make({**values, **_kept(file)}, by=by, at=at)


def change(
    *,
    evidence: Evidence,
    file: Received | None = None,
    seen: int | None = None,
    by: User,
    at: datetime,
    **values: Unpack[EvidenceValues],
) -> Evidence:
    """Say something else of a document: it wants checking again. What was said before is kept.

    ``seen`` is the ``version_of`` the document that the person looked at: raises StaleVersion
    where it is another now. Raises Faulty, AnotherFile.
    """
    _refuse_unknown(values.get("model_ranges", ()))
    unchecked = {"checked_at": None, "checked_by": None}
    with transaction.atomic():
        held = EVIDENCE.finder.locked(evidence.pk)
        if seen is not None and version_of(held) != seen:
            raise StaleVersion
        if file is not None:
            _refuse_another(held, file)
        return EVIDENCE.change(held, {**values, **_kept(file), **unchecked}, by=by, at=at)


def check(*, evidence: Evidence, due_on: date | None = None, seen: int | None = None, by: User,
          at: datetime) -> Evidence:  # fmt: skip
    """Say that somebody has looked at the document itself and it says what is written.

    Whoever wrote it may check it as well; it is then shown as self-checked. ``due_on`` is when
    it wants another look. Raises NotYetRecorded, StaleVersion, FileIsGone, Faulty.
    """
    if at < evidence.recorded_at:
        day = timezone.localdate(evidence.recorded_at).isoformat()
        raise NotYetRecorded(f"{evidence.code} was recorded on {day} only.", field="checked_on")
    values = {"checked_at": at, "checked_by": by, "due_on": due_on}
    with transaction.atomic():
        held = EVIDENCE.finder.locked(evidence.pk)
        if seen is not None and version_of(held) != seen:
            raise StaleVersion
        if held.copy_digest:
            store.content_of(held.copy_digest)  # what nobody can open has not been looked at
        return EVIDENCE.change(held, values, by=by, at=at)


def version_of(evidence: Evidence) -> int:
    """The number of the version that is known now."""
    rows = EvidenceVersion.objects.filter(evidence=evidence, known__upper_inf=True)
    return int(rows.values_list("pk", flat=True).get())


def _kept(file: Received | None) -> dict[str, str]:
    """The columns of a file, which is kept first: one that no row names does no harm."""
    if file is None:
        return {}
    store.keep(file.copy, file.copy_digest)
    return {
        "digest": file.digest,
        "file_name": file.name,
        "media_type": str(file.media_type),
        "copy_digest": file.copy_digest,
    }


def _refuse_another(evidence: Evidence, file: Received) -> None:
    if evidence.digest and not evidence.copy_digest and evidence.digest != file.digest:
        raise AnotherFile(
            f"The digest on record for {evidence.code} is that of another file. Nothing was "
            "changed: send that file, or correct the digest first and say why.",
            field="file",
        )


def _refuse_unknown(codes: Collection[str]) -> None:
    known = set(VehicleLine.objects.filter(code__in=codes).values_list("code", flat=True))
    wrong = sorted(set(codes) - known)
    if wrong:
        raise Faulty([Fault("model_ranges", f"There is no model range {', '.join(wrong)}.")])
