"""The demo: its people, and its sheets loaded by the importers that users have."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path

from django.conf import settings
from django.contrib.auth.models import Group, User
from django.utils import timezone

from inventory.ground.sheets.loading import load
from inventory.ground.sheets.registry import sheet_named
from inventory.ground.sheets.shifting import Shift

FOLDER = Path(settings.BASE_DIR) / "fixtures" / "demo"
# For a shop on this machine that holds invented data only; printed when the demo starts.
PASSWORD = "classic-rubber-1964"  # noqa: S105
PEOPLE = (
    ("counter", "Mabel", "Harrow"),
    ("warehouse", "Tom", "Osgodby"),
    ("buyer", "Ines", "Caldbeck"),
    ("owner", "Ruth", "Fenwold"),
)


class NotADemo(Exception):
    """The database holds a real shop: the demo's people and tyres are not put among it."""


@dataclass(frozen=True, slots=True)
class Told:
    """What loading one sheet came to."""

    sheet: str
    words: str


def people() -> dict[str, User]:
    """One person for each role, made once; a password that was changed since is left alone."""
    if User.objects.exclude(username__in=[name for name, _, _ in PEOPLE]).exists():
        raise NotADemo(
            "Somebody else signs in here already, so this is not a demo: nothing was loaded. "
            "Set DATA_FOLDER to an empty folder, or DATABASE_URL to an empty database."
        )
    made = {}
    for name, first, last in PEOPLE:
        user, new = User.objects.get_or_create(
            username=name,
            defaults={"first_name": first, "last_name": last, "is_staff": name == "owner"},
        )
        if new:
            user.set_password(PASSWORD)
            user.save()
            user.groups.add(Group.objects.get(name=name))
        made[name] = user
    return made


def load_sheets(*, at: datetime, tell: Callable[[Told], None]) -> None:
    """Every sheet in its order, its calendar moved to today; a second time changes nothing.

    ``tell`` hears of each sheet once it is in. Raises ``SheetRefused`` with every fault.
    """
    plan = tomllib.loads((FOLDER / "demo.toml").read_text(encoding="utf-8"))
    as_of: date = plan["as_of"]
    shift = Shift.between(as_of, timezone.localdate(at))
    by = User.objects.get(username="buyer")
    for entry in plan["sheets"]:
        sheet = sheet_named(entry["sheet"])
        data = (FOLDER / entry["file"]).read_bytes()
        name = entry["file"]
        done = load(sheet, data, by=by, at=at, shift=shift, file_name=name, once=True)
        tell(Told(sheet.name, str(done)))
