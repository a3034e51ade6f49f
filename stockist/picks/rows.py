"""Pick lists and their lines as pages show them: the place first, what should be read there."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import Q, QuerySet, Sum

from inventory.activities import picking
from inventory.models.lot import Lot
from inventory.models.pick import PickLine, PickLineState, PickList, PickListState
from inventory.models.sku import Sku
from stockist.counter.wording import title_of

_LISTS = {
    PickListState.OPEN: ("→", "cannot_tell"),
    PickListState.PICKED: ("✓", "suits"),
    PickListState.PACKED: ("✓", "suits"),
    PickListState.SENT: ("✓", "suits"),
    PickListState.CANCELLED: ("–", "caution"),
}
_LINES = {
    PickLineState.OPEN: ("→", "cannot_tell"),
    PickLineState.PICKED: ("✓", "suits"),
    PickLineState.SHORT: ("!", "caution"),
    PickLineState.BACK: ("–", "caution"),
}


@dataclass(frozen=True, slots=True)
class ListRow:
    """A list with its sign, and how much of it is done."""

    listed: PickList
    sign: str
    tone: str
    done: str


def with_counts(rows: QuerySet[PickList]) -> QuerySet[PickList]:
    """Lists with the tyres asked for and taken, those put back excepted."""
    stays = ~Q(lines__state=PickLineState.BACK)
    names = ("order__customer", "to_place__site", "made_by", "packed_by", "ended_by", "word_by")
    return rows.select_related(*names).annotate(
        asked=Sum("lines__quantity", filter=stays), got=Sum("lines__taken", filter=stays)
    )


def list_row(listed: PickList) -> ListRow:
    """A list that comes from `with_counts`."""
    sign, tone = _LISTS[PickListState(listed.state)]
    asked, got = getattr(listed, "asked", 0) or 0, getattr(listed, "got", 0) or 0
    return ListRow(listed, sign, tone, f"{got} of {asked}")


@dataclass(frozen=True, slots=True)
class LineSaid:
    """A line: where one goes, what is there, what should be read on it, and what became of it."""

    line: PickLine
    title: str
    wanted: str
    made: str
    mark: str
    sign: str
    tone: str
    words: str


def lines_said(lines: Iterable[PickLine]) -> list[LineSaid]:
    """Lines in words, in their order. One query for the names of the tyres."""
    told = list(lines)
    names = Sku.objects.with_names().in_bulk({line.lot.sku_id for line in told})
    return [_line_said(line, title_of(names[line.lot.sku_id])) for line in told]


def _line_said(line: PickLine, title: str) -> LineSaid:
    lot = line.lot
    sign, tone = _LINES[PickLineState(line.state)]
    mark = f"{lot.mark} issue {lot.mark_issue}" if lot.mark_issue else lot.mark
    return LineSaid(line, title, wanted_of(lot), made_of(lot), mark, sign, tone, _words(line))


def wanted_of(lot: Lot) -> str:
    """The date code that should be read."""
    return lot.date_code or "no date code"


def made_of(lot: Lot) -> str:
    """When that was, in words; of an undated lot its delivery."""
    if lot.first_day:
        return f"made in {lot.first_day:%B %Y}"
    return f"of delivery {lot.delivery}" if lot.delivery else ""


def _words(line: PickLine) -> str:
    if line.state == PickLineState.OPEN:
        return "to be picked"
    how = f"{line.get_confirmed_display()} by {line.picked_by}"
    if line.state == PickLineState.SHORT:
        return f"{line.taken} of {line.quantity} found: {line.why} ({how})"
    if line.taken_lot_id:
        return f"picked, lot {line.taken_lot} instead: {line.why} ({how})"
    return f"picked, {how}"


@dataclass(frozen=True, slots=True)
class MissingSaid:
    """What is missing of a set, and the hold that may be left out for it."""

    hold: int
    what: str
    words: tuple[str, ...]


def missing_said(stands: picking.Standing) -> list[MissingSaid]:
    """What is missing, set by set."""
    found: dict[int, tuple[str, list[str]]] = {}
    for one in stands.missing:
        hold = one.line.hold
        found.setdefault(hold.pk, (hold.what, []))[1].append(one.words)
    return [MissingSaid(pk, what, tuple(words)) for pk, (what, words) in found.items()]
