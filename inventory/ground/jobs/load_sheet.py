"""Loading a spreadsheet of more than a thousand rows: checked in chunks, then loaded all at once.

The check shows how far it is and what is wrong early, without holding a lock. What counts is the
load: it reads and judges every row once more, in the one transaction that writes them all.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from functools import lru_cache
from typing import Any

from django.contrib.auth.models import User
from django.utils import timezone

from inventory.ground.jobs.asking import File, ask
from inventory.ground.jobs.kinds import Step, Work, Wrong, job_kind
from inventory.ground.jobs.model import Job, JobFile
from inventory.ground.refusal import Refusal
from inventory.ground.sheets.files import digest_of
from inventory.ground.sheets.loading import Loaded, check, load
from inventory.ground.sheets.permission import MayNotLoad, look_over, may_load
from inventory.ground.sheets.problems import Problem, SheetRefused, UnreadableSheet
from inventory.ground.sheets.reading import read_rows
from inventory.ground.sheets.registry import sheet_named
from inventory.ground.sheets.rows import Report, SheetRow
from inventory.ground.sheets.sheet import Sheet
from inventory.ground.sheets.shifting import NO_SHIFT

KIND = "load-sheet"
CHUNK = 1000
MOST_CHANGES = 20


class FileIsGone(Refusal):
    """The file of a job is kept until it is loaded, or for a fortnight after it could not be."""

    status = 410
    sentence = "The file of this job is not kept any more: send the spreadsheet again."


class NobodyAsked(Refusal):
    """A spreadsheet is loaded for somebody, who answers for it."""

    sentence = "Nobody is named who asked for this spreadsheet to be loaded: send it again."


@dataclass(frozen=True, slots=True)
class _Read:
    """A file as read: its rows, and what is wrong with single cells, by row."""

    rows: list[SheetRow]
    problems: Mapping[int, list[Problem]]


def ask_to_load(
    *,
    sheet: Sheet,
    data: bytes,
    file_name: str,
    by: User,
    at: datetime,
    only_check: bool = False,
) -> Job:
    """Ask for a spreadsheet to be loaded in the background, as of the moment it was sent.

    ``only_check``: it is looked at, and said what would come of it; nothing is written.
    """
    return ask(
        kind=KIND,
        slot=f"{sheet.name} {at.isoformat()} {by.pk} {digest_of(data)[:16]}",
        arguments={"sheet": sheet.name, "file": file_name[-200:], "only_check": only_check},
        by=by,
        at=at,
        file=File(file_name, data),
    )


def _about(arguments: Mapping[str, Any]) -> str:
    sheet, file = arguments.get("sheet", ""), arguments.get("file", "")
    only = ", check only" if arguments.get("only_check") else ""
    return (f"{sheet} from {file}" if file else str(sheet)) + only


@job_kind(KIND, title="Load a spreadsheet", about=_about, again=False)
def load_sheet(work: Work, cursor: Any) -> Step:
    """Check the next thousand rows, or, once all are checked, load them."""
    sheet = sheet_named(work.arguments["sheet"])
    if not may_load(_person(work), sheet):
        raise MayNotLoad(sheet)
    digest = JobFile.objects.filter(job_id=work.job_id).values_list("digest", flat=True)
    if not digest:
        raise FileIsGone
    try:
        if cursor is not None and "row" not in cursor:
            return _load(sheet, work, wrong=cursor["wrong"])
        read = _read(sheet.name, work.job_id, digest[0])
        return _begin(sheet, work, read) if cursor is None else _check(sheet, work, read, **cursor)
    except UnreadableSheet as unreadable:
        return Step(afresh=True, refused=unreadable.sentence)
    except SheetRefused as refused:
        return _refused(refused)


@lru_cache(maxsize=1)
def _read(name: str, job_id: int, digest: str) -> _Read:
    """The rows of a job's file, read once for all its chunks."""
    data = bytes(JobFile.objects.get(job_id=job_id, digest=digest).content)
    report = Report()
    rows, _ = read_rows(data, name, sheet_named(name).columns, NO_SHIFT, report)
    problems: dict[int, list[Problem]] = {}
    for problem in report.problems:
        problems.setdefault(problem.row, []).append(problem)
    return _Read(rows, problems)


def _begin(sheet: Sheet, work: Work, read: _Read) -> Step:
    if not read.rows:
        check(sheet, _content(work), on=_day(work))  # says what is the matter
    return Step(
        cursor={"row": 0, "wrong": False},
        total=len(read.rows),
        doing="checking the rows",
        afresh=True,
    )


def _check(sheet: Sheet, work: Work, read: _Read, row: int, wrong: bool) -> Step:
    rows = read.rows[row : row + CHUNK]
    problems = [problem for each in rows for problem in read.problems.get(each.number, ())]
    report = Report()
    sound = [each for each in rows if each.number not in read.problems]
    sheet.plan(sound, report, on=_day(work), lock=False)
    problems += report.problems
    bad = {problem.row for problem in problems} & {each.number for each in rows}
    wrong = wrong or bool(problems)
    cursor: dict[str, Any] = {"row": row + CHUNK, "wrong": wrong}
    doing = "checking the rows"
    if cursor["row"] >= len(read.rows):
        del cursor["row"]
        doing = _last_doing(work, wrong)
    listed = [_wrong(problem) for problem in problems]
    return Step(cursor, len(rows) - len(bad), wrong=listed, failed=len(bad), doing=doing)


def _last_doing(work: Work, wrong: bool) -> str:
    if wrong:
        return "listing all that is wrong"
    only_check = work.arguments.get("only_check")
    return "judging all rows together" if only_check else "loading all rows at once"


def _load(sheet: Sheet, work: Work, *, wrong: bool) -> Step:
    _read.cache_clear()
    data, person = _content(work), _person(work)
    only_check = work.arguments.get("only_check", False)
    if wrong or only_check:
        # In chunks, rows that belong together may have been judged apart; and to list what is
        # wrong nothing need be locked.
        found = check(sheet, data, on=_day(work))
    if not only_check:
        found = load(sheet, data, by=person, at=work.at, file_name=work.arguments["file"])
    look_over(person, sheet, found)
    JobFile.objects.filter(job_id=work.job_id).delete()
    only = "Checked, nothing was loaded. It would come to: " if only_check else ""
    return Step(done=found.rows, total=found.rows, afresh=True, result=only + _came_of(found))


def _came_of(loaded: Loaded) -> str:
    """What came of it, and the first things it changed, a line each."""
    lines = [str(loaded), *loaded.notes]
    lines += [str(change)[:150] for change in loaded.changes[:MOST_CHANGES]]
    more = len(loaded.changes) - MOST_CHANGES + loaded.more_changes
    return "\n".join([*lines, f"and {more} more changes"] if more > 0 else lines)


def _person(work: Work) -> User:
    if work.by is None:
        raise NobodyAsked
    return work.by


def _refused(refused: SheetRefused) -> Step:
    more = f" The first {len(refused.shown)} are listed." if refused.rest else ""
    return Step(
        wrong=[_wrong(problem) for problem in refused.shown],
        failed=len({problem.row for problem in refused.problems}),
        afresh=True,
        refused=refused.sentence + more,
    )


def _wrong(problem: Problem) -> Wrong:
    return Wrong(problem.row, problem.words, problem.column)


def _content(work: Work) -> bytes:
    return bytes(JobFile.objects.get(job_id=work.job_id).content)


def _day(work: Work) -> date:
    return timezone.localtime(work.at).date()
