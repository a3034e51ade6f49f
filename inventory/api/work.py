"""Work on tyres over the API: one lot out, another in."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.contrib.auth.models import User
from rest_framework import serializers

from inventory.activities import working
from inventory.api.movements import LONGEST_REASON, Booking, row
from inventory.ground.rest.serializers import Strict
from inventory.models.lot import Condition, Lot
from inventory.models.place import Place
from inventory.models.posting import Posting


class WorkSerializer(Strict):
    """What was done to so many free tyres of a lot; the answer is the posting."""

    lot = row(Lot)
    place = row(Place)
    quantity = serializers.IntegerField()
    condition = serializers.ChoiceField(Condition.choices)
    buffed_to_mm = serializers.DecimalField(3, 1, required=False, allow_null=True)
    why = serializers.CharField(max_length=LONGEST_REASON)


def _work(*, by: User, at: datetime, **values: Any) -> Posting:
    return working.work(by=by, at=at, **values)[1]


class Work(Booking):
    """Buffed, hand-cut or regraded: tyres go into another lot, that says what it was made from."""

    serializer_class = WorkSerializer
    book = staticmethod(_work)
