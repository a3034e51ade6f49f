"""The service description: what a load index, a speed symbol and a speed say a tyre may do."""

from __future__ import annotations

from inventory.markings.service.load import (
    ServiceDescriptionError,
    TooFast,
    UnknownLoadIndex,
    load_at_speed,
    load_capacity_kg,
)
from inventory.markings.service.speed import (
    UNKNOWN_TOP_SPEED,
    TopSpeed,
    UnknownSpeedSymbol,
    top_speed,
    top_speed_of,
)

__all__ = [
    "UNKNOWN_TOP_SPEED",
    "ServiceDescriptionError",
    "TooFast",
    "TopSpeed",
    "UnknownLoadIndex",
    "UnknownSpeedSymbol",
    "load_at_speed",
    "load_capacity_kg",
    "top_speed",
    "top_speed_of",
]
