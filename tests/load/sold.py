"""Five years of an invented house's books, made by the database itself: what was bought and sold.

Every row is a copy of one that the factories made, but for the columns named, so that it has all
that the tables ask for. Days are spread by a hash, seasons by the month: the same every time.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime, timedelta

from django.db import connection
from django.db.models import Model

from inventory.models.balance import Balance
from inventory.models.lot import Lot
from inventory.models.maker import Pattern
from inventory.models.place import Place
from inventory.models.posting import LedgerLine, Posting, PostingKind
from inventory.models.sku import Sku
from inventory.models.sku_pair import SkuPair
from inventory.models.supplier_terms import PriceBreak, SupplierTerms
from tests.factories.buying import ExpectedDeliveryFactory, ProductionBatchFactory
from tests.factories.catalogue import PatternFactory, SkuFactory
from tests.factories.people import SupplierFactory, UserFactory
from tests.factories.places import PlaceFactory
from tests.factories.planning import SeasonFactory
from tests.factories.stock import EnquiryFactory, LotFactory

YEARS = 5
PATTERNS, SUPPLIERS = 200, 40
# What each month of the year counts for, January first; the other half sells the other way round.
SEASON = "ARRAY[0.4, 0.6, 1.4, 1.8, 1.6, 1.3, 1.0, 0.9, 0.9, 0.8, 0.7, 0.6]"
# Every statement has parameters, so that a sign of per cent stands twice.
_HASH = "(abs(hashint8({})) %% 10000) / 10000.0"


def chance(of: str) -> str:
    """A share from 0 to 1 that an expression always has."""
    return _HASH.format(of)


def books(skus: int, *, at: datetime, told: Callable[[str], None] = lambda step: None) -> None:
    """The books of a house of so many SKUs, up to a moment; ``told`` is told of each step."""
    first = at - timedelta(days=365 * YEARS)
    place, by = PlaceFactory(), UserFactory()
    told("catalogue and terms")
    _catalogue(skus)
    _terms(at)
    told("what was bought")
    _bought(place, by.pk, first)
    _counted()
    told("what was sold")
    _sold(place, first)
    _counted()
    told("the shelf, enquiries, what is on order")
    _shelf(place)
    _asked(at)
    SeasonFactory(first_day=at.date(), last_day=at.date() + timedelta(days=300), without_money=True)
    _counted()


def _counted() -> None:
    """Let the database know how many rows there are: none of them is committed yet, so nothing else
    tells it, and the next statement would be planned for a few."""
    with connection.cursor() as cursor:
        cursor.execute("ANALYZE")


def _copied(model: type[Model], template: Model, given: Mapping[str, str], source: str) -> None:
    """As many rows like one as a source has, with the columns given."""
    names = [f.column for f in model._meta.concrete_fields if not f.primary_key]
    table = model._meta.db_table
    values = ", ".join(given.get(name, f"t.{name}") for name in names)
    with connection.cursor() as cursor:
        cursor.execute(
            f"INSERT INTO {table} ({', '.join(names)}) SELECT {values} FROM {source}, "
            f"{table} t WHERE t.id = %s",
            [template.pk],
        )


def _catalogue(skus: int) -> None:
    uses = ("road", "road_and_track", "competition")
    pattern = PatternFactory()
    use = "(ARRAY['" + "', '".join(uses) + "'])[1 + n %% 3]"
    given = {"name": "'Pattern ' || n", "use": use}
    _copied(Pattern, pattern, given, f"generate_series(1, {PATTERNS}) n")
    sku = SkuFactory(code="S0", pattern=pattern, maker=pattern.maker, price="120")
    which = f"{pattern.pk} + n %% {PATTERNS}"
    given = {"code": "'S' || lpad(n::text, 7, '0')", "pattern_id": which}
    _copied(Sku, sku, given, f"generate_series(1, {skus}) n")
    pair = SkuPair(source="orders", in_sets=60)
    pair.front, pair.rear = sku, Sku.objects.exclude(pk=sku.pk).order_by("-pk").first()
    pair.save()
    given = {"front_id": "s.id", "rear_id": "s.id + 1"}
    _copied(
        SkuPair,
        pair,
        given,
        "(SELECT id FROM inventory_sku WHERE id %% 10 = 0 AND code <> 'S0' "
        "AND id < (SELECT max(id) - 1 FROM inventory_sku)) s",
    )


def _terms(at: datetime) -> None:
    suppliers = SupplierFactory.create_batch(SUPPLIERS)
    lowest = suppliers[0].pk
    sku = Sku.objects.get(code="S0")
    one = SupplierTerms.objects.create(
        supplier=suppliers[0], sku=sku, minimum=4, pack=2, lead_time_days=42
    )
    source = "(SELECT id FROM inventory_sku WHERE code <> 'S0') s"
    given = {
        "sku_id": "s.id",
        "supplier_id": f"{lowest} + s.id %% {SUPPLIERS}",
        "lead_time_days": "14 + (s.id %% 5) * 14",
    }
    _copied(SupplierTerms, one, given, source)
    price = PriceBreak.objects.create(terms=one, from_quantity=1, unit_price="80")
    source = (
        "(SELECT t.id, b FROM inventory_supplierterms t, generate_series(0, 2) b "
        "WHERE t.id <> {}) s"
    )
    given = {
        "terms_id": "s.id",
        "from_quantity": "greatest(1, s.b * 20)",
        "unit_price": "80 - 3 * s.b",
    }
    _copied(PriceBreak, price, given, source.format(one.pk))
    for supplier in suppliers[: SUPPLIERS // 4]:
        for n in range(3):
            ready = at.date() + timedelta(days=60 + 90 * n)
            cut_off = ready - timedelta(days=45)
            ProductionBatchFactory(supplier=supplier, order_by=cut_off, ready_on=ready)


def _bought(place: Place, by: int, first: datetime) -> None:
    """A lot a year of each SKU, more of what sells more, and now and then too few."""
    lot = LotFactory(code="L0", sku=Sku.objects.get(code="S0"))
    for year in range(YEARS):
        at = first + timedelta(days=365 * year)
        posting = Posting.objects.create(kind=PostingKind.RECEIPT, at=at, recorded_by_id=by)
        given = {"sku_id": "s.id", "code": f"'L{year}-' || s.id"}
        _copied(Lot, lot, given, "(SELECT id FROM inventory_sku WHERE code <> 'S0') s")
        line = LedgerLine(posting=posting, lot=lot, place=place, on_hand_change=4)
        line.save(force_insert=True)
        pieces = (
            f"2 + round({chance('m.sku_id * 7')} * 28 * (0.4 + {chance(f'm.sku_id + {year}')}))"
        )
        source = f"(SELECT id, sku_id FROM inventory_lot WHERE code LIKE 'L{year}-%%') m"
        given = {"lot_id": "m.id", "on_hand_change": f"({pieces})::int"}
        _copied(LedgerLine, line, given, source)


def _sold(place: Place, first: datetime) -> None:
    """Sales day by day, a posting a day, until a lot is gone."""
    days = 365 * YEARS
    with connection.cursor() as cursor:
        cursor.execute(
            "INSERT INTO inventory_posting (kind, at, recorded_at, recorded_by_id, document, note) "
            "SELECT %s, %s::timestamptz + n * interval '1 day' + interval '9 hours', now(), "
            "(SELECT min(id) FROM auth_user), 'D' || n, '' FROM generate_series(0, %s - 1) n",
            [PostingKind.DESPATCH.value, first, days],
        )
        cursor.execute(_SALES, {"place": place.pk, "days": days, "first": first})


# About one order in two months of a slow SKU and two a month of a quick one; by its season.
_SALES = f"""
INSERT INTO inventory_ledgerline (posting_id, lot_id, place_id, on_hand_change, held_change)
SELECT p.id, q.lot, %(place)s, -q.pieces, 0
FROM (
    SELECT x.*, sum(x.pieces) OVER (PARTITION BY x.lot ORDER BY x.day) AS gone
    FROM (
        SELECT m.id AS lot, d.day, 2 * (1 + (m.sku_id + d.day) %% 2)::int AS pieces,
            r.on_hand_change
        FROM (SELECT id, sku_id, substring(code FROM 2 FOR 1)::int AS year FROM inventory_lot
              WHERE code LIKE 'L_-%%') m
        JOIN inventory_ledgerline r ON r.lot_id = m.id
        CROSS JOIN LATERAL (
            SELECT k, m.year * 365
                + (hashint8(m.sku_id * 31 + m.year * 1009 + k) & 65535) %% 365 AS day
            FROM generate_series(1, (2 + 14 * {chance("m.sku_id * 7")})::int) k
        ) d
        WHERE {chance("m.sku_id * 131 + d.day")} < 0.55 * ({SEASON})[
            extract(month FROM %(first)s::timestamptz + d.day * interval '1 day')::int]
    ) x
) q
JOIN inventory_posting p ON p.document = 'D' || q.day
WHERE q.gone <= q.on_hand_change
ON CONFLICT DO NOTHING
"""


def _shelf(place: Place) -> None:
    """What is left, by what the ledger says."""
    with connection.cursor() as cursor:
        cursor.execute(
            f"INSERT INTO {Balance._meta.db_table} (lot_id, place_id, on_hand, held) "
            "SELECT lot_id, place_id, sum(on_hand_change), 0 FROM inventory_ledgerline "
            "GROUP BY 1, 2"
        )


def _asked(at: datetime) -> None:
    """One enquiry for every SKU that sold out, and a delivery on order for every twelfth."""
    sku = Sku.objects.get(code="S0")
    enquiry = EnquiryFactory(sku=sku, asked_at=at)
    source = "(SELECT id FROM inventory_sku WHERE id %% 3 = 0) s"
    when = "t.asked_at - (s.id %% 1500) * interval '1 day'"
    _copied(type(enquiry), enquiry, {"sku_id": "s.id", "asked_at": when}, source)
    coming = ExpectedDeliveryFactory(sku=sku, expected_on=at.date() + timedelta(days=30))
    source = "(SELECT id FROM inventory_sku WHERE id %% 12 = 0 AND code <> 'S0') s"
    given = {
        "sku_id": "s.id",
        "reference": "'PO-' || s.id",
        "expected_on": "t.expected_on + (s.id %% 90)::int",
    }
    _copied(type(coming), coming, given, source)
