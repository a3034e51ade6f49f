"""What will run out, measured: `python -m tests.load.reorder --folder /tmp/buyer --skus 100000`.

From the tables to alerts that are kept: books read, learnt from, projected, told, written. Each
size has a database and a process of its own; twice the SKUs follow unless `--once`. Books that
stand in the folder are used again (four minutes of making at 100,000 SKUs on a busy machine);
remove it to have them made anew. Each run begins without alerts. Progress goes to stderr. Ends with
1 where a limit is missed. Nothing outside the folder is touched.
"""

from __future__ import annotations

import argparse
import os
import resource
import subprocess
import sys
import time
from functools import partial
from pathlib import Path
from typing import Any

from tests.load.told import Row, told

SECONDS, TWICE = 60.0, 2.2


def main(arguments: list[str] | None = None) -> int:
    """Prints everything; 1 if a limit is missed."""
    options = argparse.ArgumentParser(prog="python -m tests.load.reorder", description=__doc__)
    options.add_argument("--folder", type=Path, required=True, help="for the databases; kept")
    options.add_argument("--skus", type=int, required=True)
    options.add_argument("--once", action="store_true", help="this size only")
    options.add_argument("--alone", action="store_true", help=argparse.SUPPRESS)
    chosen = options.parse_args(arguments)
    if chosen.alone:
        print(*_alone(chosen.folder, chosen.skus))
        return 0
    sizes = [chosen.skus] if chosen.once else [chosen.skus, 2 * chosen.skus]
    found = [_in_a_process(chosen.folder / str(size), size) for size in sizes]
    rows = [Row(f"seconds, {chosen.skus} SKUs", found[0][0], most=SECONDS)]
    rows += [Row("seconds, twice the SKUs / once", found[-1][0] / found[0][0], most=TWICE)] * (
        len(found) > 1
    )
    return 0 if told("what will run out", {}, rows) else 1


def _in_a_process(folder: Path, skus: int) -> tuple[float, float]:
    """Seconds and memory in MB, of a process that does nothing else."""
    command = [sys.executable, "-m", "tests.load.reorder", "--alone", "--folder", str(folder)]
    done = subprocess.run(
        [*command, "--skus", str(skus)], check=True, stdout=subprocess.PIPE, text=True
    )
    seconds, memory = (float(each) for each in done.stdout.split()[-2:])
    return seconds, memory


def _alone(folder: Path, skus: int) -> tuple[float, float]:
    os.environ["DATA_FOLDER"] = str(folder)
    os.environ["DJANGO_SETTINGS_MODULE"] = "stockist.settings"
    os.environ["DEBUG"] = "no"
    os.environ.pop("DATABASE_URL", None)
    import django

    django.setup()
    at = _at()
    _stand(folder / "books-made", skus, at)
    before = time.process_time()
    steps = reckoned(at)
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    own = time.process_time() - before
    said = ", ".join(f"{name} {seconds:.1f}" for name, seconds in steps.items())
    _say(f"{skus} SKUs: {said} s, {own:.1f} s of it reckoning; most memory {memory:.0f} MB")
    return sum(steps.values()), memory


def _stand(done: Path, skus: int, at: Any) -> None:
    """Books of so many SKUs and no alerts; whether the books were made to their end is a file."""
    from django.core.management import call_command
    from django.db import connection

    from inventory.models.sku import Sku
    from tests.load.sold import books

    call_command("migrate", verbosity=0)
    if not done.exists():
        if Sku.objects.exists():
            sys.exit(f"The books in {done.parent} were not made to their end: remove the folder.")
        start = time.perf_counter()
        books(skus, at=at, told=lambda step: _say(f"{skus} SKUs: {step}"))
        done.write_text(f"{skus}\n")
        _say(f"{skus} SKUs: books made in {time.perf_counter() - start:.0f} s")
    with connection.cursor() as cursor:
        cursor.execute("DELETE FROM inventory_alert")
        cursor.execute("VACUUM ANALYZE")
        cursor.execute("CHECKPOINT")
    _say(f"{skus} SKUs: the books stand; now the night's work")


def _say(words: str) -> None:
    print(words, file=sys.stderr, flush=True)


def _at() -> Any:
    from django.utils import timezone

    return timezone.now()


def reckoned(at: Any) -> dict[str, float]:
    """The job of the night, step by step: seconds of each."""
    from inventory import reordering
    from inventory.activities import alerting
    from inventory.availability import sets_of_pairs

    steps: dict[str, float] = {}
    start = time.perf_counter()
    found = reordering.outlook(at=at, limit_months=72)
    steps["read and learnt"] = time.perf_counter() - start
    start = time.perf_counter()
    notes = reordering.notes(found, partial(sets_of_pairs, limit_months=72, at=at))
    steps[f"projected and told, {len(notes)} alerts,"] = time.perf_counter() - start
    start = time.perf_counter()
    alerting.keep_alerts(found=notes, at=at)
    steps["kept"] = time.perf_counter() - start
    return steps


if __name__ == "__main__":
    sys.exit(main())
