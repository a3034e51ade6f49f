"""What is about to leave, and whether it may."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from inventory.activities.despatching.refusals import NotGathered
from inventory.models.hold import Hold, HoldLine, HoldState
from inventory.models.pick import PickLineState, PickList
from inventory.models.sale import OrderLine
from inventory.release import LeavingSet, LeavingTyres, May, Release, releases_for


@dataclass(frozen=True, slots=True)
class Leaving:
    """One hold of a packed list, its lines as they are gathered, and what was said of it."""

    hold: Hold
    order_line: OrderLine
    lines: tuple[HoldLine, ...]
    release: Release

    @property
    def against(self) -> list[str]:
        """Why it stays or needs a word, each sentence with the set it is about."""
        return [f"{self.hold.what}: {reason.words}" for reason in self.release.reasons]


def holds_on(listed: PickList) -> list[int]:
    """The holds of a list, those left out excepted."""
    rows = listed.lines.exclude(state=PickLineState.BACK).order_by("hold_id")
    return sorted(set(rows.values_list("hold_id", flat=True)))


def leaving(listed: PickList, *, at: datetime) -> list[Leaving]:
    """Every set of a list as it would leave now. Raises NobodyReleases, NotGathered."""
    holds = Hold.objects.filter(pk__in=holds_on(listed), state=HoldState.OPEN)
    found = list(holds.select_related("order_line__order").order_by("pk"))
    lines = _lines(found)
    _refuse_elsewhere(listed, lines.values())
    asked = [_asked(hold, _of(hold), lines[hold.pk]) for hold in found]
    releases = releases_for(asked, at=at)
    return [
        Leaving(hold, _of(hold), tuple(lines[hold.pk]), release)
        for hold, release in zip(found, releases, strict=True)
    ]


def _lines(holds: Sequence[Hold]) -> dict[int, list[HoldLine]]:
    rows: dict[int, list[HoldLine]] = {hold.pk: [] for hold in holds}
    told = HoldLine.objects.filter(hold__in=holds).select_related("lot__sku", "place")
    for line in told.order_by("hold_id", "pk"):
        rows[line.hold_id].append(line)
    return rows


def _refuse_elsewhere(listed: PickList, lines: Iterable[Sequence[HoldLine]]) -> None:
    words = [
        f"{line.quantity} of {line.lot} in {line.place}"
        for some in lines
        for line in some
        if line.place_id != listed.to_place_id
    ]
    if words:
        raise NotGathered(listed, words)


def _of(hold: Hold) -> OrderLine:
    line = hold.order_line
    assert line is not None  # noqa: S101 - a list is made of holds for order lines
    return line


def _asked(hold: Hold, line: OrderLine, lines: Sequence[HoldLine]) -> LeavingSet:
    tyres = [LeavingTyres(one.lot.sku_id, one.lot_id, one.for_place, one.quantity) for one in lines]
    answer: dict[str, Any] = hold.answer or line.answer
    return LeavingSet(
        key=hold.pk,
        what=hold.what,
        car_id=hold.car_id or line.order.car_id,
        tyres=tuple(tyres),
        answer=answer,
        ordered_at=line.order.made_at,
    )


def about(sets: Sequence[Leaving]) -> list[dict[str, Any]]:
    """What a word would have to be about, as the list keeps it; empty where none is needed."""
    return [
        {"hold": one.hold.pk, "code": reason.code, "words": reason.words}
        for one in sets
        if one.release.may is May.WITH_A_WORD
        for reason in one.release.reasons
    ]


def is_covered(listed: PickList, wanted: Sequence[dict[str, Any]]) -> bool:
    """Whether the word that was given is about all of this."""
    given = {(one["hold"], one["code"]) for one in listed.word_about}
    return all((one["hold"], one["code"]) in given for one in wanted)
