"""The rules, in the order in which they are asked and read aloud."""

from __future__ import annotations

from dataclasses import dataclass

from fitments.rules import across_car, on_axle
from fitments.rules.age import judge_age
from fitments.rules.approval import judge_approval
from fitments.rules.construction import judge_construction
from fitments.rules.diameter import judge_diameter
from fitments.rules.load import judge_load
from fitments.rules.period import judge_period
from fitments.rules.rim import judge_rim
from fitments.rules.shape import judge_shape
from fitments.rules.size import judge_size
from fitments.rules.speed import judge_speed
from fitments.rules.supply import judge_supply
from fitments.rules.tube import judge_tube
from fitments.rules.use import judge_use
from fitments.rules.voice import Rule


@dataclass(frozen=True, slots=True)
class Entry:
    """One rule of one place: its name in findings, its title for people, and what asks it."""

    name: str
    title: str
    judge: Rule


RULES: tuple[Entry, ...] = (
    Entry("size", "Size", judge_size),
    Entry("rim", "Rim", judge_rim),
    Entry("load", "Load", judge_load),
    Entry("speed", "Speed", judge_speed),
    Entry("construction", "Construction", judge_construction),
    Entry("tube", "Tube", judge_tube),
    Entry("approval", "Approval", judge_approval),
    Entry("period", "Right for the period", judge_period),
    Entry("use", "Use", judge_use),
    Entry("age", "Age", judge_age),
    Entry("diameter", "Diameter", judge_diameter),
    Entry("supply", "Supply", judge_supply),
    Entry("shape", "Shape", judge_shape),
)
SET_RULES: tuple[tuple[str, str], ...] = (
    (on_axle.RULE, "On an axle"),
    (across_car.RULE, "Across the car"),
)
TITLES: dict[str, str] = {each.name: each.title for each in RULES} | dict(SET_RULES)
