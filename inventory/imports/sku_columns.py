"""The columns of the sheet of SKUs."""

from __future__ import annotations

from inventory.ground.sheets import readers
from inventory.ground.sheets.columns import Column, of, to
from inventory.ground.sheets.readers import Unread
from inventory.ground.sheets.references import Reference
from inventory.ground.sheets.shifting import day_by_weeks
from inventory.markings.identifiers import normalise_gtin
from inventory.models.maker import Compound, Pattern, TyreMaker
from inventory.models.sku import Sku


def type_approval(cell: str) -> tuple[str, str]:
    """A scheme and the number under it, parted by a blank."""
    scheme, _, number = readers.code(cell).partition(" ")
    if not number:
        raise Unread(f"“{scheme[:40]}” wants a scheme and a number, such as “ECE-R30 0212345”.")
    return scheme, number


_MAKER = Reference(TyreMaker, "tyre maker")
_PATTERN = Reference(Pattern, "pattern", by="name", within=("maker", "maker"))
_COMPOUND = Reference(Compound, "compound", within=("maker", "maker"))

COLUMNS = (
    of(Sku, "code", read=readers.code, example="TARN-CW-1857015"),
    of(Sku, "kind", example="tyre"),
    to("maker", "maker", _MAKER, required=True, example="TARN"),
    to("pattern", "pattern", _PATTERN, example="Cairnway", wanted="a pattern of this maker"),
    to("compound", "compound", _COMPOUND, wanted="a compound of this maker"),
    of(Sku, "name", wanted="what a tube, tape or valve is called"),
    of(Sku, "size_text", heading="size", example="185/70 R 15 89V", wanted="a size, in any form"),
    of(Sku, "rim_width_min_in", heading="rim width from in", example="4.5"),
    of(Sku, "rim_width_max_in", heading="rim width to in", example="6"),
    of(Sku, "stated_overall_mm", heading="overall diameter mm", wanted="as its maker states it"),
    of(Sku, "max_load_kg", heading="load kg", wanted="as its maker states it"),
    of(Sku, "load_pressure_kpa", heading="load pressure kPa"),
    of(Sku, "maker_top_speed_kmh", heading="top speed km/h", wanted="as its maker states it"),
    of(Sku, "mark", heading="mark", wanted="the approval mark on the sidewall"),
    of(Sku, "mark_issue"),
    of(Sku, "tube", example="tubeless"),
    of(Sku, "axle_only", heading="axle"),
    of(Sku, "hand"),
    of(Sku, "ply", heading="ply"),
    of(Sku, "sidewall", example="black"),
    of(Sku, "band_mm", heading="band mm"),
    Column(
        "type approvals",
        "type_approvals",
        readers.many(type_approval),
        absent=(),
        example="ECE-R30 0212345",
        wanted="scheme and number; several parted by ;",
    ),
    Column(
        "GTINs",
        "gtins",
        readers.many(normalise_gtin),
        absent=(),
        example="4006381333931",
        wanted="article numbers of 8, 12, 13 or 14 figures; several parted by ;",
    ),
    of(Sku, "weight_kg", heading="weight kg", example="8.4"),
    of(Sku, "price", example="214.00"),
    of(Sku, "currency", example="GBP"),
    of(Sku, "status", example="current"),
    of(Sku, "expected_on", shift=day_by_weeks),
    of(Sku, "note"),
)
