"""The forecast, measured: `python -m tests.load.forecast --seed N [--carparts PATH]`.

Prints every figure beside its limit, for an invented shop and, where its path is given, for an
open data set: monthly sales of 2,674 car parts (file `carparts` of the R package expsmooth; R. J.
Hyndman, A. B. Koehler, J. K. Ord, R. D. Snyder, *Forecasting with Exponential Smoothing*, Springer
2008). The last twelve months are held out, lead time 3 months, review every month.
"""

from __future__ import annotations

import argparse
import importlib
import importlib.util
import sys
import time
from dataclasses import replace
from pathlib import Path

import numpy as np

from inventory.planning.filling import Protection
from tests.load import bare
from tests.load.measures import LEAD, WHOLE, Scores, scores
from tests.load.rivals import METHODS, ours
from tests.load.shop import Series, invented
from tests.load.told import Row, told

Tables = dict[str, Scores]


def carparts(path: Path) -> Series:
    """The complete series of the open data set; one category, since it names none."""
    units = np.genfromtxt(path, delimiter=",")
    units = units[~np.isnan(units).any(axis=1)]
    return Series(units, np.ones_like(units), np.zeros(len(units), np.int64), 1)


def measured(series: Series) -> Tables:
    """The scores of every method."""
    return {name: scores(method, series) for name, method in METHODS.items()}


def carparts_rows(found: Tables) -> list[Row]:
    """The limits on the open data set."""
    own = found["ours"]
    return [
        Row("pinball .90", own.pinball[0.9], most=0.292),
        Row("pinball .95", own.pinball[0.95], most=0.200),
        Row("coverage at .95", own.covered, least=0.94, most=0.98),
        Row("asked for 95 % fill, gives", own.asked_95 or 0.0, least=0.93, most=0.97),
        Row("months of stock for 95 % fill", own.stock_95, most=19.5),
        Row("RMSSE over 3 months, pooled", own.rmsse, most=1.145),
    ]


def invented_rows(found: Tables) -> list[Row]:
    """The limits on an invented shop, against the others on the same shop."""
    own = found["ours"].pinball[0.95]
    return [
        Row("pinball .95 / TSB x season", own / found["TSB x season"].pinball[0.95], most=0.96),
        Row("pinball .95 / normal", own / found["textbook normal"].pinball[0.95], most=0.95),
        Row("pinball .95 / no season", own / found["ours, no season"].pinball[0.95], most=0.93),
        Row("asked for 95 % fill, gives", found["ours"].asked_95 or 0.0, least=0.94, most=0.995),
        Row("RMSSE / always zero", found["ours"].rmsse / found["always zero"].rmsse, most=1.0),
        Row("RMSSE / naive", found["ours"].rmsse / found["naive"].rmsse, most=1.0),
    ]


def seconds(seed: int, skus: int) -> float:
    """From history to the levels for a chance and for a fill of 95 %; the best of three."""
    series = invented(seed, pairs=skus // 2)
    took = []
    for _ in range(3):
        start = time.perf_counter()
        outlook = ours(series, WHOLE)
        outlook.level(0.95, WHOLE)
        assert outlook.protection is not None
        protection: Protection = outlook.protection(LEAD, WHOLE)
        protection.level_for_fill(0.95)
        took.append(time.perf_counter() - start)
    return min(took)


def against_library(series: Series) -> list[Row]:
    """Croston and SBA against the library statsforecast, where it is installed; it is nobody's
    dependency. The largest difference over all series with a sale."""
    if importlib.util.find_spec("statsforecast") is None:
        print("\nstatsforecast is not installed: Croston and SBA are not compared with it.")
        return []
    models = importlib.import_module("statsforecast.models")
    units = series.units[series.units.any(axis=1)]
    rows = []
    for name, theirs in (("Croston", models.CrostonClassic), ("SBA", models.CrostonSBA)):
        own = METHODS[name](replace(series, units=units), 1).months[:, 0]
        other = [float(theirs().forecast(y=y, h=1)["mean"][0]) for y in units]
        row = Row(f"{name} - statsforecast's", float(np.abs(own - other).max()), most=1e-12)
        rows.append(row)
    return rows


def main(arguments: list[str] | None = None) -> int:
    """Prints everything; 1 if a limit is missed."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--seed", type=int, required=True)
    options.add_argument("--carparts", type=Path, help="the open data set, a CSV file")
    options.add_argument("--pairs", type=int, default=750, help="of the invented shop")
    options.add_argument("--no-speed", action="store_true")
    chosen = options.parse_args(arguments)
    shop = measured(invented(chosen.seed, pairs=chosen.pairs))
    kept = told(
        f"invented shop, seed {chosen.seed}, {chosen.pairs} pairs", shop, invented_rows(shop)
    )
    kept &= told(f"bare shelves, seed {chosen.seed}", {}, bare.rows_of(chosen.seed))
    if chosen.carparts:
        open_data = carparts(chosen.carparts)
        parts = measured(open_data)
        kept &= told("car parts, complete series", parts, carparts_rows(parts))
        kept &= told("references", {}, against_library(open_data))
    if not chosen.no_speed:
        rows = [
            Row("seconds, 1,000 SKUs", seconds(chosen.seed, 1_000), most=0.1),
            Row("seconds, 50,000 SKUs", seconds(chosen.seed, 50_000), most=3.0),
        ]
        kept &= told("speed", {}, rows)
    return 0 if kept else 1


if __name__ == "__main__":
    sys.exit(main())
