"""Figures of ours and of hand-written SQL from one run, with the limit beside each."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np

HEADS = (
    *("asked", "unit", "ours p50", "p99", "SQL p50", "p99", "ratio"),
    *("ours at work", "SQL at work", "limit", "holds"),
)


@dataclass(frozen=True)
class Pair:
    """What was measured of ours and of the raw way, one after the other throughout; seconds."""

    ours: Sequence[float]
    raw: Sequence[float]

    def at(self, percent: float) -> tuple[float, float]:
        """The percentile of each."""
        return float(np.percentile(self.ours, percent)), float(np.percentile(self.raw, percent))


class Limit:
    """What has to hold; nothing is asked of what stands here without more."""

    words = "none set"

    def holds(self, row: Row) -> bool | None:
        """Whether it holds; None where nothing is asked."""
        return None


@dataclass(frozen=True)
class Beside(Limit):
    """No more than so many milliseconds over the raw way."""

    p50: float
    p95: float | None = None

    @property
    def words(self) -> str:  # type: ignore[override]
        more = f", p95 +{self.p95:g}" if self.p95 is not None else ""
        return f"p50 SQL +{self.p50:g} ms{more}"

    def holds(self, row: Row) -> bool:
        ours, raw = row.pair.at(50)
        slow, quick = row.pair.at(95)
        kept = (ours - raw) * 1000 <= self.p50
        return kept and (self.p95 is None or (slow - quick) * 1000 <= self.p95)


@dataclass(frozen=True)
class Within(Limit):
    """No more than so many seconds, half of the time (or at the percentile that is named)."""

    seconds: float
    percent: int = 50

    @property
    def words(self) -> str:  # type: ignore[override]
        most = f"{self.seconds:g} s" if self.seconds >= 1 else f"{self.seconds * 1000:g} ms"
        return f"p{self.percent} <= {most}"

    def holds(self, row: Row) -> bool:
        return row.pair.at(self.percent)[0] <= self.seconds


@dataclass(frozen=True)
class AtLeast(Limit):
    """At least this share of what the raw way does in the same time."""

    share: float

    @property
    def words(self) -> str:  # type: ignore[override]
        return f">= {self.share:.0%} of SQL's rate"

    def holds(self, row: Row) -> bool:
        assert row.rates is not None
        return row.rates[0] >= self.share * row.rates[1]


@dataclass(frozen=True)
class Row:
    """One line of the table. rates: postings a second of ours and of the raw way.

    cpu: seconds of processor, here and in the server, that each takes on average; what a busy
    machine adds by waiting is not in it.
    """

    asked: str
    pair: Pair
    limit: Limit = field(default_factory=Limit)
    rates: tuple[float, float] | None = None
    note: str = ""
    cpu: tuple[float, float] | None = None

    @property
    def holds(self) -> bool | None:
        return self.limit.holds(self)

    @property
    def ratio(self) -> float:
        """How many times as long ours takes; for rates, how much of SQL's rate it has."""
        if self.rates:
            return self.rates[0] / self.rates[1]
        ours, raw = self.pair.at(50)
        return ours / raw

    def cells(self) -> list[str]:
        """The line as text, in the order of HEADS."""
        unit, scale = ("s", 1) if self.pair.at(50)[0] >= 1 else ("ms", 1000)
        if self.pair.at(50)[0] < 0.0005:
            unit, scale = "µs", 1_000_000
        (ours, raw), (slow, slowest) = self.pair.at(50), self.pair.at(99)
        asked = f"{self.asked} ({self.note})" if self.note else self.asked
        times = [_figure(one * scale) for one in (ours, slow, raw, slowest)]
        ratio = f"{self.ratio:.2f}"
        if self.rates:
            ratio = f"{self.ratio:.0%} ({self.rates[0]:,.0f} of {self.rates[1]:,.0f} a second)"
        work = [_figure(one * scale) for one in self.cpu] if self.cpu else ["", ""]
        verdict = {True: "holds", False: "does not hold", None: "-"}[self.holds]
        return [asked, unit, *times, ratio, *work, self.limit.words, verdict]


def _figure(number: float) -> str:
    return (
        f"{number:.2f}" if number < 10 else f"{number:,.1f}" if number < 100 else f"{number:,.0f}"
    )


def printed(rows: Iterable[Row]) -> str:
    """The table, as Markdown has it."""
    lines = [list(HEADS), *(row.cells() for row in rows)]
    widths = [max(len(line[n]) for line in lines) for n in range(len(HEADS))]
    told = [
        f"| {' | '.join(cell.ljust(width) for cell, width in zip(line, widths, strict=True))} |"
        for line in lines
    ]
    rule = f"|{'|'.join('-' * (width + 2) for width in widths)}|"
    return "\n".join([told[0], rule, *told[1:]])
