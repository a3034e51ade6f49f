"""The sale of a set under load: `python -m tests.load.selling --scale full --folder /tmp/large`.

One client over many SKUs, eight over many, eight on one SKU, each client a process of its own with
a connection of its own. A sale takes an order for four alike: locks, choice, price, hold, posting,
commit. Each is given up again, untimed, so that the shelf stays as it was. Takes the database that
`python -m tests.load` filled in that folder, or fills it. Ends with 1 where a limit does not hold.
"""

from __future__ import annotations

import argparse
import os
import sys
import time
from collections.abc import Sequence
from concurrent.futures import Executor, ProcessPoolExecutor
from dataclasses import dataclass
from datetime import datetime
from multiprocessing import get_context
from pathlib import Path

import numpy as np

from tests.load.made.folder import filled, refuse_other

CLIENTS = 8
LIMITS = {1: 0.050, CLIENTS: 0.250}  # seconds: 99 of 100 sales are done within


@dataclass(frozen=True)
class Shift:
    """What one client does: sales of these SKUs by turns until a moment."""

    skus: tuple[int, ...]
    by: int
    customer: int
    at: datetime
    start: float
    seconds: float


@dataclass(frozen=True)
class Sold:
    """How long each sale took, in seconds, and how many were refused since nothing was left."""

    took: tuple[float, ...]
    refused: int = 0


def main(arguments: list[str] | None = None) -> int:
    """Fill if need be, sell, print."""
    options = argparse.ArgumentParser(prog="python -m tests.load.selling", description=__doc__)
    options.add_argument("--scale", choices=("full", "tenth", "small"), required=True)
    options.add_argument("--folder", type=Path, required=True, help="for the database; kept")
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--seconds", type=float, default=8, help="for each of the three")
    chosen = options.parse_args(arguments)
    refuse_other(chosen.folder, scale=chosen.scale, seed=chosen.seed)
    os.environ["DATA_FOLDER"] = str(chosen.folder)
    os.environ["DJANGO_SETTINGS_MODULE"] = "stockist.settings"
    os.environ["DEBUG"] = "no"  # as in production: no log of every query
    os.environ.pop("DATABASE_URL", None)
    import django

    django.setup()
    return _run(chosen.folder, chosen.scale, chosen.seed, chosen.seconds)


def _run(folder: Path, scale: str, seed: int, seconds: float) -> int:
    from django.core.management import call_command
    from django.utils import timezone

    from inventory.models.lot import Lot
    from tests.load.made.house import house
    from tests.load.scale import SCALES

    at = timezone.now()
    call_command("migrate", verbosity=0)
    filled(
        folder,
        scale=scale,
        seed=seed,
        begun=Lot.objects.exists,
        fill=lambda: house(SCALES[scale], seed=seed, at=at),
    )
    clients = lambda: ProcessPoolExecutor(CLIENTS, mp_context=get_context("fork"))  # noqa: E731
    return report(at=at, seconds=seconds, clients=clients)


def report(*, at: datetime, seconds: float, clients) -> int:
    """Sell in three ways, print how long it took beside the limits; 1 where one does not hold."""
    from django.contrib.auth.models import User
    from django.db import connections

    from inventory.models.customer import Customer
    from inventory.models.lot import Lot

    by = User.objects.order_by("pk").values_list("pk", flat=True)[0]
    customer = Customer.objects.get_or_create(name="Lanternwood, by telephone")[0].pk
    many = with_a_set(most=400)
    widest = max(many, key=lambda sku: Lot.objects.filter(sku=sku).count())
    shift = Shift(tuple(many), by, customer, at, 0, seconds)
    on_one = [Shift((widest,), by, customer, at, 0, seconds)] * CLIENTS
    spread = [
        Shift(tuple(many[number::CLIENTS]), by, customer, at, 0, seconds)
        for number in range(CLIENTS)
    ]
    connections.close_all()
    print("| sale of a set | sales | refused | a second | p50 ms | p99 ms | limit | holds |")
    print("|---|---|---|---|---|---|---|---|", flush=True)
    told = [("1 client", [shift]), ("8 clients", spread), ("8 clients on one SKU", on_one)]
    held = [_row(words, shifts, seconds, clients) for words, shifts in told]
    return 0 if all(held) else 1


def _row(words: str, shifts: Sequence[Shift], seconds: float, clients) -> bool:
    with clients() as pool:
        answers = sell_all(shifts, pool)
    took = np.array([one for answer in answers for one in answer.took])
    refused = sum(answer.refused for answer in answers)
    half, most = (float(np.percentile(took, percent)) for percent in (50, 99))
    limit = LIMITS[len(shifts)]
    holds = most <= limit
    print(
        f"| {words} | {len(took):,} | {refused} | {len(took) / seconds:,.0f} | {half * 1000:.1f} "
        f"| {most * 1000:.1f} | <= {limit * 1000:.0f} | {'yes' if holds else 'NO'} |",
        flush=True,
    )
    return holds


def sell_all(shifts: Sequence[Shift], pool: Executor) -> list[Sold]:
    """All shifts at the same time."""
    from dataclasses import replace

    start = time.time() + 0.2 + 0.1 * len(shifts)
    return list(pool.map(sell, [replace(shift, start=start) for shift in shifts]))


def sell(shift: Shift) -> Sold:
    """One client's shift."""
    from django.contrib.auth.models import User
    from django.db import connection, connections, transaction

    from inventory.activities.holding.refusals import NoSet
    from inventory.activities.ordering import AskSets, cancel_order, take_order
    from inventory.availability import Need
    from inventory.ground.retry import retried
    from inventory.models.customer import Customer
    from inventory.sets.recipe import Recipe, RecipePlace

    connection.ensure_connection()
    by, customer = User.objects.get(pk=shift.by), Customer.objects.get(pk=shift.customer)
    told = {"by": by, "at": shift.at}

    def sale(sku: int):
        places = tuple(RecipePlace(name, (sku,), 2) for name in ("front", "rear"))
        asked = AskSets(need=Need(None, Recipe(places)), what="four alike")
        with transaction.atomic():
            return take_order(customer=customer, asks=[asked], **told)

    took, refused, number = [], 0, 0
    time.sleep(max(0.0, shift.start - time.time()))
    end = time.perf_counter() + shift.seconds
    while time.perf_counter() < end:
        sku = shift.skus[number % len(shift.skus)]
        number += 1
        start = time.perf_counter()
        try:
            order = retried(lambda sku=sku: sale(sku))
        except NoSet:
            refused += 1
            continue
        took.append(time.perf_counter() - start)
        retried(lambda order=order: cancel_order(order=order, why="a trial", **told))
    connections.close_all()
    return Sold(tuple(took[1:] or took), refused)


def with_a_set(*, most: int) -> list[int]:
    """SKUs of which sets of four alike can be promised, those with the most free tyres first."""
    from django.db.models import F, Sum

    from inventory.models.balance import Balance

    rows = Balance.objects.filter(
        place__kind="storage",
        lot__owner="house",
        lot__condition="new",
        lot__sku__kind="tyre",
        lot__blocks__isnull=True,
    )
    free = rows.values("lot__sku").annotate(free=Sum(F("on_hand") - F("held")))
    found = free.filter(free__gte=24).order_by("-free", "lot__sku")
    return list(found.values_list("lot__sku", flat=True)[:most])


if __name__ == "__main__":
    sys.exit(main())
