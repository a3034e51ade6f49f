"""Which tyre does this car take, rules included, and which cars take this tyre."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any

from django.utils import timezone

from fitments.lookup.candidates import REACH, candidates_for, reference_mm
from fitments.lookup.nearest import MOST_ALTERNATIVES
from fitments.lookup.span import Span
from fitments.models.car import Variant
from fitments.rules.values import Market, Use
from inventory.availability import stock_of
from tests.load.asked.asking import Api, Question, Raw, read
from tests.load.asked.shelf import LAPSED
from tests.load.table import Beside

PAGE = 100
_CAR = """
SELECT v.*, r.name, m.name FROM fitments_variant v
JOIN fitments_vehicleline r ON r.id = v.vehicle_line_id
JOIN fitments_carmaker m ON m.id = r.maker_id WHERE v.id = ANY(%s)
"""
_OF_CAR = tuple(
    f"SELECT variant_id, axle, {keys}, t.* FROM fitments_{table} t WHERE variant_id = ANY(%s)"
    for table, keys in (("wheeloption", "rim_mm"), ("fitment", "size_keys"), ("pressure", "kpa"))
)
_APPROVALS = """
SELECT a.vehicle_line_id, a.axle, a.size_keys, a.*, c.*, e.*, p.name FROM fitments_approval a
JOIN fitments_approvalversion c ON c.approval_id = a.id AND c.known @> %s::timestamptz
LEFT JOIN fitments_approvalversion_evidence x ON x.approvalversion_id = c.id
LEFT JOIN fitments_evidence e ON e.id = x.evidence_id
LEFT JOIN inventory_pattern p ON p.id = a.pattern_id
WHERE a.vehicle_line_id = ANY(%s)
"""
# Of a page of cars: who approves what, in the order of the codes, and the rest for one size only.
_BRIEFLY = """
SELECT a.vehicle_line_id, a.axle, a.size_keys, c.id, a.id, c.withdrawn_on, c.valid, a.mark,
    a.mark_issue, a.by_list, m.name, r.name
FROM fitments_vehicleline r
JOIN fitments_approval a ON a.vehicle_line_id = r.id
JOIN fitments_carmaker m ON m.id = a.car_maker_id
CROSS JOIN LATERAL (
    SELECT * FROM fitments_approvalversion WHERE approval_id = a.id OFFSET 0) c
WHERE c.known @> %s::timestamptz AND r.id = ANY(%s) ORDER BY a.code, c.id
"""
_IN_FULL = """
SELECT a.*, c.*, e.*, p.name FROM fitments_approvalversion c
JOIN fitments_approval a ON a.id = c.approval_id
LEFT JOIN fitments_approvalversion_evidence x ON x.approvalversion_id = c.id
LEFT JOIN fitments_evidence e ON e.id = x.evidence_id
LEFT JOIN inventory_pattern p ON p.id = a.pattern_id
WHERE c.id = ANY(%s)
"""
# The sizes listed for the car or approved for its range, and the nearest others on its rims.
_TYRES = """
WITH keys AS (
    SELECT array_agg(DISTINCT key) AS keys FROM (
        SELECT unnest(size_keys) AS key FROM fitments_fitment
        WHERE variant_id = %(variant)s AND wheel IN ('', 'disc')
        UNION ALL SELECT unnest(size_keys) FROM fitments_approval WHERE vehicle_line_id = %(line)s
    ) every
), listed AS (
    SELECT id FROM inventory_sku
    WHERE kind = 'tyre' AND size_keys && (SELECT keys FROM keys)::varchar[]
), near AS (
    SELECT s.id FROM inventory_sku s
    WHERE s.kind = 'tyre' AND s.rim_mm = ANY(%(rims)s) AND s.id NOT IN (SELECT id FROM listed)
        AND EXISTS (SELECT FROM unnest(%(rims)s, %(least)s, %(most)s) AS n (rim, least, most)
                    WHERE s.rim_mm = n.rim AND s.overall_mm BETWEEN n.least AND n.most)
    ORDER BY abs(s.overall_mm - %(middle)s), s.code LIMIT %(number)s
)
SELECT s.*, m.name, p.*, c.*, ARRAY(
    SELECT t.number FROM inventory_typeapproval t WHERE t.sku_id = s.id)
FROM inventory_sku s JOIN inventory_tyremaker m ON m.id = s.maker_id
LEFT JOIN inventory_pattern p ON p.id = s.pattern_id
LEFT JOIN inventory_compound c ON c.id = s.compound_id
WHERE s.id IN (SELECT id FROM listed UNION ALL SELECT id FROM near)
"""
_LOTS = f"""
SELECT l.sku_id, b.on_hand - b.held + coalesce(x.held, 0), l.owner = 'house'
    AND l.condition = 'new' AND p.kind IN ('storage', 'goods_in') AND NOT EXISTS (
        SELECT FROM inventory_block k WHERE k.lot_id = l.id AND k.lifted_at IS NULL), l.*, p.*
FROM inventory_lot l
JOIN inventory_balance b ON b.lot_id = l.id AND b.on_hand > 0
JOIN inventory_place p ON p.id = b.place_id
{LAPSED}
WHERE l.sku_id = ANY(%(skus)s)
"""
_TUBES = """
SELECT c.* FROM inventory_companion c
WHERE c.size_key IN (SELECT unnest(size_keys) FROM inventory_sku WHERE id = ANY(%s))
"""
_PAGE_OF_CARS = """
SELECT v.id, v.code, v.vehicle_line_id FROM fitments_variant v
WHERE v.id IN (
    SELECT variant_id FROM fitments_fitment WHERE size_keys && %(keys)s::varchar[])
