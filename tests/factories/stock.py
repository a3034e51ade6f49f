"""Lots, blocks, enquiries, and what the ledger says.

``PostingFactory``, ``LedgerLineFactory`` and ``BalanceFactory`` write past the ledger: they are for
tests of what must not be, and of what reads it. Stock that is in order is made by ``stock_in``.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import factory
from factory.declarations import SKIP
from factory.django import DjangoModelFactory

from inventory.activities.lots import dated_columns
from inventory.ledger.post import Move, post
from inventory.models.balance import Balance
from inventory.models.enquiry import Enquiry
from inventory.models.lot import Block, BlockReason, Condition, Lot, Owner
from inventory.models.posting import LedgerLine, Posting, PostingKind
from tests.factories.catalogue import SkuFactory
from tests.factories.people import CustomerFactory, SupplierFactory, UserFactory
from tests.factories.places import PlaceFactory
from tests.factories.when import AT, EARLIER


class LotFactory(DjangoModelFactory):
    """A lot of week 14 of 2025; the columns that follow from ``date_code`` are filled from it."""

    class Meta:
        model = Lot

    class Params:
        undated = factory.Trait(date_code="", delivery="D-7")
        decade_unknown = factory.Trait(date_code="148")
        aged = factory.Trait(date_code="1217")
        customers = factory.Trait(
            owner=Owner.CUSTOMER, owner_customer=factory.SubFactory(CustomerFactory)
        )
        consigned = factory.Trait(
            owner=Owner.SUPPLIER, owner_supplier=factory.SubFactory(SupplierFactory)
        )
        fitted = factory.Trait(condition=Condition.FITTED)
        buffed = factory.Trait(condition=Condition.BUFFED, buffed_to_mm=Decimal("4.0"))
        display = factory.Trait(condition=Condition.DISPLAY)
        marked = factory.Trait(mark="HLM", mark_issue="2")

    sku = factory.SubFactory(SkuFactory)
    code = factory.Sequence(lambda n: f"L{n:06}")
    date_code = "1425"
    received_on = date(2025, 9, 1)
    delivery = "D-1"
    unit_cost = Decimal("112.00")
    owner = Owner.HOUSE
    condition = Condition.NEW
    recorded_at = EARLIER
    recorded_by = factory.SubFactory(UserFactory)

    @classmethod
    def _adjust_kwargs(cls, **kwargs):
        given = {name: value for name, value in kwargs.items() if value is not SKIP}
        return {**dated_columns(given["date_code"], given["received_on"]), **given}


class BlockFactory(DjangoModelFactory):
    class Meta:
        model = Block

    class Params:
        lifted = factory.Trait(
            lifted_at=AT, lifted_by=factory.SubFactory(UserFactory), lifted_why="looked at: sound"
        )

    lot = factory.SubFactory(LotFactory)
    reason = BlockReason.TO_BE_CHECKED
    placed_at = EARLIER
    placed_by = factory.SubFactory(UserFactory)


class EnquiryFactory(DjangoModelFactory):
    class Meta:
        model = Enquiry

    class Params:
        of_a_size = factory.Trait(sku=None, size="165 R 400")

    sku = factory.SubFactory(SkuFactory)
    pieces = 4
    asked_at = AT
    asked_by = factory.SubFactory(UserFactory)


class PostingFactory(DjangoModelFactory):
    class Meta:
        model = Posting

    kind = PostingKind.OPENING
    at = EARLIER
    recorded_by = factory.SubFactory(UserFactory)


class LedgerLineFactory(DjangoModelFactory):
    class Meta:
        model = LedgerLine

    posting = factory.SubFactory(PostingFactory)
    lot = factory.SubFactory(LotFactory)
    place = factory.SubFactory(PlaceFactory)
    on_hand_change = 4


class BalanceFactory(DjangoModelFactory):
    class Meta:
        model = Balance

    lot = factory.SubFactory(LotFactory)
    place = factory.SubFactory(PlaceFactory)
    on_hand = 4


def stock_in(*, on_hand=4, held=0, lot=None, place=None, by=None, at=EARLIER, **lot_fields):
    """Opening stock through the ledger: so many tyres of a lot in a place. Returns the balance."""
    lot = lot or LotFactory(**lot_fields)
    place = place or PlaceFactory()
    line = Move(lot.pk, place.pk, on_hand, held)
    post(kind=PostingKind.OPENING, lines=[line], by=by or lot.recorded_by, at=at)
    return Balance.objects.get(lot=lot, place=place)
