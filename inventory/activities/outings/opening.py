"""A van is taken out for a meeting."""

from __future__ import annotations

from datetime import date, datetime

from django.contrib.auth.models import User
from django.db import transaction

from inventory.activities.outings.refusals import BackAlready, NotAVan, OutAlready
from inventory.ground.entries.alone import refuse_faulty
from inventory.ground.locking import locked_row
from inventory.ground.violations import named_violation
from inventory.models.outing import Outing
from inventory.models.place import Site, SiteKind


def open_outing(
    *, van: Site, home: Site, meeting: str, day: date, note: str = "", by: User, at: datetime
) -> Outing:
    """Take a van out for a meeting; it is loaded at ``home``, and unloaded there.

    Raises NotAVan, OutAlready, Faulty, Violated.
    """
    if van.kind != SiteKind.MOBILE:
        raise NotAVan(van)
    outing = Outing(
        van=van, home=home, meeting=meeting, day=day, note=note, opened_at=at, opened_by=by
    )
    refuse_faulty(outing, ("meeting", "day", "note"))
    with transaction.atomic():
        # One at a time looks whether the van is out.
        locked_row(Site.objects.all(), van.pk)
        earlier = Outing.objects.out().filter(van=van).select_related("van").first()
        if earlier is not None:
            raise OutAlready(earlier)
        with named_violation():
            outing.save(force_insert=True)
    return outing


def in_hand(outing: Outing) -> Outing:
    """The outing as it is now, locked, and still out. Raises BackAlready."""
    held = locked_row(Outing.objects.select_related("van", "home", "ended_by"), outing.pk)
    if held.ended_at is not None:
        raise BackAlready(held)
    return held
