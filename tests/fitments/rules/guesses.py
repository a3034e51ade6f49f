"""Tyres and places of every kind, known and unknown, likely and odd, for property tests."""

from __future__ import annotations

from dataclasses import fields, replace
from datetime import date, timedelta

from hypothesis import strategies as st

from fitments.rules.values import (
    ApprovalFact,
    Axle,
    Basis,
    CompetitionClass,
    Compound,
    Condition,
    DaySpan,
    FittedSize,
    Hand,
    IssuerKind,
    Made,
    Market,
    MarkPolicy,
    RacingPapers,
    RimKind,
    Shoulder,
    Sidewall,
    Spot,
    Standing,
    StatedPressure,
    Terms,
    Tread,
    TubeType,
    TypeApproval,
    Tyre,
    TyreUse,
    Use,
    Weather,
)
from inventory.markings import search_keys
from tests.fitments.rules.making import size, spot, tyre

SIZES = [
    size(text)
    for text in (
        *("165 R 15 86H", "165/80 R 15", "165 HR 15", "185/70 R 15 89V", "185/70 VR 15", "155-15"),
        *("5.60-15", "5.60 H 15", "6.40/6.50-13", "185-14/7.35-14", "165 R 400", "165-380"),
        *("820x120", "33x5 SS", "20/54-13", "245/575-13", "4.50/11.60-15", "5.50 L 15"),
        *("225/55 ZR 17 (97Y)", "185 R 14 C 102/100 R", "T125/90 D 15", "185/70 B 13", "FR70-14"),
    )
]


def maybe(strategy):
    return st.none() | strategy


sizes = st.sampled_from(SIZES)
years = st.integers(1900, 2030)
days = st.dates(date(1900, 1, 1), date(2030, 12, 31))
words = st.sampled_from(["", "HT", "ht", "2", "handbook"])
months = maybe(st.sampled_from([0, 12, 36, 72, 120, 1200]))
numbers = st.sampled_from([0, 1, 4.5, 5, 150, 356, 381, 400, 640, 646, 700, 1200, 5000])


@st.composite
def spans(draw):
    first, last = draw(maybe(days)), draw(maybe(days))
    return DaySpan(*sorted((first, last))) if first and last else DaySpan(first, last)


@st.composite
def mades(draw):
    if draw(st.booleans()):
        return Made(condition=draw(st.sampled_from(Condition)))
    week = draw(days)
    known = draw(st.booleans())
    return Made(
        date_code="143",
        first_day=week if known else None,
        last_day=week + timedelta(days=6) if known else None,
        earliest=week - timedelta(days=draw(st.integers(0, 7300))),
        latest=week + timedelta(days=draw(st.integers(6, 7300))),
        condition=draw(st.sampled_from(Condition)),
        buffed_to_mm=draw(maybe(st.integers(1, 8))),
    )


@st.composite
def near(draw, good, strange, fields):
    """A thing that suits, with one to three of its facts changed into any others."""
    changed = draw(st.lists(st.sampled_from(fields), min_size=1, max_size=3, unique=True))
    other = draw(strange)
    return replace(good, **{name: getattr(other, name) for name in changed})


