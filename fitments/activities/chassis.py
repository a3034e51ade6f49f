"""The chassis numbers of variants: a prefix, and the first and last number behind it."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Collection, Sequence
from typing import NamedTuple

from fitments.models.car import ChassisRange, Variant
from inventory.ground.entries.parts import Part
from inventory.ground.entries.register import Entry

_RANGE = re.compile(
    r"(?:(?P<prefix>.*\S)\s+)?(?P<first>[0-9]{1,15})\s*[-–]\s*(?P<last>[0-9]{1,15})"
)
_LONGEST_PREFIX = 20


class Range(NamedTuple):
    """Chassis numbers from the first to the last, both inclusive."""

    prefix: str
    number_from: int
    number_to: int


class NotARange(ValueError):
    """Text that is no range of chassis numbers; says what is wanted."""


def read_range(text: str) -> Range:
    """``HS 100-250`` or ``100-250``. Raises NotARange."""
    match = _RANGE.fullmatch(text.strip())
    if not match:
        raise NotARange(
            f"“{text[:40]}” is no range of chassis numbers, such as “HS 100-250” or “100-250”."
        )
    found = Range((match["prefix"] or "").upper(), int(match["first"]), int(match["last"]))
    if len(found.prefix) > _LONGEST_PREFIX:
        raise NotARange(f"A prefix has at most {_LONGEST_PREFIX} signs, unlike “{text[:40]}”.")
    if found.number_from > found.number_to:
        raise NotARange(f"The first chassis number comes before the last, unlike in “{text[:40]}”.")
    return found


def _held(variants: Collection[int]) -> dict[int, set[Range]]:
    held: dict[int, set[Range]] = defaultdict(set)
    for row in ChassisRange.objects.filter(variant__in=variants):
        held[row.variant_id].add(Range(row.prefix, row.number_from, row.number_to))
    return held


CHASSIS_RANGES = Part("chassis_ranges", lambda e: set(e.given["chassis_ranges"]), _held)


def write_chassis_ranges(entries: Sequence[Entry[Variant]]) -> None:
    """Give each variant exactly the ranges that were given with it, where any were."""
    changed = [
        e for e in entries if CHASSIS_RANGES.name in e.given and (e.is_new or e.parts_changed)
    ]
    ChassisRange.objects.filter(variant__in=[entry.row.pk for entry in changed]).delete()
    ChassisRange.objects.bulk_create(
        [
            ChassisRange(variant=entry.row, **one._asdict())
            for entry in changed
            for one in sorted(set(entry.given["chassis_ranges"]))
        ],
        batch_size=1000,
    )
