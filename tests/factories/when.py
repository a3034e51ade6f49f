"""The day on which tests take place, and the moment. Nothing in tests reads the clock."""

from __future__ import annotations

from datetime import UTC, date, datetime

AT = datetime(2026, 11, 23, 10, 0, tzinfo=UTC)
TODAY = date(2026, 11, 23)
EARLIER = datetime(2026, 1, 5, 9, 0, tzinfo=UTC)
