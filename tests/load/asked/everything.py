"""Every row of the table, from one run on one database."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from concurrent.futures import Executor
from datetime import datetime

import numpy as np
from django.contrib.auth.models import User
from django.db import connections

from fitments.models.car import Variant
from inventory.models.balance import Balance
from inventory.models.sku import Sku
from tests.load.asked import cars, posting, proving, reading, shelf
from tests.load.asked.asking import Api, Raw
from tests.load.made.sizes import sizes
from tests.load.scale import Scale
from tests.load.table import Row

WRITERS = 8
READ = 10_000


def everything(
    scale: Scale, *, seed: int, at: datetime, writers: Callable[[], Executor], read: int = READ
) -> Iterator[Row]:
    """The rows one by one. `Differs` where ours and the SQL by hand do not say the same."""
    rng = np.random.default_rng(seed + 1)
    by = User.objects.get(username="clerk")
    yield reading.reading(reading.mixed(rng, sizes(rng).texts, read)).row()
    raw, api = Raw(), Api(by)
    try:
        tyres = _tyres(rng, scale)
        named = [(one.pk, one.code) for one in tyres]
        yield shelf.availability(api, raw, named).row()
        yield shelf.matched_sets(api, raw, named, at).row()
        yield cars.which_cars(api, raw, tyres, at).row()
        asked = cars.cases(_variants(rng, scale), at)
        yield cars.which_tyre(api, raw, asked, at).row()
        yield from _postings(rng, scale, writers, by.pk, at)
        yield from proving.proofs(raw, asks=3)
    finally:
        raw.close()


def _tyres(rng: np.random.Generator, scale: Scale) -> list[Sku]:
    """Tyres as often as they have lots; not handed, since one hand makes no set."""
    lots = rng.integers(1, scale.lots + 1, scale.asks * 2).tolist()
    found = Sku.objects.tyres().filter(hand="", lots__in=lots).order_by("pk").distinct()
    return [found[int(n)] for n in rng.permutation(len(found))[: scale.asks]]


def _variants(rng: np.random.Generator, scale: Scale) -> list[Variant]:
    keys = rng.choice(scale.variants, scale.cars, replace=False) + 1
    rows = Variant.objects.in_bulk(keys.tolist())
    return [rows[key] for key in keys.tolist()]


def _postings(
    rng: np.random.Generator,
    scale: Scale,
    writers: Callable[[], Executor],
    by: int,
    at: datetime,
) -> Iterator[Row]:
    rows = Balance.objects.filter(on_hand__gte=WRITERS, held=0, lot__owner="house").order_by("pk")
    every = list(rows.values_list("lot_id", "place_id")[:20_000])
    spread = [
        [every[n] for n in part] for part in np.array_split(rng.permutation(len(every)), WRITERS)
    ]
    posting.alike(every[0], by, at)
    connections.close_all()  # writers are forked, and take no connection along
    with writers() as pool:
        for asked, pairs in (
            ("posting, 1 writer", spread[:1]),
            ("posting, 8 writers", spread),
            ("posting, 8 writers on one row", [[every[0]]] * WRITERS),
        ):
            yield posting.row(asked, pairs, writers=pool, by=by, at=at, seconds=scale.seconds)
