"""Interchangeable tyres in order of age: the sequences that the algorithms run along."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable
from itertools import accumulate


class Stream:
    """Tyres that can stand in for one another but for their week, in the order they should leave.

    Tyres are numbered 0, 1, 2... along it, yet only distinct weeks are stored, so that a lot of two
    hundred costs what a lot of two does. Weeks are negated where the newest should leave first:
    every rule here is about differences, so the mirror image obeys the same ones.
    """

    __slots__ = ("ends", "total", "weeks")

    def __init__(self, cells: Iterable[tuple[int, int]]) -> None:
        """cells: (week, how many), in any order, a week as often as it likes."""
        merged: dict[int, int] = {}
        for week, quantity in cells:
            merged[week] = merged.get(week, 0) + quantity
        self.weeks = sorted(week for week, quantity in merged.items() if quantity > 0)
        self.ends = list(accumulate(merged[week] for week in self.weeks))
        self.total = self.ends[-1] if self.ends else 0

    def cells(self) -> Iterable[tuple[int, int]]:
        """(week, how many), oldest first."""
        before = 0
        for week, end in zip(self.weeks, self.ends, strict=True):
            yield week, end - before
            before = end

    def week(self, tyre: int) -> int:
        """Week of the tyre of that number."""
        return self.weeks[bisect_right(self.ends, tyre)]

    def first_from(self, week: int) -> int:
        """Number of the first tyre of that week or later; `total` if there is none."""
        cell = bisect_left(self.weeks, week)
        return self.ends[cell - 1] if cell else 0

    def run_length(self, tyre: int) -> int:
        """How many tyres from this one on share its week."""
        return self.ends[bisect_right(self.ends, tyre)] - tyre

    def takes(self, tyre: int, count: int) -> list[tuple[int, int]]:
        """(week, how many) of `count` tyres from this one on."""
        taken: list[tuple[int, int]] = []
        cell = bisect_right(self.ends, tyre)
        while count:
            number = min(count, self.ends[cell] - tyre)
            taken.append((self.weeks[cell], number))
            count -= number
            tyre += number
            cell += 1
        return taken
