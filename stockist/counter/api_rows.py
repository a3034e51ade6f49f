"""The answers of the counter as JSON: what each field is called, and where it is from."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from stockist.counter.told_rows import Told, ToldOnce
from stockist.counter.wording import title_of


class SkuName(Told):
    code = serializers.CharField()
    title = serializers.SerializerMethodField()

    def get_title(self, sku: Any) -> str:
        return title_of(sku)


class FindingRow(ToldOnce):
    rule = serializers.CharField()
    place = serializers.CharField()
    outcome = serializers.CharField(source="outcome.code")
    words = serializers.CharField()
    look_at = serializers.CharField()
    source = serializers.CharField()  # type: ignore[assignment]  # a field of that name
    counts = serializers.CharField(source="counts.code")
    counts_by = serializers.CharField()


class VerdictRow(Told):
    outcome = serializers.CharField(source="outcome.code")
    findings = FindingRow(many=True)


class LotRow(Told):
    for_place = serializers.CharField()
    quantity = serializers.IntegerField()
    lot = serializers.CharField(source="lot.code")
    date_code = serializers.CharField(source="lot.date_code")
    made_from = serializers.DateField(source="lot.first_day", allow_null=True)
    made_to = serializers.DateField(source="lot.last_day", allow_null=True)
    site = serializers.CharField(source="lot.site")
    place = serializers.CharField(source="lot.place")
    sku = serializers.IntegerField(source="lot.sku_id")


class PriceRow(Told):
    amount = serializers.DecimalField(max_digits=12, decimal_places=2, allow_null=True)
    currency = serializers.CharField()
    reason = serializers.CharField()


class CompanionRow(Told):
    code = serializers.CharField()
    name = serializers.CharField()
    kind = serializers.CharField()
    need = serializers.CharField()
    per_set = serializers.IntegerField()
    free = serializers.IntegerField()
    source = serializers.CharField()  # type: ignore[assignment]  # a field of that name


class SetsRow(Told):
    """Complete sets. ``bound``: no more than that can exist; ``reason``: why not more."""

    sets = serializers.IntegerField()
    bound = serializers.IntegerField()
    reason = serializers.CharField()
    chosen = LotRow(many=True)
    companions = CompanionRow(many=True)
    price = PriceRow()


class FiguresRow(Told):
    code = serializers.CharField()
    status = serializers.CharField()
    in_the_racks = serializers.IntegerField()
    spoken_for = serializers.IntegerField()
    to_sell = serializers.IntegerField()
    put_aside = serializers.IntegerField()
    in_quarantine = serializers.IntegerField()
    on_the_way = serializers.IntegerField()
    not_ours = serializers.IntegerField()
    expected_on = serializers.DateField(allow_null=True)
    on_order = serializers.IntegerField()


class OfferedRow(Told):
    axle = serializers.CharField()
    skus = serializers.SerializerMethodField()

    def get_skus(self, offered: Any) -> list[str]:
        return [one.sku.code for one in offered.judged]


class OfferRow(Told):
    skus = SkuName(many=True)
    axles = OfferedRow(many=True, source="offer.axles")
    listed = serializers.BooleanField(source="offer.listed")
    verdict = VerdictRow()
    sets = SetsRow(allow_null=True)
    figures = FiguresRow(many=True)


class PartRow(Told):
    """``count``: how many offers suit, of which ``offers`` are one page, the best first."""

    built_from = serializers.DateField(source="built.first")
    built_to = serializers.DateField(source="built.last")
    count = serializers.IntegerField()
    offers = OfferRow(many=True)
    refused = OfferRow(many=True)


class WhichTyreRow(serializers.Serializer[Any]):
    """An answer for each part of the time asked about; ``dividing_days`` begin the later parts."""

    variant = serializers.CharField(source="question.variant.code")
    dividing_days = serializers.ListField(child=serializers.DateField())
    parts = PartRow(many=True)
    cautions = serializers.ListField(child=serializers.CharField())


class CarRowApi(Told):
    variant = serializers.CharField(source="variant.code")
    car = serializers.CharField(source="variant")
    axle = serializers.CharField()
    built_from = serializers.DateField(source="built.first", allow_null=True)
    built_to = serializers.DateField(source="built.last", allow_null=True)
    standing = serializers.CharField()
    verdict = VerdictRow()


class WhichCarsRow(serializers.Serializer[Any]):
    """``after`` goes into the next request; null at the end."""

    fits = CarRowApi(many=True)
    after = serializers.CharField(allow_null=True)
    cautions = serializers.ListField(child=serializers.CharField())


class ShelfRowApi(Told):
    skus = SkuName(many=True)
    figures = FiguresRow(many=True)
    sets = SetsRow(allow_null=True)


class HaveYouGotItRow(serializers.Serializer[Any]):
    results = ShelfRowApi(many=True)


class FoundRow(serializers.Serializer[Any]):
    """What a typed text means: ``meaning`` is nothing, size, tyres, mark or cars."""

    meaning = serializers.CharField()
    words = serializers.CharField()
    size = serializers.CharField(allow_null=True)
    skus = SkuName(many=True)
    variants = serializers.SerializerMethodField()
    built = serializers.CharField(source="built.code", default=None, allow_null=True)

    def get_variants(self, found: Any) -> list[str]:
        return [variant.code for variant in found.variants]
