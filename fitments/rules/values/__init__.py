"""The frozen values that rules read and give: import them from here."""

from fitments.rules.values.approval import ApprovalFact, Basis, CompetitionClass, IssuerKind
from fitments.rules.values.outcome import Finding, Outcome, Verdict, Weight
from fitments.rules.values.span import ALWAYS, DaySpan
from fitments.rules.values.spot import (
    Axle,
    FittedSize,
    RacingPapers,
    RimKind,
    Spot,
    Standing,
    StatedPressure,
)
from fitments.rules.values.terms import DIAMETER_TOLERANCE_PERCENT, Market, MarkPolicy, Terms, Use
from fitments.rules.values.traits import (
    Condition,
    Hand,
    Shoulder,
    Sidewall,
    Status,
    Tread,
    TubeType,
    TyreUse,
    Weather,
)
from fitments.rules.values.tyre import Compound, Made, Number, TypeApproval, Tyre

__all__ = [
    "ALWAYS",
    "DIAMETER_TOLERANCE_PERCENT",
    "ApprovalFact",
    "Axle",
    "Basis",
    "CompetitionClass",
    "Compound",
    "Condition",
    "DaySpan",
    "Finding",
    "FittedSize",
    "Hand",
    "IssuerKind",
    "Made",
    "MarkPolicy",
    "Market",
    "Number",
    "Outcome",
    "RacingPapers",
    "RimKind",
    "Shoulder",
    "Sidewall",
    "Spot",
    "Standing",
    "StatedPressure",
    "Status",
    "Terms",
    "Tread",
    "TubeType",
    "TypeApproval",
    "Tyre",
    "TyreUse",
    "Use",
    "Verdict",
    "Weather",
    "Weight",
]
