"""What goes with a tyre: tubes, rim tapes, valves, by tyre or by size."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import TypedDict, Unpack

from django.contrib.auth.models import User

from inventory.ground.entries.faults import Fault
from inventory.ground.entries.register import Register, Values
from inventory.markings import UnreadableMarking, read_size, size_key
from inventory.models.companion import Companion
from inventory.models.sku import Sku, SkuKind


class CompanionValues(TypedDict, total=False):
    """What can be said of a companion: for one tyre or for a size, on a kind of rim."""

    tyre: Sku | None
    size_text: str
    rim_kind: str
    valve: str
    companion: Sku
    need: str
    per_tyre: int
    source: str


def _faults(companion: Companion, given: Values) -> Iterator[Fault]:
    if companion.companion.kind == SkuKind.TYRE:
        yield Fault("companion", f"{companion.companion} is a tyre, not what goes with one.")
    if companion.tyre is not None and companion.tyre.kind != SkuKind.TYRE:
        yield Fault("tyre", f"{companion.tyre} is no tyre.")


class CompanionRegister(Register[Companion]):
    """Companions by what they go with; the key of the size is part of what they are known by."""

    def completed(self, given: Values) -> tuple[Values, list[Fault]]:
        """The search key is read from the size before the row is looked for."""
        text = given.get("size_text")
        if text is None:
            return given, []
        try:
            return {**given, "size_key": size_key(read_size(text)) if text else ""}, []
        except UnreadableMarking as error:
            return given, [Fault("size_text", str(error))]


COMPANIONS = CompanionRegister(
    Companion, key=("companion", "tyre", "size_key", "rim_kind", "valve"), derive=_faults
)


def make_companion(*, by: User, at: datetime, **values: Unpack[CompanionValues]) -> Companion:
    """Say what goes with a tyre, or with the tyres of a size. Raises Faulty."""
    return COMPANIONS.make(values, by=by, at=at)


def change_companion(
    *, companion_rule: Companion, by: User, at: datetime, **values: Unpack[CompanionValues]
) -> Companion:
    """Change what is given of a companion. Raises Faulty."""
    return COMPANIONS.change(companion_rule, values, by=by, at=at)
