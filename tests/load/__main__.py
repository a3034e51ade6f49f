"""The floor under load: `python -m tests.load --scale full --folder /tmp/large --seed 1`.

Fills a database of its own in that folder (once: a later run takes what is there), asks everything
of it in two ways, ours and hand-written SQL, and prints both beside the limit. Ends with 1 where a
limit does not hold. Nothing outside the folder is touched.
"""

from __future__ import annotations

import argparse
import os
import sys
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path

from tests.load.made.folder import filled, refuse_other


def main(arguments: list[str] | None = None) -> int:
    """Fill, ask, print."""
    options = argparse.ArgumentParser(prog="python -m tests.load", description=__doc__)
    options.add_argument("--scale", choices=("full", "tenth", "small"), required=True)
    options.add_argument("--folder", type=Path, required=True, help="for the database; kept")
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--skip-patrol", action="store_true", help="do not look over everything")
    chosen = options.parse_args(arguments)
    refuse_other(chosen.folder, scale=chosen.scale, seed=chosen.seed)
    os.environ["DATA_FOLDER"] = str(chosen.folder)
    os.environ["DJANGO_SETTINGS_MODULE"] = "stockist.settings"
    os.environ["DEBUG"] = "no"  # as in production: no log of every query
    os.environ.pop("DATABASE_URL", None)
    import django

    django.setup()
    return _run(chosen.folder, chosen.scale, chosen.seed, patrol=not chosen.skip_patrol)


def _run(folder: Path, scale: str, seed: int, *, patrol: bool) -> int:
    from django.core.management import call_command
    from django.utils import timezone

    from inventory.models.lot import Lot
    from tests.load.asked.everything import WRITERS, everything
    from tests.load.made.house import house
    from tests.load.scale import SCALES
    from tests.load.table import printed

    at = timezone.now()
    call_command("migrate", verbosity=0)
    took = filled(
        folder,
        scale=scale,
        seed=seed,
        begun=Lot.objects.exists,
        fill=lambda: house(SCALES[scale], seed=seed, at=at),
    )
    if took is not None:
        print(f"Filled in {took:.0f} s.", flush=True)
    rows = []
    for row in everything(
        SCALES[scale],
        seed=seed,
        at=at,
        writers=lambda: ProcessPoolExecutor(WRITERS, mp_context=get_context("fork")),
    ):
        print(" | ".join(row.cells()), flush=True)
        rows.append(row)
    print(f"\nScale {scale}, seed {seed}, {at:%Y-%m-%d}:\n\n{printed(rows)}\n", flush=True)
    if patrol:
        call_command("patrol")
    return 0 if all(row.holds is not False for row in rows) else 1


if __name__ == "__main__":
    sys.exit(main())
