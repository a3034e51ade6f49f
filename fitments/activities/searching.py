"""What the search box reads of a variant, written by the database's own ``plain``."""

from __future__ import annotations

from collections.abc import Sequence

from django.db import connection

# 300 is the length of the column; plain() can lengthen a text (ß is two letters)
_REFRESH = """
UPDATE fitments_variant AS variant
SET search = left(plain(concat_ws(' ', maker.name, line.name, variant.name,
                                  nullif(variant.body, ''))), 300)
FROM fitments_vehicleline AS line
JOIN fitments_carmaker AS maker ON maker.id = line.maker_id
WHERE line.id = variant.vehicle_line_id
  AND (variant.id = ANY(%s) OR line.id = ANY(%s) OR maker.id = ANY(%s))
"""


def refresh_search(
    *,
    variants: Sequence[int] = (),
    vehicle_lines: Sequence[int] = (),
    makers: Sequence[int] = (),
) -> None:
    """Write the searched text of these variants, of all of a range, or of all of a maker."""
    if variants or vehicle_lines or makers:
        with connection.cursor() as cursor:
            cursor.execute(_REFRESH, [list(variants), list(vehicle_lines), list(makers)])
