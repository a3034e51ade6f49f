"""SKUs: what can be bought and sold, with every column in which it is searched."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from decimal import Decimal
from typing import TypedDict, Unpack

from django.contrib.auth.models import User

from inventory.activities.cataloguing import sku_numbers, sku_rules
from inventory.ground.entries.register import Entry, Register
from inventory.models.maker import Compound, Pattern, TyreMaker
from inventory.models.sku import Sku


class SkuValues(TypedDict, total=False):
    """What can be said of a SKU. The columns that a size is read into are not among it."""

    code: str
    kind: str
    maker: TyreMaker
    pattern: Pattern | None
    compound: Compound | None
    name: str
    size_text: str
    stated_overall_mm: Decimal | None
    rim_width_min_in: Decimal | None
    rim_width_max_in: Decimal | None
    max_load_kg: Decimal | None
    load_pressure_kpa: int | None
    maker_top_speed_kmh: int | None
    mark: str
    mark_issue: str
    tube: str
    axle_only: str
    hand: str
    ply: int | None
    sidewall: str
    band_mm: int | None
    weight_kg: Decimal | None
    price: Decimal | None
    currency: str
    status: str
    expected_on: date | None
    note: str
    gtins: Sequence[str]
    type_approvals: Sequence[tuple[str, str]]  # scheme and number


class SkuRegister(Register[Sku]):
    """SKUs by their code, with their article numbers and type approvals."""

    parts = frozenset({"gtins", "type_approvals"})
    compared = sku_numbers.NUMBERS

    def write_parts(self, entries: Sequence[Entry[Sku]], *, by: User, at: datetime) -> None:
        sku_numbers.write_gtins(entries)
        sku_numbers.write_type_approvals(entries)


SKUS = SkuRegister(Sku, key=("code",), derive=sku_rules.derive)


def make_sku(*, by: User, at: datetime, **values: Unpack[SkuValues]) -> Sku:
    """Enter a SKU; its size is read into every searched column.

    Raises Faulty with every reason: a size that cannot be read (with the nearest that can), an
    article number that cannot be, a code that is there already.
    """
    return SKUS.make(values, by=by, at=at)


def change_sku(
    *, sku: Sku, seen: int | None = None, by: User, at: datetime, **values: Unpack[SkuValues]
) -> Sku:
    """Change what is given of a SKU. ``seen`` is the version that the person looked at.

    Raises Faulty; StaleVersion where somebody else has changed it since.
    """
    return SKUS.change(sku, values, seen=seen, by=by, at=at)
