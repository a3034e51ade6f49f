"""Which sheets a person may load, by what the role may do with the rows."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.contrib.auth import get_permission_codename
from django.core.exceptions import PermissionDenied
from django.http import Http404

from inventory.ground.refusal import Refusal
from inventory.ground.sheets.loading import Loaded
from inventory.ground.sheets.registry import NoSuchSheet, every_sheet, sheet_named
from inventory.ground.sheets.sheet import Sheet


class MayNotChange(Refusal):
    """The sheet would change rows, and the person may only add some."""

    status = 403

    def __init__(self, sheet: Sheet, loaded: Loaded) -> None:
        rows = "a row that is" if loaded.changed == 1 else f"{loaded.changed} rows that are"
        super().__init__(
            f"This would change {rows} there already. Your role may add {sheet.title.lower()}, "
            "but not change them: nothing was loaded. Take those rows out, or ask the owner."
        )


def sheets_of(person: Any) -> list[Sheet]:
    """The sheets that a person may load, in the order in which they build on one another."""
    return [sheet for sheet in every_sheet().values() if _may(person, sheet, sheet.needs)]


def sheet_for(person: Any, name: str) -> Sheet:
    """A sheet that this person may load. Raises Http404, PermissionDenied."""
    try:
        sheet = sheet_named(name)
    except NoSuchSheet as error:
        raise Http404(error.sentence) from error
    if not _may(person, sheet, sheet.needs):
        raise PermissionDenied
    return sheet


def look_over(person: Any, sheet: Sheet, loaded: Loaded) -> None:
    """Refuse what a sheet did if the person may not do it. Raises MayNotChange."""
    if loaded.changed and not _may(person, sheet, sheet.needs_to_change):
        raise MayNotChange(sheet, loaded)


def _may(person: Any, sheet: Sheet, actions: Sequence[str]) -> bool:
    meta = sheet.model._meta
    needed = [f"{meta.app_label}.{get_permission_codename(action, meta)}" for action in actions]
    return bool(person.has_perms(needed))
