"""What was known of what left, as its despatch keeps it for good."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, datetime
from typing import Any

from django.utils import timezone

from inventory.activities.despatching.asking import Leaving
from inventory.markings.datecode.age import age_between
from inventory.models.hold import HoldLine
from inventory.models.lot import Lot

Json = dict[str, Any]


def known_of_all(sets: Sequence[Leaving]) -> Json:
    """The release of every set as it was given, and the cautions that go with them."""
    cautions = dict.fromkeys(words for one in sets for words in one.release.cautions)
    return {"sets": [_set(one) for one in sets], "cautions": list(cautions)}


def _set(one: Leaving) -> Json:
    release = one.release
    return {
        "hold": one.hold.pk,
        "what": one.hold.what,
        "may": release.may.value,
        "reasons": [{"code": reason.code, "words": reason.words} for reason in release.reasons],
        "said": list(release.said),
        **release.known,
    }


def known_of(line: HoldLine, release_says: Mapping[str, Any], *, at: datetime) -> Json:
    """What was known of the tyres of one line: what they are, when made, where they came from."""
    lot, sku = line.lot, line.lot.sku
    return {
        "sku": sku.code,
        "title": str(sku),
        "size": sku.size_text,
        **_lot(lot, timezone.localtime(at).date()),
        **release_says,
    }


def _lot(lot: Lot, on: date) -> Json:
    return {
        "lot": lot.code,
        "date_code": lot.date_code,
        "plant": lot.plant,
        "earliest": _day(lot.earliest),
        "latest": _day(lot.latest),
        "age": str(age_between(lot.last_day, on)) if lot.last_day else "",
        "mark": lot.mark,
        "mark_issue": lot.mark_issue,
        "pattern_issue": lot.pattern_issue,
        "made_in": lot.country,
        "delivery": lot.delivery,
        "received_on": _day(lot.received_on),
        "condition": lot.condition,
    }


def _day(day: date | None) -> str | None:
    return day.isoformat() if day else None
