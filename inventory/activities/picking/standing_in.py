"""What could stand in for tyres of a set that were not found, beside those that stay."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace

from inventory.activities.picking.matching import Gone, Key, Part, Shelf, faults_in
from inventory.sets.choice import choose
from inventory.sets.recipe import Anchor, Recipe, RecipePlace
from inventory.sets.recipe import Lot as SetLot
from inventory.sets.validity import BadRecipe


def stand_ins(
    shelf: Shelf, stay: Sequence[Part], gone: Sequence[Gone], *, given_up: Sequence[Part] = ()
) -> list[Part]:
    """Free tyres that complete what stays, in place of what is gone; empty where none do.

    Of a set all of them or none, and only such that the whole set matches as was promised. Pieces
    and companions are of the same SKU, oldest first, as many as there are. ``given_up`` are tyres
    of this hold that are nobody's for the moment and may be chosen again.
    """
    free = Counter({(lot.lot_id, lot.place_id): lot.free for lot in shelf.to_be_had()})
    free.update({part.key: part.quantity for part in given_up})
    loose = [part for part in gone if not part.for_place]
    found = [one for part in loose for one in _pieces(shelf, part, free)]
    for_axles = [part for part in gone if part.for_place]
    if not for_axles:
        return found
    chosen = _of_a_set(shelf, stay, for_axles, free)
    # What stays and what was found are judged by the one who judges finished sets.
    if not chosen or faults_in(shelf, [*(one for one in stay if one.for_place), *chosen]):
        return []
    return found + chosen


def _pieces(shelf: Shelf, part: Gone, free: Counter[Key]) -> list[Part]:
    lots = [lot for lot in shelf.to_be_had() if lot.sku_id == part.sku_id]
    lots.sort(key=lambda lot: (lot.week is None, lot.week or 0))  # stable: then as one walks
    wanted, found = part.quantity, []
    for lot in lots:
        key = (lot.lot_id, lot.place_id)
        taken = min(wanted, free[key])
        if taken > 0:
            found.append(Part("", key, taken))
            free[key] -= taken
            wanted -= taken
    return found


def _of_a_set(
    shelf: Shelf, stay: Sequence[Part], gone: Sequence[Gone], free: Mapping[Key, int]
) -> list[Part]:
    if shelf.recipe is None:
        return []
    try:
        recipe, names = _rest(shelf, shelf.recipe, stay, gone)
    except BadRecipe:
        return []
    wanted = {sku for place in recipe.places for sku in recipe.skus_at(place)}
    values = [shelf.set_lot(key, number) for key, number in free.items()
              if number > 0 and shelf.is_young(key)]  # fmt: skip
    found = choose(recipe, [value for value in values if value.sku in wanted])
    return [
        Part(names[entry.place], key, quantity)  # type: ignore[arg-type]
        for entry in found.chosen.places
        for key, quantity in entry.lots
    ]


def _rest(
    shelf: Shelf, recipe: Recipe, stay: Sequence[Part], gone: Sequence[Gone]
) -> tuple[Recipe, dict[str, str]]:
    """The recipe of what is gone alone, what stays as tyres that are on the car already.

    With it, by the name of each of its places, the place on the car that it stands for: a spare
    that matches an axle is asked for as that axle, where nothing else of the axle is gone.
    """
    wanted = {part.for_place for part in gone}
    places, names = [], {}
    for place in recipe.places:
        if place.name in wanted:
            asked = _asked(shelf, recipe, place, gone, alone=place.joins not in wanted)
            places.append(asked)
            names[asked.name] = place.name
    anchors = [_anchor(recipe, part, shelf.set_lot(part.key, 1)) for part in stay if part.for_place]
    rest = replace(recipe, places=tuple(places), anchors=(*recipe.anchors, *anchors), companions=())
    return rest, names


def _asked(
    shelf: Shelf, recipe: Recipe, place: RecipePlace, gone: Sequence[Gone], *, alone: bool
) -> RecipePlace:
    sides: Counter[str] = Counter()
    for part in gone:
        if part.for_place == place.name:
            sides[shelf.facts[part.sku_id].hand] += part.quantity
    if place.handed:
        asked = replace(place, left=sides["left"], right=sides["right"])
    else:
        asked = replace(place, count=sides.total())
    axle = recipe.axle_of(place.name)
    if not place.joins or not alone or axle is None:
        return asked
    return replace(
        axle, skus=recipe.skus_at(place), count=asked.count, left=asked.left, right=asked.right
    )


def _anchor(recipe: Recipe, part: Part, tyre: SetLot) -> Anchor:
    place = next(one for one in recipe.places if one.name == part.for_place)
    own = bool(place.joins and place.skus)  # a spare of its own kind says nothing of the axle's SKU
    return Anchor(
        place.joins or place.name,
        week=tyre.week,
        delivery=tyre.delivery or ("lot", part.key),
        sku=None if own else tyre.sku,
        mark=tyre.mark,
        pattern_issue=tyre.pattern_issue,
        sidewall=tyre.sidewall,
    )
