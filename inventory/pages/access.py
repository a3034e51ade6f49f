"""Which sheets a person may load, by what the role may do with the rows."""

from __future__ import annotations

from typing import Any

from django.core.exceptions import PermissionDenied
from django.http import Http404

from inventory.ground.sheets.permission import may_load
from inventory.ground.sheets.registry import NoSuchSheet, every_sheet, sheet_named
from inventory.ground.sheets.sheet import Sheet


def sheets_of(person: Any) -> list[Sheet]:
    """The sheets that a person may load, in the order in which they build on one another."""
    return [sheet for sheet in every_sheet().values() if may_load(person, sheet)]


def sheet_for(person: Any, name: str) -> Sheet:
    """A sheet that this person may load. Raises Http404, PermissionDenied."""
    try:
        sheet = sheet_named(name)
    except NoSuchSheet as error:
        raise Http404(error.sentence) from error
    if not may_load(person, sheet):
        raise PermissionDenied
    return sheet
