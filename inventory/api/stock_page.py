"""The first page of stock by one statement that the server plans once.

Asked all day long, and mostly of one SKU: framework and planner took ten times what the rows take.
Only what is plainly asked and found is answered here. All else (a cursor, a slip, nothing there)
goes the way of every list, which refuses in words; a test holds both ways against each other.
"""

from __future__ import annotations

from typing import Any

from rest_framework.request import Request

from inventory.ground.paging import CursorPages, cursor_link
from inventory.ground.prepared import prepared_cursor

_ROWS = """
SELECT b.id, b.lot_id AS lot, l.code AS lot_code, l.sku_id AS sku, s.code AS sku_code,
    b.place_id AS place, p.code AS place_code, p.kind AS place_kind, i.code AS site_code,
    b.on_hand, b.held, b.on_hand - b.held AS free, {column}
FROM inventory_balance b
JOIN inventory_lot l ON l.id = b.lot_id
JOIN inventory_sku s ON s.id = l.sku_id
JOIN inventory_place p ON p.id = b.place_id
JOIN inventory_site i ON i.id = p.site_id
WHERE {narrowed} ORDER BY {column} {way}, b.id {way} LIMIT %(rows)s
"""
SHOWN = (
    *("id", "lot", "lot_code", "sku", "sku_code", "place", "place_code", "place_kind"),
    *("site_code", "on_hand", "held", "free"),
)
_NARROWED = {
    "lot": "b.lot_id = %(lot)s",
    "sku": "l.sku_id = %(sku)s",
    "place": "b.place_id = %(place)s",
    "site": "p.site_id = %(site)s",
}
_EMPTY = {"true": "b.on_hand = 0", "false": "b.on_hand > 0"}
_COLUMNS = {"walk": "p.walk", "sku": "s.code", "on_hand": "b.on_hand", "id": "b.id"}
_NUMBER = 18
"""The most figures of a number that the database can hold."""


def first_page(request: Request) -> dict[str, Any] | None:
    """The page as the API tells it; None where it is not for this way to answer."""
    asked = request.query_params
    if any(len(values) != 1 for _, values in asked.lists()):
        return None
    words = asked.dict()
    size = words.pop("page_size", str(CursorPages.page_size))
    ordering = words.pop("ordering", "walk")
    empty = words.pop("empty", None)
    column = _COLUMNS.get(ordering.removeprefix("-"))
    numbers = {name: _number(text) for name, text in words.items() if name in _NARROWED}
    if column is None or len(numbers) != len(words) or None in (*numbers.values(), _number(size)):
        return None
    where = [_NARROWED[name] for name in sorted(numbers)]
    if empty is not None:
        where.append(_EMPTY.get(empty, ""))
    if not 1 <= int(size) <= CursorPages.max_page_size or "" in where:
        return None
    way = "DESC" if ordering.startswith("-") else "ASC"
    query = _ROWS.format(column=column, way=way, narrowed=" AND ".join(where) or "true")
    rows = _read(query, {**numbers, "rows": int(size) + 1})
    return _told(request, rows, int(size), by_number=column == "b.id") if rows else None


def _number(text: str) -> int | None:
    plain = text.isascii() and text.isdigit() and len(text) <= _NUMBER
    return int(text) if plain else None


def _read(query: str, given: dict[str, Any]) -> list[tuple[Any, ...]]:
    with prepared_cursor() as cursor:
        cursor.execute(query, given)
        return list(cursor.fetchall())


def _told(
    request: Request, rows: list[tuple[Any, ...]], size: int, *, by_number: bool
) -> dict[str, Any]:
    page, following = rows[:size], None
    if len(rows) > size:
        last = page[-1]
        values = [last[0]] if by_number else [last[-1], last[0]]
        following = cursor_link(request.build_absolute_uri(), values, backwards=False)
    results = [dict(zip(SHOWN, row, strict=False)) for row in page]
    return {"next": following, "previous": None, "results": results}
