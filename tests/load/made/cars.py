"""Car makers, ranges, variants with wheels, sizes and pressures, and approvals on evidence."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

import numpy as np
from django.db.backends.postgresql.psycopg_any import DateRange, DateTimeTZRange

from fitments.models.approval import Approval, ApprovalVersion
from fitments.models.car import CarMaker, Pressure, Variant, VehicleLine, WheelOption
from fitments.models.evidence import Evidence
from fitments.models.fitment import Fitment
from tests.load.made.catalogue import MARKS, span
from tests.load.made.copying import copy, copy_into, with_triggers
from tests.load.made.sizes import Sizes

AXLES = ("front", "rear")
RIMS = {13: 330, 14: 356, 15: 381, 16: 406}
PER_RANGE, APPROVED = 8, 3
ONE = "front_axle_kg rear_axle_kg front_wheels rear_wheels competition racing_scheme racing_period"


@dataclass(frozen=True)
class Drawn:
    """What is drawn of a variant: the number of its rim in RIMS, its sizes, and its years."""

    rim: int
    front: np.ndarray
    rear: np.ndarray
    first: date
    last: date


def cars(
    rng: np.random.Generator, sizes: Sizes, variants: int, fitments: int, by: int, at: datetime
) -> None:
    """So many variants of ranges of eight, and fitments on both axles of each."""
    ranges = (variants - 1) // PER_RANGE + 1
    each = np.full(variants, fitments // variants // 2)
    each[: fitments // 2 - each.sum()] += 1
    drawn = [_drawn(rng, sizes, int(count)) for count in each]
    copy(
        CarMaker, "id code name country", ((n, f"C{n}", f"Car maker {n}", "") for n in span(MARKS))
    )
    copy(
        VehicleLine,
        "id maker_id code name",
        ((n, n % MARKS + 1, f"R{n}", f"Range {n}") for n in span(ranges)),
    )
    columns = f"id vehicle_line_id code name body built_from built_to top_speed_kmh {ONE}"
    copy(Variant, f"{columns} source note search", _variants(rng, drawn))
    columns = "variant_id name axle rim_text rim_mm bead width_in rim_kind tubed standard"
    copy(WheelOption, columns, _wheels(drawn))
    copy(Pressure, "variant_id axle size condition kpa source", _pressures(sizes, drawn))
    columns = "variant_id axle combination size_text size rim_mm size_keys least_speed standing"
    copy(Fitment, f"{columns} built_from built_to wheel source", _fitments(sizes, drawn))
    _approvals(sizes, drawn, ranges, by, at)


def _drawn(rng: np.random.Generator, sizes: Sizes, count: int) -> Drawn:
    rim = list(RIMS)[rng.integers(0, len(RIMS))]
    on_rim = np.flatnonzero((sizes.rim_mm == RIMS[rim]) & (sizes.overall_mm > 0))
    first = rng.choice(on_rim, p=sizes.share[on_rim] / sizes.share[on_rim].sum())
    near = sizes.near[first]
    several = min(len(near), int(rng.choice([1, 2, 3], p=[0.4, 0.4, 0.2])))
    front = near[np.arange(count) % several]  # the first again, by years and wheels
    rear = front.copy()
    if rng.random() < 0.2:
        rear = near[(np.arange(count) + 1) % min(len(near), several + 1)]
    start = date(1948, 1, 1) + timedelta(days=int(rng.integers(0, 13_000)))
    return Drawn(rim, front, rear, start, start + timedelta(days=int(rng.integers(300, 2200))))


def _variants(rng: np.random.Generator, drawn: list[Drawn]) -> Iterator[tuple[Any, ...]]:
    for n, one in enumerate(drawn, start=1):
        line = (n - 1) // PER_RANGE + 1
        name = f"variant {n}"
        search = f"car maker {line % MARKS + 1} range {line} {name} saloon"
        yield (
            n, line, f"V{n:06}", name, "saloon", one.first, one.last,
            int(rng.integers(120, 240)), int(rng.integers(420, 800)), int(rng.integers(420, 800)),
            2, 2, bool(n % 20 == 0), "", "", "handbook", "", search,
        )  # fmt: skip


def _wheels(drawn: list[Drawn]) -> Iterator[tuple[Any, ...]]:
    for n, one in enumerate(drawn, start=1):
        for axle in AXLES:
            yield n, "disc", axle, f"{one.rim}", RIMS[one.rim], "", "5.50", "disc", False, True
            if n % 5 == 0:
                rim = f"{one.rim}", RIMS[one.rim]
                yield n, "wire", axle, *rim, "", "5.00", "spoked", True, False


def _pressures(sizes: Sizes, drawn: list[Drawn]) -> Iterator[tuple[Any, ...]]:
    for n, one in enumerate(drawn, start=1):
        for axle in AXLES:
            size = sizes.columns[int(one.front[0])]["size"]
            yield n, axle, size, "normal load", 180, "handbook"
            yield n, axle, "", "full load", 220, "handbook"


def _fitments(sizes: Sizes, drawn: list[Drawn]) -> Iterator[tuple[Any, ...]]:
    standings = ("fitted_new", "approved", "accepted")
    for n, one in enumerate(drawn, start=1):
        middle = one.first + (one.last - one.first) // 2
        for combination, pair in enumerate(zip(one.front, one.rear, strict=True)):
            built = (None, None)
            if combination < 2 and n % 4 == 0:  # changed in the middle of its life
                built = ((one.first, middle), (middle + timedelta(days=1), None))[combination]
            for axle, number in zip(AXLES, pair, strict=True):
                read = sizes.columns[int(number)]
                yield (
                    n, axle, chr(65 + combination), sizes.texts[int(number)], read["size"],
                    read["rim_mm"], list(read["size_keys"]), "",
                    standings[min(combination, 2)], *built, "", "handbook",
                )  # fmt: skip


def _approvals(sizes: Sizes, drawn: list[Drawn], ranges: int, by: int, at: datetime) -> None:
    """Of each range the first car's size, in three issues of its maker's mark, on a letter."""
    rows, versions = [], []
    since = at - timedelta(days=400)
    for line in span(ranges):
        first = drawn[(line - 1) * PER_RANGE]
        for axle, numbers in zip(AXLES, (first.front, first.rear), strict=True):
            read, text = sizes.columns[int(numbers[0])], sizes.texts[int(numbers[0])]
            for issue in span(APPROVED):
                key = len(rows) + 1
                about = line % MARKS + 1, line, axle, text, read["size"], list(read["size_keys"])
                rows.append((key, f"A{key}", *about, f"Q{line % MARKS:02}", str(issue), False))
                valid = DateRange(date(1995 + 8 * issue, 1, 1), None)
                versions.append((key, key, valid, DateTimeTZRange(since, None), "", "", by))
    about = "car_maker_id vehicle_line_id axle size_text size size_keys mark mark_issue by_list"
    copy(Approval, f"id code {about}", rows)
    columns = "id approval_id valid known conditions why recorded_by_id"
    copy(ApprovalVersion, columns, versions)
    letters = (
        (n, f"E{n}", "letter", f"letter {n}", "the maker", "", "", since, by, since, by)
        for n in span(ranges)
    )
    columns = "id code kind reference issuer says digest checked_at checked_by_id"
    with with_triggers():  # the database keeps every version of a document
        copy(Evidence, f"{columns} recorded_at recorded_by_id", letters)
    copy_into(
        "fitments_approvalversion_evidence",
        "approvalversion_id evidence_id",
        ((row[0], row[3]) for row in rows),
    )
