"""Stock that comes, goes out and comes back on given days, past the forms of selling."""

from __future__ import annotations

from datetime import UTC, date, datetime

from inventory.ledger.post import Move, post
from inventory.models.lot import Lot
from inventory.models.place import Place
from inventory.models.posting import Posting, PostingKind
from inventory.models.sku import Sku
from tests.factories.people import UserFactory
from tests.factories.places import PlaceFactory
from tests.factories.stock import LotFactory


class Shop:
    """One SKU's comings and goings; ``place`` is a rack."""

    def __init__(self, sku: Sku, place: Place | None = None) -> None:
        self.sku, self.place = sku, place or PlaceFactory()
        self.lot: Lot = LotFactory(sku=sku)
        self.by = UserFactory()

    def _post(self, kind: PostingKind, pieces: int, day: date) -> Posting:
        at = datetime(day.year, day.month, day.day, 12, tzinfo=UTC)
        move = Move(self.lot.pk, self.place.pk, pieces, 0)
        return post(kind=kind, lines=[move], by=self.by, at=at)

    def came(self, pieces: int, day: date) -> Posting:
        return self._post(PostingKind.RECEIPT, pieces, day)

    def sent(self, pieces: int, day: date) -> Posting:
        return self._post(PostingKind.DESPATCH, -pieces, day)

    def returned(self, pieces: int, day: date) -> Posting:
        return self._post(PostingKind.RETURN, pieces, day)
