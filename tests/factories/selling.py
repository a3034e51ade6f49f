"""Price classes, holds, quotes, orders and what follows from them, each in a named situation."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import factory
from factory.django import DjangoModelFactory

from inventory.activities import recipes
from inventory.activities.complaining import add_picture, open_complaint
from inventory.activities.returning import CameBack, take_back
from inventory.models.complaint import ComplaintPicture, CustomerComplaint
from inventory.models.hold import Hold, HoldExtension, HoldState
from inventory.models.preorder import IfShort, PreOrder, PreOrderLine, PreOrderState
from inventory.models.pricing import AgeStep, PriceClass
from inventory.models.quote import Quote, QuoteState
from inventory.models.returned import Return
from inventory.models.sale import Asks, Order, OrderLine, OrderState
from tests.factories.buying import ExpectedDeliveryFactory
from tests.factories.catalogue import SkuFactory
from tests.factories.people import CustomerFactory, UserFactory
from tests.factories.sending import Shop, four_alike, held_pieces, sent
from tests.factories.when import AT, EARLIER


class PriceClassFactory(DjangoModelFactory):
    class Meta:
        model = PriceClass

    code = factory.Sequence(lambda n: f"TRADE{n}")
    name = factory.Sequence(lambda n: f"trade {n}")
    percent_off = Decimal("12.50")


class AgeStepFactory(DjangoModelFactory):
    class Meta:
        model = AgeStep

    from_months = factory.Sequence(lambda n: 24 + n)
    percent_off = Decimal("10.00")


class QuoteFactory(DjangoModelFactory):
    """Four of one SKU at a price; ``taken`` and ``withdrawn`` are over."""

    class Meta:
        model = Quote

    class Params:
        taken = factory.Trait(
            state=QuoteState.TAKEN, ended_at=AT, ended_by=factory.SubFactory(UserFactory)
        )
        withdrawn = factory.Trait(
            state=QuoteState.WITHDRAWN,
            ended_at=AT,
            ended_by=factory.SubFactory(UserFactory),
            ended_why="dearer now",
        )

    customer = factory.SubFactory(CustomerFactory)
    what = "4 × Tarnbeck Cairnway"
    price = Decimal("412.00")
    currency = "GBP"
    price_words = "412.00 by the list"
    good_until = date(2026, 12, 7)
    recipe = factory.LazyFunction(lambda: recipes.kept(four_alike(SkuFactory())))
    answer = factory.LazyFunction(lambda: {"use": "road", "verdict": "suits", "reasons": []})
    made_at = EARLIER
    made_by = factory.SubFactory(UserFactory)


class HoldFactory(DjangoModelFactory):
    """A hold without lines: for what reads holds. Tyres are held by `held_set`."""

    class Meta:
        model = Hold

    class Params:
        released = factory.Trait(
            state=HoldState.RELEASED,
            ended_at=AT,
            ended_by=factory.SubFactory(UserFactory),
            ended_why="bought elsewhere",
        )

    customer = factory.SubFactory(CustomerFactory)
    what = "4 × Tarnbeck Cairnway"
    until = datetime(2030, 1, 1, tzinfo=UTC)
    made_at = EARLIER
    made_by = factory.SubFactory(UserFactory)


class HoldExtensionFactory(DjangoModelFactory):
    """A hold that was let run longer by a week."""

    class Meta:
        model = HoldExtension

    hold = factory.SubFactory(HoldFactory)
    until_before = factory.LazyAttribute(lambda row: row.hold.until - timedelta(days=7))
    until_after = factory.LazyAttribute(lambda row: row.hold.until)
    why = "on holiday until then"
    extended_at = AT
    extended_by = factory.SubFactory(UserFactory)


class OrderFactory(DjangoModelFactory):
    """An open order without lines; ``with_deposit`` notes one."""

    class Meta:
        model = Order

    class Params:
        with_deposit = factory.Trait(
            deposit=Decimal("50.00"), deposit_currency="GBP", deposit_reference="C 9"
        )
        cancelled = factory.Trait(
            state=OrderState.CANCELLED,
            ended_at=AT,
            ended_by=factory.SubFactory(UserFactory),
            ended_why="sold the car",
        )

    customer = factory.SubFactory(CustomerFactory)
    reference = factory.Sequence(lambda n: f"RT {n}")
    wanted_on = date(2026, 12, 1)
    made_at = EARLIER
    made_by = factory.SubFactory(UserFactory)


class OrderLineFactory(DjangoModelFactory):
    """Two pieces of a SKU; ``of_sets`` asks for a set."""

    class Meta:
        model = OrderLine

    class Params:
        of_sets = factory.Trait(
            asks=Asks.SETS,
            sku=None,
            recipe=factory.LazyFunction(lambda: recipes.kept(four_alike(SkuFactory()))),
        )

    order = factory.SubFactory(OrderFactory)
    position = factory.Sequence(lambda n: n + 1)
    asks = Asks.PIECES
    what = "2 × Tarnbeck Cairnway"
    sku = factory.SubFactory(SkuFactory)
    quantity = 2
    price = Decimal("103.00")
    currency = "GBP"


class PreOrderFactory(DjangoModelFactory):
    """Somebody waits for four of something; ``missed`` was not served."""

    class Meta:
        model = PreOrder

    class Params:
        missed = factory.Trait(
            state=PreOrderState.MISSED,
            ended_at=AT,
            ended_by=factory.SubFactory(UserFactory),
            ended_why="the batch was short",
        )

    customer = factory.SubFactory(CustomerFactory)
    what = "4 × Tarnbeck Cairnway"
    recipe = factory.LazyFunction(lambda: recipes.kept(four_alike(SkuFactory())))
    promised_on = date(2027, 3, 1)
    if_short = IfShort.WAIT
    queued_at = factory.Sequence(lambda n: EARLIER + timedelta(minutes=n))
    queued_by = factory.SubFactory(UserFactory)


class PreOrderLineFactory(DjangoModelFactory):
    class Meta:
        model = PreOrderLine

    pre_order = factory.SubFactory(PreOrderFactory)
    expected = factory.SubFactory(ExpectedDeliveryFactory)
    quantity = 4


def complaint_of(line, *, by=None, at=AT, quantity=1) -> CustomerComplaint:
    """A customer complains of tyres that left with this line of a despatch."""
    says = "A bulge in the wall."
    return open_complaint(
        despatch_line=line, quantity=quantity, says=says, by=by or UserFactory(), at=at
    )


def gone(shop=None):
    """Three pieces that left."""
    shop = shop or Shop()
    _, order, _, _ = held_pieces(shop)
    return sent(order, shop, UserFactory())


def come_back(shop=None) -> Return:
    """One of three pieces that left is back in its rack."""
    shop = shop or Shop()
    left = gone(shop)
    came = CameBack(left.lines.get(), 1, "new", shop.racks[0])
    return take_back(despatch=left, reason="not_wanted", lines=[came], by=left.despatched_by, at=AT)


def picture_of(complaint) -> ComplaintPicture:
    """A photograph that was kept with a complaint."""
    return add_picture(
        complaint=complaint,
        name="wall.jpg",
        digest=f"{complaint.pk:064x}",
        media_type="image/jpeg",
        content=b"\xff\xd8\xff",
        by=complaint.opened_by,
        at=AT,
    )
