"""Across the car: constructions front and rear, mark issues round the car, sizes that belong
together, and what a spare would make of an axle.
"""

from __future__ import annotations

from itertools import product

from fitments.rules.construction import named
from fitments.rules.listed import listed_as
from fitments.rules.mixing import SOURCE, SPARE_SOURCE, across, could_be, is_temporary_spare
from fitments.rules.on_axle import NO_MARK, mark_words
from fitments.rules.placed import Placed
from fitments.rules.values import Axle, Finding, MarkPolicy, Tyre
from fitments.rules.voice import Findings, Voice

RULE = "across the car"
SAYS = Voice(RULE)
CONSTRUCTION = SAYS.on("construction", SOURCE)
SPARE = SAYS.on("spare", SPARE_SOURCE)
MARKS = SAYS.on("marks", "the policy of the issuer of the mark")
SIZES = SAYS.on("sizes", "the sizes listed for the car")
SIDEWALLS = "the word RADIAL on each sidewall"


def judge_car(car: Placed) -> Findings:
    """What the axles, and the spare, are to each other."""
    found: list[Finding] = []
    if car.on(Axle.FRONT) and car.on(Axle.REAR):
        found = [*_constructions(car), _marks(car), *_sizes(car)]
    return (*found, *_spare(car))


def running(car: Placed, axle: Axle) -> tuple[Tyre, ...]:
    """The tyres of an axle but for a temporary spare, which the rule excepts."""
    return tuple(each for each in car.on(axle) if not is_temporary_spare(each))


def _constructions(car: Placed) -> Findings:
    """By the worst pair of one front and one rear tyre; a temporary spare is excepted."""
    found = [
        _pair(front, rear)
        for front, rear in product(running(car, Axle.FRONT), running(car, Axle.REAR))
    ]
    excepted = [each for axle in Axle for each in car.on(axle) if is_temporary_spare(each)]
    worst = (max(found, key=lambda each: each.outcome),) if found else ()
    if not excepted:
        return worst
    words = f"{excepted[0]} is a temporary spare: excepted while it is needed to get home."
    return (*worst, SPARE.warns(words))


def _pair(front: Tyre, rear: Tyre) -> Finding:
    told = f"{named(front)} in front, {named(rear)} behind"
    answer = across(could_be(front), could_be(rear))
    if answer is None:
        return CONSTRUCTION.cannot_tell(f"It depends on what they are: {told}.", SIDEWALLS)
    if answer:
        return CONSTRUCTION.suits(f"{told[:1].upper()}{told[1:]}: they may run together.")
    return CONSTRUCTION.refuses(
        f"{told[:1].upper()}{told[1:]}: radials in front want radials behind, and belted cross-ply "
        "in front wants belted cross-ply or radials behind."
    )


def _marks(car: Placed) -> Finding:
    marks = dict.fromkeys(mark_words(each) for axle in Axle for each in running(car, axle))
    told = " and ".join(marks)
    if len(marks) < 2:
        if told in ("", NO_MARK):
            return MARKS.suits("No approval mark anywhere on the car.")
        return MARKS.suits(f"One approval mark round the car: {told}.")
    policy = car.terms.mark_issues or _policy(car)
    if policy is MarkPolicy.FREE:
        return MARKS.suits(f"Marks differ round the car ({told}); their issuer leaves that free.")
    if policy is MarkPolicy.SAME:
        return MARKS.refuses(f"Marks differ round the car ({told}); their issuer wants one.")
    return MARKS.cannot_tell(
        f"Marks differ round the car ({told}); whether their issuer wants one is not on record.",
        "the issuer's letter or list",
    )


def _policy(car: Placed) -> MarkPolicy | None:
    """What the issuers of these marks want, as it is recorded with the marks: the strictest.

    Two marks, or a mark beside none, are no two issues of one mark: no policy speaks of that.
    """
    tyres = [each for axle in Axle for each in running(car, axle)]
    marks = {each.mark.upper() for each in tyres}
    if len(marks) != 1:
        return None
    said = {
        fact.mark_policy
        for axle in Axle
        if car.on(axle)
        for fact in car.spot(axle).approvals
        if fact.mark and fact.mark.upper() in marks
    }
    if MarkPolicy.SAME in said:
        return MarkPolicy.SAME
    return MarkPolicy.FREE if said == {MarkPolicy.FREE} else None


def _sizes(car: Placed) -> Findings:
    """Whether front and rear sizes are listed together; silent where one of them is not listed."""
    front, rear = (_combinations(car, axle) for axle in (Axle.FRONT, Axle.REAR))
    if front is None or rear is None:
        return ()
    shared = sorted(front & rear)
    sizes = f"{car.on(Axle.FRONT)[0].size} in front, {car.on(Axle.REAR)[0].size} behind"
    if shared:
        return (SIZES.suits(f"{sizes}: listed together (combination {', '.join(shared)})."),)
    return (
        SIZES.warns(
            f"{sizes}: each is listed for its axle, but not together.",
            "the handbook's pairs of sizes",
        ),
    )


def _combinations(car: Placed, axle: Axle) -> frozenset[str] | None:
    """The combinations in which every tyre of an axle is listed; None where one is not listed."""
    listed = [listed_as(each, car.spot(axle)) for each in running(car, axle)]
    if not listed or any(not (each.sure or each.perhaps) for each in listed):
        return None
    named_in = [
        frozenset(fitted.combination for fitted in (*each.sure, *each.perhaps)) for each in listed
    ]
    return frozenset.intersection(*named_in)


def _spare(car: Placed) -> Findings:
    """What the spare would make of an axle it has to stand in on."""
    spare = car.spare
    if spare is None:
        return ()
    if is_temporary_spare(spare):
        return (SPARE.warns(f"{spare} is a temporary spare: for getting home only."),)
    others = [each for axle in Axle for each in running(car, axle)]
    if not others:
        return ()
    answers = [_as_spare(spare, each) for each in others]
    return (max(answers, key=lambda each: each.outcome),)


def _as_spare(spare: Tyre, other: Tyre) -> Finding:
    ours, theirs = could_be(spare), could_be(other)
    told = f"The spare is {named(spare)}, the car runs on {named(other)}"
    if ours == theirs and len(ours) == 1:
        return SPARE.suits(f"The spare is {named(spare)}, as is the car.")
    if ours & theirs:
        return SPARE.cannot_tell(f"{told}: it depends on what they are.", SIDEWALLS)
    return SPARE.warns(
        f"{told}: on an axle it would make two constructions, which only a temporary spare may."
    )
