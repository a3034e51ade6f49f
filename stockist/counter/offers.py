"""From tyres judged one by one to what a customer can be offered for the whole car. Pure.

An offer is one pattern of one maker in one dress (sidewall and mark): the same SKU on both
axles, or a front and a rear that belong together, or a left and a right where tyres are handed.
Fronts and rears of two issues of one mark may meet in an offer: what the issuer says of that, a
rule across the car decides.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from django.utils.functional import cached_property

from fitments.lookup.candidates import Judged
from fitments.rules.values import Axle, Hand, Tyre
from inventory.models.sku import Sku

_AXLES = tuple(Axle)
Dress = tuple[str, int | None, str, str]


@dataclass(frozen=True)
class Offered:
    """What goes on one axle: one SKU, or a left and a right one."""

    axle: Axle
    judged: tuple[Judged, ...]

    @property
    def handed(self) -> bool:
        return len(self.judged) == 2

    @property
    def first(self) -> Judged:
        return self.judged[0]

    @cached_property
    def sku_ids(self) -> tuple[int, ...]:
        return tuple(one.sku.pk for one in self.judged)

    @cached_property
    def tyres(self) -> tuple[Tyre, ...]:
        return tuple(one.tyre for one in self.judged)


@dataclass(frozen=True, eq=False)
class Offer:
    """What is offered for a car. An axle that nothing is wanted for, or had for, is not there.

    One offer is equal to itself only, so that a table of offers need not look inside them.
    """

    axles: tuple[Offered, ...]
    listed: bool

    def at(self, axle: Axle) -> Offered | None:
        return next((one for one in self.axles if one.axle is axle), None)

    @cached_property
    def skus(self) -> tuple[Sku, ...]:
        """Its SKUs, each once, front before rear, left before right."""
        return tuple({one.sku.pk: one.sku for part in self.axles for one in part.judged}.values())

    @cached_property
    def sku_ids(self) -> tuple[int, ...]:
        return tuple(sku.pk for sku in self.skus)

    @cached_property
    def tyres(self) -> dict[Axle, tuple[Tyre, ...]]:
        """Its tyres by axle, as they are in the catalogue."""
        return {one.axle: one.tyres for one in self.axles}

    @cached_property
    def codes(self) -> tuple[str, ...]:
        """The codes of its SKUs, in their order."""
        return tuple(sku.code for sku in self.skus)

    @property
    def first(self) -> Judged:
        return self.axles[0].first

    @property
    def handed(self) -> bool:
        """Whether a left and a right tyre go on one of its axles."""
        return any(one.handed for one in self.axles)

    @property
    def shape(self) -> tuple[tuple[Axle, bool], ...]:
        """What its recipe is like, whichever tyres it is of."""
        return tuple((one.axle, one.handed) for one in self.axles)

    @property
    def code(self) -> str:
        """What names it within an answer, to be sent back by a form: the SKUs of each axle."""
        return "|".join(f"{one.axle}:{'+'.join(map(str, one.sku_ids))}" for one in self.axles)


def dress_of(one: Judged) -> Dress:
    """What must be alike for tyres to be offered together."""
    tyre = one.tyre
    return (tyre.maker, tyre.pattern_key, f"{tyre.sidewall} {tyre.band_mm}", tyre.mark)


def offers_of(judged: Sequence[Judged], wanted: frozenset[Axle]) -> tuple[Offer, ...]:
    """Every offer for the wanted axles, in the order of the codes of their SKUs."""
    found = []
    groups: dict[Dress, list[Judged]] = defaultdict(list)
    for one in judged:
        if one.axle in wanted:
            groups[dress_of(one)].append(one)
    for group in groups.values():
        found += list(_offers(group, wanted))
    return tuple(sorted(found, key=lambda offer: [one.sku_ids for one in offer.axles]))


def _offers(group: Sequence[Judged], wanted: frozenset[Axle]) -> Iterable[Offer]:
    axles = {axle: _offered(group, axle) for axle in _AXLES if axle in wanted}
    if len(axles) == 1:
        for each in next(iter(axles.values())):
            yield Offer((each,), each.first.listed)
        return
    fronts, rears = axles[Axle.FRONT], axles[Axle.REAR]
    used: set[tuple[int, ...]] = set()
    for front in fronts:
        for rear in _belonging(front, rears):
            used |= {front.sku_ids, rear.sku_ids}
            yield Offer((front, rear), front.first.listed and rear.first.listed)
    for alone in (*fronts, *rears):
        if alone.sku_ids not in used and alone.first.listed:
            used.add(alone.sku_ids)
            yield Offer((alone,), alone.first.listed)


def _belonging(front: Offered, rears: Sequence[Offered]) -> list[Offered]:
    """The rears that go with a front: the same SKU, else those of a combination they share.

    Of those the ones of its own mark issue; of another issue only where its own has none.
    """
    same = [rear for rear in rears if rear.sku_ids == front.sku_ids]
    if same:
        return same
    shared = [rear for rear in rears if front.first.combinations & rear.first.combinations]
    issue = front.first.tyre.mark_issue
    return [rear for rear in shared if rear.first.tyre.mark_issue == issue] or shared


def _offered(group: Sequence[Judged], axle: Axle) -> list[Offered]:
    """What the group has for an axle; a tyre made for the other axle alone is not among it."""
    single: list[Offered] = []
    lefts: list[Judged] = []
    rights: list[Judged] = []
    for one in group:
        if one.axle is axle and _made_for(one, axle):
            hand = one.tyre.hand
            if hand is Hand.NONE:
                single.append(Offered(axle, (one,)))
            else:
                (lefts if hand is Hand.LEFT else rights).append(one)
    pairs = [
        Offered(axle, (left, right))
        for left in lefts
        for right in rights
        if left.tyre.size_keys & right.tyre.size_keys
    ]
    return single + pairs


def _made_for(one: Judged, axle: Axle) -> bool:
    compound = one.tyre.compound
    by_compound = compound.axle_only if compound else ""
    return one.tyre.axle_only in ("", axle) and by_compound in ("", axle)
