"""Check or load one spreadsheet, write its template, or list the sheets there are."""

from __future__ import annotations

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.contrib.auth.models import User
from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from inventory.ground.refusal import Refusal
from inventory.ground.sheets.loading import Loaded, check, load
from inventory.ground.sheets.problems import SheetRefused
from inventory.ground.sheets.registry import every_sheet, sheet_named
from inventory.ground.sheets.sheet import Sheet
from inventory.ground.sheets.template import KINDS, template


class Command(BaseCommand):
    """One spreadsheet from the command line: every row is checked, then all is loaded or none."""

    help = (
        "Loads a spreadsheet (CSV or .xlsx): all of it, or nothing and every reason why. "
        "Without a file it lists the sheets there are."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        """What can be asked for."""
        parser.add_argument("sheet", nargs="?", help="the kind of sheet, such as skus")
        parser.add_argument("file", nargs="?", type=Path, help="the spreadsheet to load")
        parser.add_argument("--check", action="store_true", help="say what would happen, no more")
        parser.add_argument("--by", metavar="NAME", help="the sign-in name of who loads it")
        parser.add_argument(
            "--template", type=Path, metavar="FILE", help="write an empty sheet to this file"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        """Do one of the four things."""
        try:
            self._do(**options)
        except SheetRefused as refusal:
            raise CommandError(_told(refusal)) from None
        except Refusal as refusal:
            raise CommandError(str(refusal)) from None
        except OSError as error:
            raise CommandError(f"{error.filename}: {error.strerror}") from None

    def _do(
        self,
        *,
        sheet: str | None,
        file: Path | None,
        check: bool,
        by: str | None,
        template: Path | None,
        **others: Any,
    ) -> None:
        if sheet is None:
            self._list()
        elif template is not None:
            self._write_template(sheet_named(sheet), template)
        elif file is None:
            raise CommandError("Name the file to load, or ask for a --template.")
        else:
            self._load(sheet_named(sheet), file, None if check else _person(by))

    def _list(self) -> None:
        for sheet in every_sheet().values():
            self.stdout.write(f"{sheet.name:16} {sheet.title}")

    def _write_template(self, sheet: Sheet, path: Path) -> None:
        kind = path.suffix.lstrip(".").lower()
        if kind not in KINDS:
            raise CommandError(f"{path.name} must end in .{' or .'.join(KINDS)}.")
        path.write_bytes(template(sheet, kind))
        self.stdout.write(f"{path} is ready to fill in.")

    def _load(self, sheet: Sheet, path: Path, by: User | None) -> None:
        data, now = path.read_bytes(), timezone.now()
        if by is None:
            done = check(sheet, data, on=timezone.localdate(now))
            self.stdout.write("Checked, nothing was loaded. It would come to:")
        else:
            done = load(sheet, data, by=by, at=now, file_name=path.name)
        self._tell(done)

    def _tell(self, done: Loaded) -> None:
        for line in (*done.notes, str(done), *map(str, done.changes)):
            self.stdout.write(line)
        if done.more_changes:
            self.stdout.write(f"and {done.more_changes} more changes")


def _person(name: str | None) -> User:
    if name is None:
        raise CommandError("Say who loads it: --by NAME. (Or only --check.)")
    person = User.objects.filter(username=name, is_active=True).first()
    if person is None:
        raise CommandError(f"Nobody signs in as “{name}”.")
    return person


def _told(refusal: SheetRefused) -> str:
    rest = [f"and {refusal.rest} more"] if refusal.rest else []
    return "\n".join([str(refusal), *map(str, refusal.shown), *rest])
