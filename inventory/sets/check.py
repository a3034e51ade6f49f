"""A judge of finished sets that shares nothing with the code that makes them.

Also for the warehouse: another lot may be taken if the set still matches.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Mapping, Sequence

from inventory.sets.recipe import Anchor, Lot, Match, Recipe, RecipePlace, Side

Assignment = Mapping[str, Sequence[tuple[Hashable, int]]]
Tyre = Lot | Anchor


def check_set(recipe: Recipe, assignment: Assignment, lots: Iterable[Lot]) -> list[str]:
    """Everything wrong with a set, a sentence each; empty when it may leave.

    assignment: (lot key, how many) by place name. lots: at least those named in it, with what is
    free of each.
    """
    by_key = {lot.key: lot for lot in lots}
    unknown = {key for taken in assignment.values() for key, _ in taken if key not in by_key}
    if unknown:
        return [f"Lot {key} is not on the shelf." for key in sorted(map(str, unknown))]
    tyres = {
        place.name: [by_key[key] for key, n in assignment.get(place.name, ()) for _ in range(n)]
        for place in recipe.places
    }
    faults = list(_quantities(assignment, by_key))
    faults += [f"{name}: not a place of this recipe." for name in assignment if name not in tyres]
    for place in recipe.places:
        faults += _place(recipe, place, tyres[place.name])
        faults += (f"{place.name}: {fault}" for fault in _ages(recipe, tyres[place.name]))
    for axle in recipe.places:
        if not axle.joins:
            faults += _axle(recipe, axle, tyres)
    return faults + list(_car(recipe, tyres))


def _quantities(assignment: Assignment, by_key: Mapping[Hashable, Lot]) -> Iterator[str]:
    taken: dict[Hashable, int] = {}
    for pairs in assignment.values():
        for key, number in pairs:
            taken[key] = taken.get(key, 0) + number
    for key, number in taken.items():
        if number > by_key[key].quantity:
            yield f"Lot {key}: {number} taken, {by_key[key].quantity} free."


def _place(recipe: Recipe, place: RecipePlace, tyres: Sequence[Lot]) -> Iterator[str]:
    if len(tyres) != place.tyres:
        yield f"{place.name}: {len(tyres)} tyres, {place.tyres} wanted."
    if place.handed:
        left = sum(1 for tyre in tyres if tyre.side == Side.LEFT)
        right = sum(1 for tyre in tyres if tyre.side == Side.RIGHT)
        if (left, right) != (place.left, place.right):
            yield (
                f"{place.name}: {left} left and {right} right, "
                f"{place.left} left and {place.right} right wanted."
            )
    skus = {tyre.sku for tyre in tyres}
    if skus - {*recipe.skus_at(place)}:
        yield f"{place.name}: an SKU that was not asked for."
    fitted = {a.sku for a in recipe.anchors if a.place == place.name and a.sku is not None}
    if len(skus | fitted) > 1:
        yield f"{place.name}: two SKUs on one axle."
    axle = recipe.axle_of(place.name)
    if axle and axle.marks and any(tyre.mark not in axle.marks for tyre in tyres):
        yield f"{place.name}: a mark that was not asked for."


def _ages(recipe: Recipe, tyres: Sequence[Lot]) -> Iterator[str]:
    if recipe.oldest_week is None:
        return
    if any(tyre.week is not None and tyre.week < recipe.oldest_week for tyre in tyres):
        yield "a tyre is too old."
    if not recipe.allow_undated and any(tyre.week is None for tyre in tyres):
        yield "a tyre has no date, so it cannot be shown to be young enough."


def _axle(recipe: Recipe, axle: RecipePlace, tyres: Mapping[str, Sequence[Lot]]) -> Iterator[str]:
    names = [place.name for place in recipe.places if axle.name in (place.name, place.joins)]
    together: list[Tyre] = [tyre for name in names for tyre in tyres[name]]
    like_axle = [
        tyre
        for place in recipe.places
        if place.name == axle.name or (place.joins == axle.name and not place.skus)
        for tyre in tyres[place.name]
    ]
    if len({tyre.sku for tyre in like_axle}) > 1:
        yield f"{axle.name}: two SKUs on one axle."
    together += [anchor for anchor in recipe.anchors if anchor.place in names]
    yield from (
        f"{axle.name}: {fault}"
        for fault in _mismatches(
            together, axle.tolerance_weeks, axle.same_delivery, _compared(recipe)
        )
    )


def _car(recipe: Recipe, tyres: Mapping[str, Sequence[Lot]]) -> Iterator[str]:
    apart = {
        place.name
        for place in recipe.places
        if (axle := recipe.axle_of(place.name)) is not None and axle.apart
    }
    together: list[Tyre] = [t for name, some in tyres.items() if name not in apart for t in some]
    together += [anchor for anchor in recipe.anchors if anchor.place not in apart]
    compared = [name for name in _compared(recipe) if getattr(recipe, name) is Match.CAR]
    if recipe.car_tolerance_weeks is None:
        yield from (f"Round the car: {fault}" for fault in _unlike(together, compared))
    else:
        width = recipe.car_tolerance_weeks
        yield from (
            f"Round the car: {fault}" for fault in _mismatches(together, width, False, compared)
        )


def _compared(recipe: Recipe) -> list[str]:
    names = ("mark", "pattern_issue", "sidewall")
    return [name for name in names if getattr(recipe, name) is not Match.FREE]


def _unlike(tyres: Sequence[Tyre], compared: Sequence[str]) -> Iterator[str]:
    words = {"mark": "marks", "pattern_issue": "pattern issues", "sidewall": "sidewalls"}
    for name in compared:
        if len({getattr(tyre, name) for tyre in tyres} - {None}) > 1:
            yield f"the {words[name]} differ."


def _mismatches(
    tyres: Sequence[Tyre], width: int | None, same_delivery: bool, compared: Sequence[str]
) -> Iterator[str]:
    yield from _unlike(tyres, compared)
    if len(tyres) < 2:
        return
    weeks = [tyre.week for tyre in tyres if tyre.week is not None]
    dateless = [t for t in tyres if t.week is None and not _unknown(t)]
    if weeks and width is not None and max(weeks) - min(weeks) > width:
        yield f"{max(weeks) - min(weeks)} weeks between the oldest and the newest, {width} allowed."
    if weeks and dateless:
        yield "dated and undated tyres together."
    if len({_came_with(tyre) for tyre in dateless}) > 1:
        yield "undated tyres of different deliveries."
    if same_delivery and len({_came_with(t) for t in tyres if not _undelivered(t)}) > 1:
        yield "not all of one delivery."


def _unknown(tyre: Tyre) -> bool:
    """A tyre on the car of which neither the week nor the delivery is known."""
    return _undelivered(tyre) and tyre.week is None


def _undelivered(tyre: Tyre) -> bool:
    return isinstance(tyre, Anchor) and tyre.delivery is None


def _came_with(tyre: Tyre) -> Hashable:
    if tyre.delivery is None and isinstance(tyre, Lot):
        return ("lot", tyre.key)
    return ("delivery", tyre.delivery)