compounds = st.builds(
    Compound,
    code=st.just("R4"),
    key=maybe(st.integers(1, 2)),
    axle_only=st.sampled_from(["", "front", "rear"]),
)
pressures = st.builds(
    StatedPressure,
    kpa=st.integers(0, 500),
    source=words,
    when=words,
    keys=st.just(frozenset()) | sizes.map(search_keys),
    size=words,
)
fitted_sizes = st.builds(
    FittedSize,
    size=sizes,
    standing=st.sampled_from(Standing),
    combination=st.sampled_from("AB"),
    least_load_index=maybe(st.integers(-1, 160)),
    least_speed=st.sampled_from(["", "S", "H", "V", "VR", "ZR", "(Y)", "??"]),
    built=spans(),
    overall_mm=maybe(numbers),
    section_mm=maybe(numbers),
    source=words,
)
classes = st.builds(
    CompetitionClass,
    organiser=st.just("Aldermoor Racing Circle"),
    name=st.just("touring cars"),
    season=st.integers(2025, 2027),
    age_limit_months=months,
    buffing_allowed=maybe(st.booleans()),
)
approvals = st.builds(
    ApprovalFact,
    code=st.just("A-1"),
    issuer_kind=st.sampled_from(IssuerKind),
    issuer=st.just("Hallmere"),
    scope=st.just("Tern"),
    season=maybe(st.integers(2025, 2027)),
    axle=st.sampled_from(["", "front", "rear"]),
    keys=st.just(frozenset()) | sizes.map(search_keys),
    pattern_key=maybe(st.integers(1, 2)),
    compound_key=maybe(st.integers(1, 2)),
    mark=words,
    mark_issue=words,
    by_list=st.booleans(),
    valid=spans(),
    withdrawn_on=maybe(days),
    superseded_by=words,
    least_load_index=maybe(st.integers(-1, 160)),
    buffing_allowed=maybe(st.booleans()),
    conditions=words,
    basis=st.sampled_from(Basis),
    evidence=st.just(()) | st.just(("letter",)),
)
tyres = st.builds(
    Tyre,
    code=st.sampled_from(["A", "B"]),
    size=maybe(sizes),
    construction=st.sampled_from(["", "radial", "bias", "bias-belted", "other"]),
    maker=words,
    pattern=words,
    pattern_key=maybe(st.integers(1, 2)),
    introduced=maybe(years),
    withdrawn=maybe(years),
    remade_since=maybe(years),
    tread=maybe(st.sampled_from(Tread)),
    shoulder=st.sampled_from(Shoulder),
    use=maybe(st.sampled_from(TyreUse)),
    weather=st.sampled_from(Weather),
    compound=maybe(compounds),
    axle_only=st.sampled_from(["", "front", "rear"]),
    hand=st.sampled_from(Hand),
    ply=maybe(st.integers(2, 12)),
    tube=st.sampled_from(TubeType),
    mark=words,
    mark_issue=words,
    sidewall=st.sampled_from(Sidewall),
    band_mm=maybe(st.integers(0, 60)),
    rim_mm=maybe(st.sampled_from([356, 381, 400, 580])),
    bead=st.sampled_from(["", "5-degree", "beaded edge", "beaded edge or straight side"]),
    rim_width_min_in=maybe(numbers),
    rim_width_max_in=maybe(numbers),
    overall_mm=maybe(numbers),
    section_mm=maybe(numbers),
    load_index=maybe(st.integers(-1, 160)),
    load_index_dual=maybe(st.integers(-1, 160)),
    speed=st.sampled_from(["", "P", "S", "H", "V", "W", "Y", "(Y)", "A8", "?", "VR"]),
    load_kg=maybe(numbers),
    load_pressure_kpa=maybe(st.integers(0, 500)),
    top_speed_kmh=maybe(st.integers(0, 400)),
    type_approvals=maybe(
        st.just(())
        | st.just((TypeApproval(scheme="UN R30"),))
        | st.just((TypeApproval(scheme="DOT"),))
    ),
    supply_basis=words,
    made=maybe(mades()),
)
spots = st.builds(
    Spot,
    axle=maybe(st.sampled_from(Axle)),
    side=st.sampled_from(["", "left", "right"]),
    rim_mm=maybe(st.sampled_from([0, 356, 381, 400, 580, 584])),
    bead=st.sampled_from(["", "5-degree", "metric", "beaded edge", "straight side"]),
    width_in=maybe(numbers),
    rim_kind=st.sampled_from(RimKind),
    tubed=maybe(st.booleans()),
    axle_load_kg=maybe(numbers),
    wheels=maybe(st.integers(-1, 5)),
    top_speed_kmh=maybe(st.integers(0, 420)),
    pressures=st.lists(pressures, max_size=2).map(tuple),
    built=maybe(spans()),
    first_used=maybe(days),
    fitted=st.lists(fitted_sizes, max_size=3).map(tuple),
    reference_overall_mm=maybe(numbers),
    arch_room_mm=maybe(numbers),
    approvals=st.lists(approvals, max_size=3).map(tuple),
    competition=st.booleans(),
    competition_class=maybe(classes),
    racing=maybe(st.just(RacingPapers(scheme="FIVA", period="F"))),
    customer_limit_months=months,
    house_limit_months=months,
)
terms = st.builds(
    Terms,
    use=st.sampled_from(Use),
    market=st.sampled_from(Market),
    on=days,
    diameter_tolerance_percent=st.sampled_from([0, 2.5, 3, 100]),
    weather=maybe(st.sampled_from(Weather)),
    mark_issues=maybe(st.sampled_from(MarkPolicy)),
)

# size and index in the marking are one fact with two places: only the fields tell here
_TYRE = tyre("165 R 15", load_index=86, speed="H")
near_tyres = near(
    _TYRE,
    tyres,
    [f.name for f in fields(Tyre) if f.name not in ("code", "size", "load_kg", "top_speed_kmh")],
)
near_spots = near(spot(), spots, [f.name for f in fields(Spot) if f.name != "car"])
