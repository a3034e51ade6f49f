"""A whole invented house, by its scale and a seed."""

from __future__ import annotations

import logging
from datetime import datetime

import numpy as np
from django.contrib.auth.models import User

from inventory.models.balance import Balance
from inventory.models.lot import Lot
from inventory.models.posting import LedgerLine, Posting
from tests.load.made.books import books
from tests.load.made.cars import cars
from tests.load.made.catalogue import catalogue
from tests.load.made.copying import in_bulk, tidy
from tests.load.made.sizes import sizes
from tests.load.made.stock import stock
from tests.load.scale import Scale

log = logging.getLogger("tests.load")


def house(scale: Scale, *, seed: int, at: datetime) -> User:
    """Fill an empty database; the same seed gives the same house. Returns who did it all.

    How far it has come goes to the log, table by table.
    """
    rng = np.random.default_rng(seed)
    log.info("Filling: %s SKUs, %s lots, %s ledger lines", scale.skus, scale.lots, scale.lines)
    clerk = User.objects.create(username="clerk", is_superuser=True)
    by = clerk.pk
    with in_bulk(LedgerLine, Posting, Balance, Lot):
        known = sizes(rng)
        made = catalogue(rng, known, scale.skus)
        cars(rng, known, scale.variants, scale.fitments, by, at)
        lots = stock(rng, made, scale.lots, by, at)
        books(rng, lots, scale.lines, by, at)
    tidy()
    return clerk