OR v.vehicle_line_id IN (
    SELECT vehicle_line_id FROM fitments_approval
    WHERE size_keys && %(keys)s::varchar[] AND (by_list OR upper(mark) = upper(%(mark)s))
        AND pattern_id IS NULL)
ORDER BY v.code LIMIT 101
"""


@dataclass(frozen=True)
class Case:
    """A car, with what of its sizes only the reader of sizes knows."""

    variant: Variant
    rims: list[int]
    least: list[Decimal]
    most: list[Decimal]
    middle: Decimal
    skus: frozenset[int]


def cases(variants: Sequence[Variant], at: datetime) -> list[Case]:
    """The cars, each with the reach of its alternatives and the tyres that ours looks at."""
    return [_case(variant, at) for variant in variants]


def _case(variant: Variant, at: datetime) -> Case:
    found = candidates_for(
        variant,
        built=Span(variant.built_from, variant.built_to),
        in_force_on=timezone.localdate(at),
        known_on=at,
        use=Use.ROAD,
        market=Market.GB,
    )
    spots = [spot for part in found.parts for spot in part.spots.values()]
    reach = {(spot.rim_mm, reference_mm(spot)) for spot in spots}
    pairs = sorted((rim, overall) for rim, overall in reach if rim and overall)
    return Case(
        variant,
        [rim for rim, _ in pairs],
        [overall * (1 - REACH) for _, overall in pairs],
        [overall * (1 + REACH) for _, overall in pairs],
        next(iter(filter(None, map(reference_mm, spots))), Decimal(0)),
        frozenset(one.sku.pk for part in found.parts for one in part.judged),
    )


def which_tyre(api: Api, raw: Raw, cars: Sequence[Case], at: datetime) -> Question:
    """What each car takes, judged and ranked with its sets.

    By hand the same rows are read, and the lots of every SKU: which of them come first, and so
    whose lots are wanted, is not known without the rules.
    """

    def by_hand(case: Case) -> dict[int, int]:
        own = [[case.variant.pk]]
        raw(_CAR, own)
        for query in _OF_CAR:
            raw(query, own)
        raw(_APPROVALS, [at, [case.variant.vehicle_line_id]])
        given = {"variant": case.variant.pk, "line": case.variant.vehicle_line_id}
        reach = {"rims": case.rims, "least": case.least, "most": case.most, "middle": case.middle}
        tyres = raw(_TYRES, {**given, **reach, "number": MOST_ALTERNATIVES})
        free = Counter(dict.fromkeys((row[0] for row in tyres), 0))
        raw(_TUBES, [list(free)])
        for sku, tyres_free, to_sell, *_ in raw(_LOTS, {"skus": list(free), "at": at}):
            free[sku] += tyres_free if to_sell else 0
        return dict(free)

    def told(case: Case, ours: bytes, free: dict[int, int]) -> tuple[Any, Any]:
        figures = stock_of(sorted(case.skus), at=at)
        codes = {one.code: one.to_sell for one in figures.values()}
        parts = read(ours)["parts"]
        shown = {
            one["code"]: one["to_sell"]
            for part in parts
            for offer in part["offers"] + part["refused"]
            for one in offer["figures"]
        }
        wrong = {code: count for code, count in shown.items() if codes.get(code) != count}
        return ({key: one.to_sell for key, one in figures.items()}, wrong), (free, {})

    middle = sorted(len(case.skus) for case in cars)[len(cars) // 2]
    return Question(
        "which tyre, rules included",
        Beside(25),
        cars,
        ours=lambda case: api("answers/which-tyre/", variant=case.variant.code),
        raw=by_hand,
        told=told,
        note=f"API, {middle} SKUs each",
        server=raw.server,
    )


def which_cars(api: Api, raw: Raw, skus: Sequence[Any], at: datetime) -> Question:
    """A page of a hundred cars that take a tyre, with the verdicts; by hand the same rows."""

    def by_hand(sku: Any) -> tuple[set[tuple[str, str]], str | None]:
        rows = raw(_PAGE_OF_CARS, {"keys": sku.size_keys, "mark": sku.mark or " "})
        page, more = rows[:PAGE], len(rows) > PAGE
        ids = [row[0] for row in page]
        _, fitments, _ = (raw(query, [ids]) for query in _OF_CAR)
        approvals = raw(_BRIEFLY, [at, sorted({row[2] for row in page})])
        keys, codes = set(sku.size_keys), {row[0]: row[1] for row in page}
        raw(_IN_FULL, [[row[3] for row in approvals if keys & set(row[2])]])
        found = {(codes[row[0]], row[1]) for row in fitments if keys & set(row[2])}
        axles: dict[int, set[str]] = {}
        for row in approvals:
            if keys & set(row[2]):
                axles.setdefault(row[0], set()).add(row[1])
        found |= {(row[1], axle) for row in page for axle in axles.get(row[2], ())}
        return found, page[-1][1] if more else None

    def told(_: Any, ours: bytes, by_hand: tuple[set[Any], str | None]) -> tuple[Any, Any]:
        answer = read(ours)
        return ({(one["variant"], one["axle"]) for one in answer["fits"]}, answer["after"]), by_hand

    return Question(
        "which cars",
        Beside(15),
        skus,
        ours=lambda sku: api("answers/which-cars/", sku=sku.code),
        raw=by_hand,
        told=told,
        note="API, a page of 100",
        server=raw.server,
    )
