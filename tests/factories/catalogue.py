"""Tyre makers, patterns, compounds, SKUs and what goes with them."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import factory
from factory.django import DjangoModelFactory

from inventory.markings import UnreadableMarking
from inventory.models.companion import Companion, Need
from inventory.models.maker import (
    AxleOnly,
    Compound,
    Pattern,
    Shoulder,
    Tread,
    TyreMaker,
    Use,
    Weather,
)
from inventory.models.sku import (
    Gtin,
    Hand,
    Sidewall,
    Sku,
    SkuKind,
    SkuStatus,
    TubeType,
    TypeApproval,
)
from tests.factories.sizes import size_columns


class TyreMakerFactory(DjangoModelFactory):
    class Meta:
        model = TyreMaker

    code = factory.Sequence(lambda n: f"TM{n}")
    name = factory.Sequence(lambda n: f"Tarnbeck {n}")


class PatternFactory(DjangoModelFactory):
    class Meta:
        model = Pattern

    class Params:
        remade = factory.Trait(withdrawn=1974, remade_since=2009)
        directional = factory.Trait(tread=Tread.DIRECTIONAL)
        asymmetric = factory.Trait(tread=Tread.ASYMMETRIC)
        wet_racing = factory.Trait(use=Use.COMPETITION, weather=Weather.WET)
        dry_racing = factory.Trait(use=Use.COMPETITION, weather=Weather.DRY)
        road_and_track = factory.Trait(use=Use.ROAD_AND_TRACK)
        winter = factory.Trait(weather=Weather.WINTER)

    maker = factory.SubFactory(TyreMakerFactory)
    name = factory.Sequence(lambda n: f"Cairnway {n}")
    introduced = 1961
    shoulder = Shoulder.ROUNDED


class CompoundFactory(DjangoModelFactory):
    class Meta:
        model = Compound

    class Params:
        rear_only = factory.Trait(axle_only=AxleOnly.REAR)
        front_only = factory.Trait(axle_only=AxleOnly.FRONT)

    maker = factory.SubFactory(TyreMakerFactory)
    code = factory.Sequence(lambda n: f"q{n}")
    temperature_from_c = 60
    temperature_to_c = 95
    year = 2024


class SkuFactory(DjangoModelFactory):
    """A tyre, 185/70 R 15 89V unless ``size_text`` says else; the parsed columns follow from it."""

    class Meta:
        model = Sku

    class Params:
        tube_kind = factory.Trait(
            kind=SkuKind.TUBE, pattern=None, size_text="", name="tube, straight valve",
            price=Decimal("21.50"), weight_kg=Decimal("1.20"),
        )  # fmt: skip
        rim_tape = factory.Trait(
            kind=SkuKind.RIM_TAPE, pattern=None, size_text="", name="rim tape", price=Decimal("6")
        )
        valve_kind = factory.Trait(
            kind=SkuKind.VALVE, pattern=None, size_text="", name="snap-in valve", price=Decimal("2")
        )
        marked = factory.Trait(mark="HLM", mark_issue="2")
        racing = factory.Trait(
            pattern=factory.SubFactory(
                PatternFactory, dry_racing=True, maker=factory.SelfAttribute("..maker")
            ),
            compound=factory.SubFactory(CompoundFactory, maker=factory.SelfAttribute("..maker")),
        )
        front_only = factory.Trait(axle_only=AxleOnly.FRONT)
        rear_only = factory.Trait(axle_only=AxleOnly.REAR)
        left = factory.Trait(hand=Hand.LEFT)
        right = factory.Trait(hand=Hand.RIGHT)
        tube_type = factory.Trait(tube=TubeType.TUBE_TYPE)
        white_band = factory.Trait(sidewall=Sidewall.WHITE_BAND, band_mm=22)
        announced = factory.Trait(status=SkuStatus.ANNOUNCED, expected_on=date(2027, 2, 15))
        last_stock = factory.Trait(status=SkuStatus.LAST_STOCK)
        discontinued = factory.Trait(status=SkuStatus.DISCONTINUED)
        unpriced = factory.Trait(price=None)

    code = factory.Sequence(lambda n: f"TB-{n:05}")
    kind = SkuKind.TYRE
    maker = factory.SubFactory(TyreMakerFactory)
    pattern = factory.SubFactory(PatternFactory, maker=factory.SelfAttribute("..maker"))
    size_text = "185/70 R 15 89V"
    tube = TubeType.TUBELESS
    rim_width_min_in = Decimal("4.50")
    rim_width_max_in = Decimal("6.00")
    weight_kg = Decimal("9.40")
    price = Decimal("189.00")
    currency = "GBP"

    @classmethod
    def _adjust_kwargs(cls, **kwargs):
        text, stated = kwargs["size_text"], kwargs.get("stated_overall_mm")
        try:
            columns = size_columns(text, stated)
        except UnreadableMarking:
            if kwargs["kind"] == SkuKind.TYRE:
                raise
            columns = {}  # what goes with tyres is kept as typed
        return {**columns, **kwargs}


class GtinFactory(DjangoModelFactory):
    """GTIN of one SKU (or several, ``skus=[...]``), with its check digit worked out."""

    class Meta:
        model = Gtin
        skip_postgeneration_save = True

    @factory.sequence
    def number(n):
        body = f"{n + 950_000_000_0000:013}"  # 952 and its neighbours are kept for examples
        total = sum(int(figure) * (3, 1)[place % 2] for place, figure in enumerate(body))
        return f"{body}{-total % 10}"

    @factory.post_generation
    def skus(self, create, extracted, **kwargs):
        if create:
            self.skus.add(*(extracted or [SkuFactory()]))


class TypeApprovalFactory(DjangoModelFactory):
    class Meta:
        model = TypeApproval

    sku = factory.SubFactory(SkuFactory)
    scheme = "UN R30"
    number = factory.Sequence(lambda n: f"02{n:05}")


class CompanionFactory(DjangoModelFactory):
    """A tube that one tyre must have; ``for_size`` speaks of every tyre of a size instead."""

    class Meta:
        model = Companion

    class Params:
        for_size = factory.Trait(
            tyre=None,
            size_text="185/70 R 15",
            size_key=factory.LazyAttribute(lambda row: size_columns(row.size_text)["size_keys"][0]),
        )
        may = factory.Trait(need=Need.MAY)
        must_not = factory.Trait(need=Need.MUST_NOT)

    tyre = factory.SubFactory(SkuFactory)
    companion = factory.SubFactory(SkuFactory, tube_kind=True)
    need = Need.MUST
    per_tyre = 1
    source = "maker's list"
