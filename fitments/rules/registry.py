"""The rules, in the order in which they are asked and read aloud."""

from __future__ import annotations

from dataclasses import dataclass

from fitments.rules import across_car, on_axle
from fitments.rules.age import judge_age
from fitments.rules.approval import judge_approval
from fitments.rules.construction import judge_construction
from fitments.rules.diameter import judge_diameter
from fitments.rules.load import judge_load
from fitments.rules.period import judge_listing, judge_pattern, judge_period, judge_racing
from fitments.rules.rim import judge_rim
from fitments.rules.shape import judge_shape
from fitments.rules.size import judge_size
from fitments.rules.speed import judge_speed
from fitments.rules.supply import judge_supply
from fitments.rules.tube import judge_tube
from fitments.rules.use import judge_use
from fitments.rules.voice import Rule

_SIZE = ("size", "size_keys")
_YEARS = ("pattern", "introduced", "withdrawn", "remade_since", "moulded_in")
APPROVED = (*_SIZE, "pattern_key", "compound", "mark", "mark_issue")
"""What tells approvals of one tyre from those of another; a rule that asks them has these first."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One rule of one place: its name in findings, its title for people, and what asks it.

    ``looks_at`` are the attributes of a tyre that the rule's answer may hang on, but for the name
    that a sentence calls it by: of two tyres that agree in these it says the same. ``names`` tells
    whether a sentence may call the tyre by its name. ``parts`` are what the rule is made of, each
    with what it looks at, where one part is asked of many tyres and another of few kinds.
    """

    name: str
    title: str
    judge: Rule
    looks_at: tuple[str, ...]
    names: bool = False
    parts: tuple[tuple[Rule, tuple[str, ...]], ...] = ()

    @property
    def asked(self) -> tuple[tuple[Rule, tuple[str, ...]], ...]:
        """Its parts, or itself."""
        return self.parts or ((self.judge, self.looks_at),)


RULES: tuple[Entry, ...] = (
    Entry("size", "Size", judge_size, (*APPROVED, "overall_mm", "section_mm"), names=True),
    Entry(
        "rim",
        "Rim",
        judge_rim,
        ("size", "rim_mm", "bead", "rim_width_min_in", "rim_width_max_in"),
        names=True,
    ),
    Entry(
        "load",
        "Load",
        judge_load,
        (
            *_SIZE,
            *("overall_mm", "load_index", "load_index_dual", "speed", "ply"),
            *("load_kg", "load_pressure_kpa"),
        ),
    ),
    Entry(
        "speed",
        "Speed",
        judge_speed,
        (*_SIZE, "overall_mm", "speed", "top_speed_kmh", "weather"),
    ),
    Entry(
        "construction", "Construction", judge_construction, (*_SIZE, "overall_mm", "construction")
    ),
    Entry("tube", "Tube", judge_tube, ("tube",)),
    Entry("approval", "Approval", judge_approval, (*APPROVED, "load_index", "condition")),
    Entry(
        "period",
        "Right for the period",
        judge_period,
        (*_SIZE, *_YEARS),
        parts=((judge_pattern, _YEARS), (judge_listing, _SIZE), (judge_racing, ())),
    ),
    Entry(
        "use",
        "Use",
        judge_use,
        ("use", "weather", "axle_only", "compound", "hand", "tread", "condition"),
    ),
    Entry("age", "Age", judge_age, ("made",)),
    Entry("diameter", "Diameter", judge_diameter, (*_SIZE, "overall_mm", "section_mm")),
    Entry("supply", "Supply", judge_supply, ("type_approvals", "supply_basis", "condition")),
    Entry("shape", "Shape", judge_shape, ("shoulder",)),
)
PARTS = tuple(part for entry in RULES for part in entry.asked)
"""All parts of all rules, in their order."""
CAR_LOOKS_AT = (*_SIZE, "construction", "mark", "mark_issue")
"""What the rules across the car look at of each tyre."""
SET_RULES: tuple[tuple[str, str], ...] = (
    (on_axle.RULE, "On an axle"),
    (across_car.RULE, "Across the car"),
)
TITLES: dict[str, str] = {each.name: each.title for each in RULES} | dict(SET_RULES)
