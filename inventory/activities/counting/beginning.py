"""A count begun, taken up by another, given up."""

from __future__ import annotations

from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction

from inventory.activities.counting.inhand import locked
from inventory.activities.counting.refusals import BeingCounted
from inventory.ground.entries.alone import refuse_faulty
from inventory.ground.violations import named_violation
from inventory.models.count import Count, CountState
from inventory.models.place import Place, Site
from inventory.models.sku import Sku


def begin(
    *,
    place: Place | None = None,
    sku: Sku | None = None,
    site: Site | None = None,
    by: User,
    at: datetime,
) -> Count:
    """Begin to count a place, or a SKU at a site. Raises BeingCounted, Faulty."""
    home = place.site if place else site
    count = Count(
        site=home, place=place, sku=None if place else sku, started_at=at, started_by=by,
        at_work_at=at, at_work_by=by,
    )  # fmt: skip
    same = {"place": place} if place else {"sku": sku, "site": home}
    other = Count.objects.open().with_names().filter(**same).first() if home else None
    if other is not None:
        raise BeingCounted(other)
    refuse_faulty(count, ["site", "place", "sku"])
    taken = {"count_of_a_place_is_one": BeingCounted, "count_of_a_sku_is_one": BeingCounted}
    with named_violation(**taken), transaction.atomic():
        count.save(force_insert=True)
    return count


def take_up(*, count: Count, by: User, at: datetime) -> Count:
    """Go on with what somebody else began; what was counted so far is kept. Raises AtItsEnd."""
    with transaction.atomic():
        held = locked(count)
        held.at_work_by, held.at_work_at = by, at
        held.save(update_fields=["at_work_by", "at_work_at"])
    return held


def give_up(*, count: Count, why: str, by: User, at: datetime) -> Count:
    """End a count with nothing posted, whoever has it in hand. Raises AtItsEnd, Faulty."""
    with transaction.atomic():
        held = locked(count, also=CountState.TO_POST)
        held.state, held.ended_at, held.ended_by = CountState.GIVEN_UP, at, by
        held.ended_why = why.strip()
        refuse_faulty(held, ["ended_why"])
        with named_violation():
            held.save(update_fields=["state", "ended_at", "ended_by", "ended_why"])
    return held
