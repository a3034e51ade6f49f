"""Loading a sheet in a test, and asking what is wrong with it."""

from __future__ import annotations

from contextlib import suppress

from django.utils import timezone

from inventory.ground.sheets.loading import check, load
from inventory.ground.sheets.problems import SheetRefused, UnreadableSheet
from inventory.ground.sheets.registry import sheet_named
from inventory.ground.sheets.shifting import NO_SHIFT
from tests.factories.people import UserFactory
from tests.factories.when import AT, TODAY
from tests.ground.sheet_files import csv_file


def loaded(name, *rows, by=None, at=AT, shift=NO_SHIFT, once=None):
    """Load rows given as lists, the headings first; a check tells beforehand what it will do."""
    by, sheet, data = by or UserFactory(), sheet_named(name), csv_file(*rows)
    with suppress(SheetRefused, UnreadableSheet):  # then loading is refused as well
        said = check(sheet, data, on=timezone.localtime(at).date(), shift=shift)
    done = load(sheet, data, by=by, at=at, shift=shift, once=once)
    if not done.earlier:
        assert (said.new, said.changed, said.same) == (done.new, done.changed, done.same)
    return done


def wrong(name, *rows, data=None, on=TODAY):
    """What is wrong with a sheet, as people read it; loading it must change nothing."""
    try:
        check(sheet_named(name), data if data is not None else csv_file(*rows), on=on)
    except SheetRefused as refusal:
        return [str(problem) for problem in refusal.problems]
    except UnreadableSheet as refusal:
        return [str(refusal)]
    return []
