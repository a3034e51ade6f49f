"""Every kind of sheet there is, by name: each app lists its own in its ``imports`` package."""

from __future__ import annotations

from difflib import get_close_matches
from functools import cache
from importlib import import_module
from importlib.util import find_spec

from django.apps import apps

from inventory.ground.refusal import Refusal
from inventory.ground.sheets.sheet import Sheet


class NoSuchSheet(Refusal):
    """There is no sheet of this name."""

    status = 404


@cache
def every_sheet() -> dict[str, Sheet]:
    """The sheets of all apps by name, in the order in which they build on one another."""
    found: dict[str, Sheet] = {}
    for app in apps.get_app_configs():
        place = f"{app.name}.imports"
        if find_spec(place) is not None:
            for sheet in import_module(place).SHEETS:
                found[sheet.name] = sheet
    return found


def sheet_named(name: str) -> Sheet:
    """One sheet by its name. Raises NoSuchSheet with the nearest name, or all of them."""
    sheets = every_sheet()
    if name in sheets:
        return sheets[name]
    match = get_close_matches(name.casefold(), sheets, n=1)
    told = f"Did you mean {match[0]}?" if match else f"Known are: {', '.join(sheets)}."
    raise NoSuchSheet(f"There is no sheet called “{name[:40]}”. {told}")
