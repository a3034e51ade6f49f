"""What follows from what is said of a SKU, and what of it cannot be."""

from __future__ import annotations

from collections.abc import Iterator

from inventory.activities.cataloguing.size_columns import NO_SIZE, size_columns
from inventory.ground.entries.faults import Fault
from inventory.ground.entries.register import Values
from inventory.markings import UnreadableMarking, read_size
from inventory.markings.geometry import GeometryError
from inventory.markings.identifiers import BadIdentifier, normalise_gtin
from inventory.models.sku import Sku, SkuKind, TubeType

_TUBE = {"TT": TubeType.TUBE_TYPE, "TL": TubeType.TUBELESS}


def derive(sku: Sku, given: Values) -> list[Fault]:
    """Fill the parsed columns of a SKU, and tell what cannot be as it was given."""
    faults = [*_size(sku), *_belongings(sku), *_numbers(given)]
    if not faults and sku.size:
        faults += _moulded(sku)
    return faults


def _size(sku: Sku) -> Iterator[Fault]:
    columns = NO_SIZE
    if sku.size_text:
        try:
            columns = size_columns(sku.size_text, sku.stated_overall_mm)
        except UnreadableMarking as error:
            # What goes with tyres is marked in its maker's own way; it is kept as typed.
            if sku.kind == SkuKind.TYRE:
                yield Fault("size_text", str(error))
        except GeometryError as error:
            yield Fault("stated_overall_mm", str(error))
    elif sku.kind == SkuKind.TYRE:
        yield Fault("size_text", "A tyre needs its size.")
    for name, value in columns.items():
        setattr(sku, name, list(value) if name == "size_keys" else value)


def _belongings(sku: Sku) -> Iterator[Fault]:
    """A tyre has a pattern; pattern and compound are of the SKU's own maker."""
    if sku.kind == SkuKind.TYRE and sku.pattern_id is None:
        yield Fault("pattern", "A tyre needs its pattern.")
    for name, of in (("pattern", sku.pattern), ("compound", sku.compound)):
        if of is not None and sku.maker_id and of.maker_id != sku.maker_id:
            yield Fault(name, f"{of} is not a {name} of {sku.maker}.")


def _numbers(given: Values) -> Iterator[Fault]:
    for number in given.get("gtins", ()):
        try:
            normalise_gtin(number)
        except BadIdentifier as error:
            yield Fault("gtins", str(error))


def _moulded(sku: Sku) -> Iterator[Fault]:
    """What the size says of ply and tube stands in its own columns, and may not be gainsaid."""
    size = read_size(sku.size_text)
    if size.ply is not None:
        if sku.ply not in (None, size.ply):
            yield Fault("ply", f"The size says {size.ply} ply, this column {sku.ply}.")
        sku.ply = size.ply
    tube = next((_TUBE[suffix] for suffix in size.suffixes if suffix in _TUBE), None)
    if tube is None:
        return
    tubeless = {TubeType.TUBELESS, TubeType.NO_TUBE}
    if sku.tube and (sku.tube in tubeless) != (tube in tubeless):
        yield Fault(
            "tube", f"The size says “{tube.label}”, this column “{sku.get_tube_display()}”."
        )
    sku.tube = sku.tube or tube
