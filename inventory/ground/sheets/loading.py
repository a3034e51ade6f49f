"""A spreadsheet checked, and loaded all or nothing."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime

from django.contrib.auth.models import User
from django.db import IntegrityError, transaction
from django.utils import timezone

from inventory.ground.entries.writing import settle
from inventory.ground.models import SheetLoad
from inventory.ground.retry import retried
from inventory.ground.sheets.files import digest_of
from inventory.ground.sheets.limits import MOST_SHOWN
from inventory.ground.sheets.problems import SheetRefused, UnreadableSheet
from inventory.ground.sheets.reading import read_rows
from inventory.ground.sheets.rows import Report
from inventory.ground.sheets.sheet import Change, Outcome, Plan, Sheet
from inventory.ground.sheets.shifting import NO_SHIFT, Shift
from inventory.ground.violations import named_violation

# Told as work goes on: the step that is done ("read", "checked", "written"), and of how many rows.
Progress = Callable[[str, int], None]


@dataclass(frozen=True, slots=True)
class Loaded:
    """What came of a spreadsheet. ``earlier`` is set where this very file was loaded before."""

    sheet: str
    rows: int
    new: int
    changed: int
    same: int
    changes: tuple[Change, ...] = ()
    more_changes: int = 0
    notes: tuple[str, ...] = ()
    earlier: SheetLoad | None = None

    def __str__(self) -> str:
        if self.earlier:
            day = self.earlier.loaded_at.date().isoformat()
            return f"{self.sheet}: this file was loaded on {day} already; nothing was done."
        return f"{self.sheet}: {self.new} new, {self.changed} changed, {self.same} as before."


@dataclass(frozen=True, slots=True)
class _Work:
    sheet: Sheet
    data: bytes
    on: date
    shift: Shift
    progress: Progress | None

    def tell(self, step: str, rows: int) -> None:
        if self.progress:
            self.progress(step, rows)


def check(
    sheet: Sheet,
    data: bytes,
    *,
    on: date,
    shift: Shift = NO_SHIFT,
    progress: Progress | None = None,
) -> Loaded:
    """What loading this file on a day would do; nothing is written.

    Raises UnreadableSheet, SheetRefused.
    """
    plan, count, notes = _planned(_Work(sheet, data, on, shift, progress), lock=False)
    return _answer(sheet, count, plan.outcome, notes)


def load(
    sheet: Sheet,
    data: bytes,
    *,
    by: User,
    at: datetime,
    file_name: str = "",
    shift: Shift = NO_SHIFT,
    once: bool | None = None,
    progress: Progress | None = None,
) -> Loaded:
    """Check every row of a file, then load all of it or nothing. Safe to repeat.

    ``once`` (the sheet's own setting unless given): a file whose digest was loaded into this sheet
    before is not loaded again. Raises UnreadableSheet; SheetRefused with every problem of every
    row; and what the register refuses when others write the same at the same moment.
    """
    mark = SheetLoad(
        sheet=sheet.name,
        digest=digest_of(data),
        once=sheet.once if once is None else once,
        file_name=file_name[-200:],
        loaded_at=at,
        loaded_by=by,
    )
    job = _Work(sheet, data, timezone.localtime(at).date(), shift, progress)

    def work() -> Loaded:
        with transaction.atomic():
            earlier = _marked_before(mark)
            if earlier:
                return Loaded(sheet.name, earlier.rows, 0, 0, earlier.rows, earlier=earlier)
            plan, count, notes = _planned(job, lock=True)
            with named_violation():
                plan.write(by=by, at=at)
                settle()
            outcome = plan.outcome
            SheetLoad.objects.filter(pk=mark.pk).update(
                rows=count, new=outcome.new, changed=outcome.changed, same=outcome.same
            )
        job.tell("written", count)
        return _answer(sheet, count, outcome, notes)

    return retried(work)


def _marked_before(mark: SheetLoad) -> SheetLoad | None:
    """The load of this very file that there was, else None, and the mark is set.

    The mark comes first: whoever loads the same file at the same moment waits for it here.
    """
    mark.pk = None
    try:
        with transaction.atomic():
            mark.save(force_insert=True)
    except IntegrityError:
        return SheetLoad.objects.get(sheet=mark.sheet, digest=mark.digest, once=True)
    return None


def _planned(job: _Work, *, lock: bool) -> tuple[Plan, int, tuple[str, ...]]:
    sheet, report = job.sheet, Report()
    rows, notes = read_rows(job.data, sheet.name, sheet.columns, job.shift, report)
    job.tell("read", len(rows))
    if job.shift != NO_SHIFT:
        for row in report.sound(rows):
            sheet.shifted(row, job.shift)
    sheet.report_doubles(report.sound(rows), report)
    plan = sheet.plan(report.sound(rows), report, on=job.on, lock=lock)
    if report.problems:
        raise SheetRefused(report.problems)
    if not rows:
        raise UnreadableSheet("This spreadsheet has its headings, but no row under them.")
    job.tell("checked", len(rows))
    return plan, len(rows), notes


def _answer(sheet: Sheet, count: int, outcome: Outcome, notes: tuple[str, ...]) -> Loaded:
    return Loaded(
        sheet=sheet.name,
        rows=count,
        new=outcome.new,
        changed=outcome.changed,
        same=outcome.same,
        changes=outcome.changes[:MOST_SHOWN],
        more_changes=max(len(outcome.changes) - MOST_SHOWN, 0),
        notes=notes,
    )
