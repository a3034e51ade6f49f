"""The integer program for what marching does not settle, solved by HiGHS through SciPy.

Sets of one recipe are alike, so it is enough to say how many have their oldest tyre where. A
*car window* is a span of weeks that one set may lie in; within it each axle lies in an *axle
window*, and its tyres are a flow from the weeks of that window. Windows that lie inside another are
left out. For whole numbers of sets and axles the flows are a transport problem, hence whole by
themselves.
The effort is bounded by nodes, not by seconds, so that the same question has the same answer.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from math import floor

from inventory.sets.marching import count_alone
from inventory.sets.stream import Stream
from inventory.sets.sweep import blocks_so_far
from inventory.sets.tree import Axle, Cluster, Option, Served, SetPlan

MOST_COLUMNS = 4_000
MOST_NODES = 200
INFEASIBLE = 2  # scipy.optimize.milp, OptimizeResult.status

Window = tuple[int, int]
Bag = tuple[int, Window]  # a stream and the weeks of it that a window holds


@dataclass(frozen=True, slots=True)
class AxleColumn:
    """So many axles of this kind, served by this option, in sets of this car window."""

    column: int
    window: Window
    kind: int
    option: Option
    bags: tuple[tuple[Bag, int], ...]


@dataclass(slots=True)
class Program:
    """Columns and rows as they are written down."""

    columns: int = 0
    rows: list[tuple[float, float]] = field(default_factory=list)
    entries: list[tuple[int, int, float]] = field(default_factory=list)
    sets: dict[Window, int] = field(default_factory=dict)
    axles: list[AxleColumn] = field(default_factory=list)
    flows: dict[tuple[Bag, int], int] = field(default_factory=dict)

    def column(self) -> int:
        """A new column."""
        self.columns += 1
        return self.columns - 1

    def row(self, low: float, high: float, terms: Sequence[tuple[int, float]]) -> None:
        """low <= sum of factor * column <= high."""
        self.entries.extend((len(self.rows), column, factor) for column, factor in terms)
        self.rows.append((low, high))


def solve(
    cluster: Cluster, streams: Sequence[Stream], found: int, bound: int
) -> tuple[list[SetPlan], int]:
    """(sets, bound): more sets than were found, or none, and how many there can be at most."""
    kinds = [(axle, cluster.axles.count(axle)) for axle in dict.fromkeys(cluster.axles)]
    program = _written(cluster, kinds, streams, found, bound)
    if program is None:
        return [], bound
    status, values, dual = _optimum(program)
    if status == INFEASIBLE:
        return [], found
    if dual is not None:
        bound = max(found, min(bound, floor(dual + 1e-6)))
    return (_read(program, kinds, cluster, values) if values else []), bound


def _optimum(program: Program) -> tuple[int, list[int], float | None]:
    """(status, values, bound); SciPy is loaded only here, since it is seldom needed and slow to."""
    import numpy as np
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import coo_array

    rows, columns, factors = zip(*program.entries, strict=True)
    shape = (len(program.rows), program.columns)
    cost = np.zeros(program.columns)
    cost[list(program.sets.values())] = -1.0
    low, high = np.array(program.rows).T
    answer = milp(
        cost,
        integrality=np.ones(program.columns),
        bounds=Bounds(0, np.inf),
        constraints=LinearConstraint(
            coo_array((factors, (rows, columns)), shape=shape).tocsc(), low, high
        ),
        options={"node_limit": MOST_NODES, "mip_rel_gap": 0.0},
    )
    dual = answer.mip_dual_bound
    known = dual is not None and np.isfinite(dual)
    values = [] if answer.x is None else np.rint(answer.x).astype(int).tolist()
    return answer.status, values, -dual if known else None


def _written(
    cluster: Cluster,
    kinds: list[tuple[Axle, int]],
    streams: Sequence[Stream],
    found: int,
    bound: int,
) -> Program | None:
    program = Program()
    in_bag: dict[Bag, list[tuple[int, float]]] = defaultdict(list)
    for window in _car_windows(cluster, streams):
        number = program.sets[window] = program.column()
        for kind, (axle, times) in enumerate(kinds):
            served: list[tuple[int, float]] = [(number, -float(times))]
            for option in axle.options:
                for bags in _axle_windows(axle, option, window, streams):
                    column = program.column()
                    program.axles.append(AxleColumn(column, window, kind, option, bags))
                    served.append((column, 1.0))
                    for bag, count in bags:
                        in_bag[bag].append((column, -float(count)))
            program.row(0, 0, served)
        if program.columns > MOST_COLUMNS:
            return None
    for number, (axle, _) in enumerate(kinds):
        reach = 2 * (cluster.width if cluster.width is not None else axle.tolerance or 0)
        for option in axle.options:
            entries = [e for e in program.axles if e.kind == number and e.option is option]
            _cut(program, axle, entries, streams, reach)
    program.row(found + 1, bound, [(column, 1.0) for column in program.sets.values()])
    return _with_flows(program, in_bag, streams)


def _cut(
    program: Program,
    axle: Axle,
    entries: Sequence[AxleColumn],
    streams: Sequence[Stream],
    reach: int,
) -> None:
    """No more axles of one option within a stretch of weeks than a sweep finds there.

    The flows alone would let two tyres left over in different places make an axle by halves.
    """
    if not entries:
        return
    option = entries[0].option
    every = [(entry.column, 1.0) for entry in entries]
    program.row(0, count_alone(axle, option, streams), every)
    if len(option.needs) > 1:
        return
    within: dict[Window, list[tuple[int, float]]] = defaultdict(list)
    for entry in entries:
        within[entry.bags[0][0][1]].append((entry.column, 1.0))
    total = {window: program.column() for window in within}
    for window, terms in within.items():
        program.row(0, 0, [*terms, (total[window], -1.0)])
    ((stream, size),) = option.needs
    for first, last, blocks in _stretches(list(streams[stream].cells()), size, axle, reach):
        inside = [(c, 1.0) for (f, t), c in total.items() if first <= f and t <= last]
        if inside:
            program.row(0, blocks, inside)


def _stretches(
    cells: list[tuple[int, int]], size: int, axle: Axle, reach: int
) -> Iterator[tuple[int, int, int]]:
    """(first week, last week, axles in it) of stretches where some tyre is left over."""
    for start, (first, _) in enumerate(cells):
        tyres = 0
        counts = blocks_so_far(cells[start:], size, axle.tolerance)
        for (last, quantity), blocks in zip(cells[start:], counts, strict=False):
            tyres += quantity
            if last - first > reach:
                break
            if blocks * size < tyres:
                yield first, last, blocks


def _with_flows(
    program: Program, in_bag: dict[Bag, list[tuple[int, float]]], streams: Sequence[Stream]
) -> Program | None:
    from_cell: dict[tuple[int, int], list[tuple[int, float]]] = defaultdict(list)
    stock = {stream: dict(streams[stream].cells()) for stream, _ in in_bag}
    for bag, terms in in_bag.items():
        stream, (first, last) = bag
        for week in stock[stream]:
            if first <= week <= last:
                column = program.flows[bag, week] = program.column()
                terms.append((column, 1.0))
                from_cell[stream, week].append((column, 1.0))
        program.row(0, 0, terms)
        if program.columns > MOST_COLUMNS:
            return None
    for (stream, week), terms in from_cell.items():
        program.row(0, stock[stream][week], terms)
    return program


def _car_windows(cluster: Cluster, streams: Sequence[Stream]) -> Iterator[Window]:
    used = {s for axle in cluster.axles for option in axle.options for s, _ in option.needs}
    weeks = sorted({week for stream in used for week in streams[stream].weeks})
    yield from _maximal(weeks, cluster.width, weeks[-1])


def _maximal(weeks: Sequence[int], width: int | None, last: int) -> Iterator[Window]:
    """Spans of `width` weeks, none within another as far as these weeks go."""
    for week in weeks:
        end = last if width is None else min(week + width, last)
        yield week, end
        if end >= weeks[-1]:
            return


def _axle_windows(
    axle: Axle, option: Option, window: Window, streams: Sequence[Stream]
) -> Iterator[tuple[tuple[Bag, int], ...]]:
    """What the axle takes from which weeks of which stream, for each window it can lie in."""
    first = window[0] if axle.earliest is None else max(window[0], axle.earliest)
    last = window[1] if axle.latest is None else min(window[1], axle.latest)
    weeks = sorted(
        {w for stream, _ in option.needs for w in streams[stream].weeks if first <= w <= last}
    )
    for inner in _maximal(weeks, axle.tolerance, last):
        bags: list[tuple[Bag, int]] = []
        for stream, count in option.needs:
            held = [(w, n) for w, n in streams[stream].cells() if inner[0] <= w <= inner[1]]
            if sum(number for _, number in held) < count:
                break
            bags.append(((stream, (held[0][0], held[-1][0])), count))
        else:
            yield tuple(bags)


def _read(
    program: Program, kinds: list[tuple[Axle, int]], cluster: Cluster, values: list[int]
) -> list[SetPlan]:
    """The sets that the solution stands for, tyres dealt out of each window's flow."""
    flows: dict[Bag, list[int]] = defaultdict(list)
    for (bag, week), column in program.flows.items():
        flows[bag] += [week] * values[column]
    ready: dict[tuple[Window, int], list[Served]] = defaultdict(list)
    for entry in program.axles:
        for _ in range(values[entry.column]):
            served = Served((), entry.option, _dealt(entry.bags, flows))
            ready[entry.window, entry.kind].append(served)
    plans: list[SetPlan] = []
    kind_of = [[axle for axle, _ in kinds].index(axle) for axle in cluster.axles]
    for window, column in program.sets.items():
        for _ in range(values[column]):
            plans.append(
                tuple(
                    replace(ready[window, kind].pop(0), places=axle.places)
                    for kind, axle in zip(kind_of, cluster.axles, strict=True)
                )
            )
    return plans


def _dealt(
    bags: tuple[tuple[Bag, int], ...], flows: dict[Bag, list[int]]
) -> tuple[tuple[int, int, int], ...]:
    takes: list[tuple[int, int, int]] = []
    for bag, count in bags:
        weeks, flows[bag] = flows[bag][:count], flows[bag][count:]
        takes += [(bag[0], week, weeks.count(week)) for week in dict.fromkeys(weeks)]
    return tuple(takes)
