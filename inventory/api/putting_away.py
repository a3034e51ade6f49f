"""Putting away over the API."""

from __future__ import annotations

from rest_framework import serializers

from inventory.activities import putting_away
from inventory.api.acting import row
from inventory.api.movements import Booking
from inventory.ground.rest.serializers import Strict
from inventory.models.lot import Lot
from inventory.models.place import Place


class PutAwaySerializer(Strict):
    """So many of a lot into a rack. `they_fit`: somebody looked, whatever the room says."""

    lot = row(Lot)
    source = row(Place)  # type: ignore[assignment]
    target = row(Place)
    quantity = serializers.IntegerField()
    they_fit = serializers.BooleanField(default=False)


class PutAway(Booking):
    """Put tyres away, if the place has room for them."""

    serializer_class = PutAwaySerializer
    book = staticmethod(putting_away.put_away)
