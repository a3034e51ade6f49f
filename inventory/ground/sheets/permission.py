"""Who may load what: by what the role may do with the rows of a sheet."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.contrib.auth import get_permission_codename

from inventory.ground.refusal import Refusal
from inventory.ground.sheets.loading import Loaded
from inventory.ground.sheets.sheet import Sheet


class MayNotLoad(Refusal):
    """The person's role may not enter rows of this kind."""

    status = 403

    def __init__(self, sheet: Sheet) -> None:
        super().__init__(f"Your role may not load {sheet.title.lower()}: ask the owner.")


class MayNotChange(Refusal):
    """The sheet would change rows, and the person may only add some."""

    status = 403

    def __init__(self, sheet: Sheet, loaded: Loaded) -> None:
        rows = "a row that is" if loaded.changed == 1 else f"{loaded.changed} rows that are"
        super().__init__(
            f"This would change {rows} there already. Your role may add {sheet.title.lower()}, "
            "but not change them: nothing was loaded. Take those rows out, or ask the owner."
        )


def may_load(person: Any, sheet: Sheet) -> bool:
    """Whether a person may load a sheet."""
    return _may(person, sheet, sheet.needs)


def look_over(person: Any, sheet: Sheet, loaded: Loaded) -> None:
    """Refuse what a sheet did if the person may not do it. Raises MayNotChange."""
    if loaded.changed and not _may(person, sheet, sheet.needs_to_change):
        raise MayNotChange(sheet, loaded)


def _may(person: Any, sheet: Sheet, actions: Sequence[str]) -> bool:
    meta = sheet.model._meta
    needed = [f"{meta.app_label}.{get_permission_codename(action, meta)}" for action in actions]
    return bool(person.has_perms(needed))
