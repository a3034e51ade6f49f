"""Makers, patterns and SKUs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

import numpy as np

from inventory.models.companion import Companion
from inventory.models.maker import Pattern, TyreMaker
from inventory.models.sku import Gtin, Sku, TypeApproval
from tests.load.made.copying import copy, copy_into
from tests.load.made.sizes import Sizes

MAKERS, PATTERNS, MARKS = 40, 15, 60
READ = (
    "size_text size family width_mm aspect construction rim_mm bead overall_mm overall_basis "
    "section_mm load_index load_index_dual speed speed_in_size top_speed_kmh size_keys"
)
REST = (
    "id code kind maker_id pattern_id name rim_width_min_in rim_width_max_in mark mark_issue tube "
    "axle_only hand sidewall band_mm weight_kg price currency status note"
)
NOTHING = dict.fromkeys(READ.split(), None) | {
    **dict.fromkeys(("size_text", "size", "family", "construction", "bead", "overall_basis"), ""),
    **dict.fromkeys(("speed", "speed_in_size"), ""),
    "size_keys": [],
}


@dataclass(frozen=True)
class Catalogue:
    """What lots are made of: by SKU (from nought, its key is one more) its size, -1 for none."""

    size: np.ndarray
    mark: list[str]
    issue: list[str]


def catalogue(rng: np.random.Generator, sizes: Sizes, skus: int) -> Catalogue:
    """So many SKUs: tyres by how their sizes sell, one in a hundred a tube."""
    _makers()
    tyres = skus - max(skus // 100, 5)
    made = Catalogue(
        np.concatenate([rng.choice(len(sizes.texts), tyres, p=sizes.share), [-1] * (skus - tyres)]),
        [f"Q{one:02}" if one < MARKS else "" for one in rng.integers(0, MARKS * 8, skus)],
        [str(one) if one else "" for one in rng.integers(0, 4, skus)],
    )
    made.size[99::100] = made.size[98::100][: len(made.size[99::100])]  # a left, then a right
    copy(Sku, f"{REST} {READ}", _skus(rng, sizes, made, tyres))
    copy(TypeApproval, "sku_id scheme number", ((n + 1, "UN R30", f"{n:07}") for n in range(tyres)))
    copy(Gtin, "id number", ((n + 1, f"{n:014}") for n in range(skus)))
    copy_into("inventory_gtin_skus", "gtin_id sku_id", ((n + 1, n + 1) for n in range(skus)))
    copy(
        Companion,
        "tyre_id size_text size_key rim_kind valve companion_id need per_tyre source",
        _companions(sizes, tyres, skus),
    )
    return made


def _makers() -> None:
    copy(TyreMaker, "id code name country", ((n, f"M{n}", f"Maker {n}", "") for n in span(MAKERS)))
    uses = ("road", "road", "road", "road_and_track", "competition")
    copy(
        Pattern,
        "id maker_id name introduced tread shoulder use weather note",
        (
            (n, (n - 1) // PATTERNS + 1, f"Pattern {n}", 1950 + n % 70, "symmetric", "rounded",
             uses[n % 5], "any", "")
            for n in span(MAKERS * PATTERNS)
        ),
    )  # fmt: skip


def span(count: int) -> range:
    """1 to count."""
    return range(1, count + 1)


def _skus(
    rng: np.random.Generator, sizes: Sizes, made: Catalogue, tyres: int
) -> Iterator[tuple[Any, ...]]:
    patterns = rng.integers(0, MAKERS * PATTERNS, len(made.size))
    prices = rng.integers(60, 500, len(made.size)).tolist()
    status = rng.choice(["current", "last_stock", "announced", "discontinued"], len(made.size),
                        p=[0.86, 0.08, 0.02, 0.04]).tolist()  # fmt: skip
    bands = (rng.random(len(made.size)) < 0.08).tolist()
    names = READ.split()
    for n, size in enumerate(made.size.tolist()):
        hand = {98: "left", 99: "right"}.get(n % 100, "") if n < tyres else ""
        pattern = int(patterns[n - (hand == "right")]) if n < tyres else None
        if hand == "right":
            made.mark[n], made.issue[n], bands[n] = (
                made.mark[n - 1],
                made.issue[n - 1],
                bands[n - 1],
            )
        if not made.mark[n] or pattern is None:
            made.mark[n], made.issue[n] = "", ""
        read = NOTHING if size < 0 else {"size_text": sizes.texts[size], **sizes.columns[size]}
        width = read["width_mm"] or 150
        yield (
            n + 1, f"S{n:06}", "tyre" if pattern is not None else "tube",
            1 if pattern is None else pattern // PATTERNS + 1,
            None if pattern is None else pattern + 1, "" if pattern is not None else f"tube {n}",
            Decimal(round(width * 0.0256 * 2)) / 2, Decimal(round(width * 0.0354 * 2)) / 2,
            made.mark[n], made.issue[n], "tubeless" if pattern is not None else "", "", hand,
            "white_band" if bands[n] else "black", 20 if bands[n] else None, Decimal("9.5"),
            prices[n] if prices[n] % 50 else None, "GBP", status[n], "",
            *(list(read[name]) if name == "size_keys" else read[name] for name in names),
        )  # fmt: skip


def _companions(sizes: Sizes, tyres: int, skus: int) -> Iterator[tuple[Any, ...]]:
    """On spoked wheels every size takes a tube; cross-plies take one on any."""
    seen: set[tuple[str, int, str]] = set()
    for n, (text, columns) in enumerate(zip(sizes.texts, sizes.columns, strict=True)):
        tube = tyres + 1 + n % (skus - tyres)
        row = (columns["size_keys"][0], tube, "" if "-" in text else "spoked")
        if row not in seen:
            seen.add(row)
            yield None, text, row[0], row[2], "", tube, "must", 1, "the maker's list"
