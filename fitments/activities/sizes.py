"""Sizes, rims and service marks as cars and approvals keep them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from inventory.ground.entries.faults import Fault
from inventory.ground.entries.register import Values
from inventory.markings import UnreadableMarking, read_size, rim_of, search_keys
from inventory.markings.service import (
    ServiceDescriptionError,
    load_capacity_kg,
    top_speed,
)


def with_size(given: Values, *, rim: bool = False) -> tuple[Values, list[Fault]]:
    """What was given with the columns that its ``size_text`` is read into; no text, no size.

    ``rim`` adds the diameter of the rim in mm.
    """
    text = given.get("size_text")
    if text is None:
        return given, []
    columns: dict[str, Any] = {"size": "", "size_keys": []}
    if text:
        try:
            size = read_size(text)
        except UnreadableMarking as error:
            return given, [Fault("size_text", str(error))]
        columns = {"size": size.canonical, "size_keys": sorted(search_keys(size))}
        if rim:
            columns["rim_mm"] = rim_of(size).diameter_mm
    return {**given, **columns}, []


def service_faults(*, load_index: int | None, speed: str = "") -> Iterator[Fault]:
    """A load index or a speed symbol that no table has."""
    try:
        if load_index is not None:
            load_capacity_kg(load_index)
    except ServiceDescriptionError as error:
        yield Fault("least_load_index", str(error))
    try:
        if speed:
            top_speed(speed)
    except ServiceDescriptionError as error:
        yield Fault("least_speed", str(error))
