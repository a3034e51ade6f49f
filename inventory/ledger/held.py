"""Holds and the balances they stand on, locked together: hold rows first, then balances."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from django.contrib.auth.models import User
from django.db.models import Q
from django.utils import timezone

from inventory.ground.entries.alone import refuse_faulty
from inventory.ground.locking import locked_rows
from inventory.ledger.locks import Locked, Pair, again_if_locked, lock_balances
from inventory.ledger.post import Move, post
from inventory.models.hold import Hold, HoldLine, HoldState
from inventory.models.posting import PostingKind

_END = ("state", "ended_at", "ended_by", "ended_why")


@dataclass(frozen=True, slots=True)
class Held:
    """What stands on some balances, and goes on standing until the transaction ends.

    lines: of every hold that stands there, oldest hold first; each with its hold. lapsed: holds
    that had run out and were let go.
    """

    balances: dict[Pair, Locked]
    lines: tuple[HoldLine, ...]
    lapsed: tuple[Hold, ...] = ()

    def at(self, pair: Pair) -> list[HoldLine]:
        """The lines on one balance, oldest hold first."""
        return [line for line in self.lines if (line.lot_id, line.place_id) == pair]

    @property
    def holds(self) -> list[Hold]:
        """The holds, oldest first, each once."""
        return list({line.hold_id: line.hold for line in self.lines}.values())


def open_on(pairs: Collection[Pair]) -> list[HoldLine]:
    """The lines of open holds on these balances as they are just now, nothing locked."""
    if not pairs:
        return []
    these = {"lot__in": {lot for lot, _ in pairs}, "place__in": {place for _, place in pairs}}
    rows = HoldLine.objects.filter(hold__state=HoldState.OPEN, **these)
    found = rows.select_related("hold").order_by("hold_id", "pk")
    return [line for line in found if (line.lot_id, line.place_id) in pairs]


def lock_held(pairs: Iterable[Pair], *, by: User, at: datetime) -> Held:
    """Lock these balances and every hold on them; holds that had run out are let go.

    Needs a transaction around it, and no lock on any balance from before. A hold that is made
    between the two locks is had at once, or all of it is let go and locked again.
    """
    wanted = set(pairs)
    return again_if_locked(lambda: _locked(wanted, by=by, at=at))


def _locked(wanted: set[Pair], *, by: User, at: datetime) -> Held:
    known = {line.hold_id for line in open_on(wanted)}
    locked_holds(known)
    found = lock_balances(wanted | pairs_of(known))
    lines = open_on(wanted)
    late = {line.hold_id for line in lines} - known
    if late:
        rows = Hold.objects.filter(pk__in=late).order_by("pk")
        list(rows.select_for_update(no_key=True, nowait=True).values_list("pk"))
    # One that came late and has run out stays for the next if its tyres lie elsewhere as well.
    over = {
        line.hold_id: line.hold
        for line in lines
        if line.hold.lapsed_by(at)
        and (line.hold_id in known or pairs_of({line.hold_id}) <= found.keys())
    }
    if over:
        end_lapsed(list(over.values()), by=by, at=at)
        found = lock_balances(wanted)
    stand = tuple(line for line in lines if line.hold_id not in over)
    return Held({pair: found[pair] for pair in wanted}, stand, tuple(over.values()))


def locked_holds(keys: Collection[int]) -> dict[int, Hold]:
    """The holds of these keys, locked in the order of their keys; whatever state they are in."""
    return locked_rows(Hold.objects.select_related("order_line"), keys) if keys else {}


def pairs_of(holds: Collection[int]) -> set[Pair]:
    """Every balance that these holds stand on."""
    rows = HoldLine.objects.filter(hold__in=holds).order_by("pk")
    return set(rows.values_list("lot_id", "place_id")) if holds else set()


def end_holds(
    holds: Sequence[Hold],
    *,
    state: HoldState,
    why: str,
    by: User | None,
    at: datetime,
) -> None:
    """End open holds that are locked: their tyres are free again, by a posting for each.

    ``by`` None: in the name of whoever made the hold, for what happens by itself. The lines stay
    and tell what was held. Raises Faulty where the reason is too long.
    """
    lines = HoldLine.objects.filter(hold__in=holds).order_by("pk")
    total: dict[int, Counter[Pair]] = {hold.pk: Counter() for hold in holds}
    for line in lines:
        total[line.hold_id][line.lot_id, line.place_id] += line.quantity
    if len(holds) > 1:
        lock_balances({pair for some in total.values() for pair in some})
    for hold in holds:
        who = by or hold.made_by
        moves = [Move(*pair, 0, -quantity) for pair, quantity in total[hold.pk].items()]
        if moves:
            number = hold.number
            post(kind=PostingKind.RELEASE, lines=moves, by=who, at=at, document=number, note=why)
        hold.state, hold.ended_at, hold.ended_by, hold.ended_why = state, at, who, why.strip()
        refuse_faulty(hold, ["ended_why"])
        hold.save(update_fields=_END)


def end_lapsed(holds: Sequence[Hold], *, by: User | None, at: datetime) -> None:
    """Let go of locked holds that have run out."""
    for hold in holds:
        assert hold.until is not None  # noqa: S101 - a hold without an end is an order's
        ran_out = f"ran out on {timezone.localtime(hold.until):%d.%m.%Y at %H:%M}"
        end_holds([hold], state=HoldState.LAPSED, why=ran_out, by=by, at=at)


def break_youngest(
    held: Held, pair: Pair, *, keep: int, why: str, by: User, at: datetime
) -> tuple[Hold, ...]:
    """Break the youngest holds on a locked balance until no more than `keep` are held there.

    The holds that were broken, youngest first; each is broken as a whole.
    """
    standing = Counter[int]()
    holds = {}
    for line in held.at(pair):
        standing[line.hold_id] += line.quantity
        holds[line.hold_id] = line.hold
    broken = []
    for key in sorted(holds, reverse=True):
        if sum(standing.values()) <= keep:
            break
        del standing[key]
        broken.append(holds[key])
    end_holds(broken, state=HoldState.BROKEN, why=why, by=by, at=at)
    return tuple(broken)


def lapsed(at: datetime, narrowed: Q | None = None) -> list[int]:
    """The keys of holds that have run out and are open in the ledger still, lowest first."""
    rows = Hold.objects.lapsed(at)
    if narrowed is not None:
        rows = rows.filter(narrowed)
    return sorted(set(rows.order_by("pk").values_list("pk", flat=True)))
