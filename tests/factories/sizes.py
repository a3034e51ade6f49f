"""The parsed columns of a size, for rows that tests make."""

from __future__ import annotations

import re
from decimal import Decimal

_METRIC = re.compile(
    r"(?P<width>\d{3})(/(?P<aspect>\d{2}))?\s*(?P<letter>[SHVZ])?R\s*(?P<rim>\d{2})"
    r"(\s+(?P<load>\d{2,3})(?P<speed>[A-Z]))?"
)
_SPEEDS = {"S": 180, "T": 190, "H": 210, "V": 240, "W": 270}


def size_columns(text, stated_overall_mm=None):
    """Columns as the catalogue writes them; nothing for a text without a size."""
    found = _METRIC.fullmatch(text)
    if not found:
        return {}
    width, aspect, rim = int(found["width"]), int(found["aspect"] or 80), int(found["rim"])
    aspect_said = f"/{found['aspect']}" if found["aspect"] else ""
    size = f"{width}{aspect_said} {found['letter'] or ''}R {rim}"
    overall = Decimal(rim) * Decimal("25.4") + Decimal(2 * width * aspect) / 100
    return {
        "size": size,
        "family": "metric",
        "width_mm": width,
        "aspect": int(found["aspect"]) if found["aspect"] else None,
        "construction": "radial",
        "rim_mm": round(rim * 25.4),
        "overall_mm": stated_overall_mm or round(overall, 1),
        "overall_basis": "stated by the maker" if stated_overall_mm else "formula",
        "load_index": int(found["load"]) if found["load"] else None,
        "speed": found["speed"] or "",
        "speed_in_size": found["letter"] or "",
        "top_speed_kmh": _SPEEDS.get(found["speed"]),
        "size_keys": [f"{width}/{aspect}R{rim}"],
    }
