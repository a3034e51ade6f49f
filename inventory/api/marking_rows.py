"""What the API answers of markings: described field by field, each with its unit and its source."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from inventory.ground.rest.serializers import MeasuredField, Strict
from inventory.markings import SpeedometerRule, to_kmh, to_mm

LONGEST = 200

Plain = serializers.Serializer[Any]


class TextSerializer(Strict):
    """What stands on the sidewall, as typed."""

    text = serializers.CharField(max_length=LONGEST, help_text="As typed, in any form")


class DateTextSerializer(TextSerializer):
    """A date code or an identification number, as typed."""

    on = serializers.DateField(
        required=False, help_text="The day it is read on, for its age; today unless told"
    )


class CompareSerializer(Strict):
    """Two sizes; a diameter that does not follow from a size may be stated."""

    old = serializers.CharField(max_length=LONGEST)
    new = serializers.CharField(max_length=LONGEST)
    shown = MeasuredField(
        read=to_kmh, unit="km/h", places=1, lowest=1, highest=500, default=100.0,
        help_text="The speed shown, km/h or with its unit: 62 mph",
    )  # fmt: skip
    over_read = serializers.FloatField(
        min_value=0.5, max_value=2, required=False, help_text="Shown / true speed on the old tyre"
    )
    rule = serializers.ChoiceField(
        choices=[(rule.value, rule.value) for rule in SpeedometerRule],
        default=SpeedometerRule.UN_R39.value,
    )
    old_overall = MeasuredField(
        read=to_mm, unit="mm", places=1, required=False, help_text="As its maker states it"
    )
    new_overall = MeasuredField(
        read=to_mm, unit="mm", places=1, required=False, help_text="As its maker states it"
    )


class DimensionSerializer(Plain):
    """A dimension in mm with its limits, and where it is from: table, formula or statement."""

    value_mm = serializers.FloatField()
    min_mm = serializers.FloatField(allow_null=True)
    max_mm = serializers.FloatField(allow_null=True)
    basis = serializers.CharField()
    source = serializers.CharField(allow_null=True)  # type: ignore[assignment]
    note = serializers.CharField()


class TopSpeedSerializer(Plain):
    """How fast a marked tyre may run; where it is open-ended there is no upper figure."""

    kmh = serializers.IntegerField(allow_null=True)
    over_kmh = serializers.IntegerField(allow_null=True)
    open_ended = serializers.BooleanField()
    known = serializers.BooleanField()
    words = serializers.CharField()
    source = serializers.CharField()  # type: ignore[assignment]


class RimSerializer(Plain):
    """The rim that a size stands on: diameter at the bead seat, and the kind of seat."""

    diameter_mm = serializers.IntegerField()
    nominal = serializers.CharField()
    bead = serializers.CharField()


class SizeSerializer(Plain):
    """A size as read. What its text does not say is null; nothing is guessed."""

    text = serializers.CharField()
    canonical = serializers.CharField()
    family = serializers.CharField()
    prefix = serializers.CharField(allow_null=True)
    width_mm = serializers.IntegerField(allow_null=True)
    width_in = serializers.FloatField(allow_null=True)
    aspect = serializers.IntegerField(allow_null=True)
    construction = serializers.CharField(allow_null=True)
    possible_constructions = serializers.ListField(child=serializers.CharField())
    speed_in_size = serializers.CharField(allow_null=True)
    rim_in = serializers.FloatField(allow_null=True)
    rim_mm = serializers.IntegerField(allow_null=True)
    bead = serializers.CharField(allow_null=True)
    load_index = serializers.IntegerField(allow_null=True)
    load_index_dual = serializers.IntegerField(allow_null=True)
    speed = serializers.CharField(allow_null=True)
    section_mm = serializers.IntegerField(allow_null=True)
    section_cm = serializers.IntegerField(allow_null=True)
    section_in = serializers.FloatField(allow_null=True)
    overall_mm = serializers.IntegerField(allow_null=True)
    overall_cm = serializers.IntegerField(allow_null=True)
    overall_in = serializers.FloatField(allow_null=True)
    letter = serializers.CharField(allow_null=True)
    suffixes = serializers.ListField(child=serializers.CharField())
    alternatives = serializers.ListField(child=serializers.CharField())
    candidates = serializers.ListField(child=serializers.CharField())
    search_keys = serializers.ListField(child=serializers.CharField())
    rim = RimSerializer()
    load_kg = serializers.FloatField(allow_null=True)
    top_speed = TopSpeedSerializer()
    overall_diameter = DimensionSerializer(allow_null=True)
    section_width = DimensionSerializer(allow_null=True)
    notes = serializers.ListField(child=serializers.CharField())


class DateReadingSerializer(Plain):
    """One reading of a date code: its week by the US rule, and the same with the doubt."""

    canonical = serializers.CharField()
    words = serializers.CharField()
    week = serializers.IntegerField(allow_null=True)
    year = serializers.IntegerField(allow_null=True)
    first_day = serializers.DateField(allow_null=True)
    last_day = serializers.DateField(allow_null=True)
    earliest = serializers.DateField(allow_null=True)
    latest = serializers.DateField(allow_null=True)


class DateCodeSerializer(DateReadingSerializer):
    """A date code as read, every reading that it may have, and its age."""

    text = serializers.CharField()
    form = serializers.CharField()
    has_date = serializers.BooleanField()
    decade_known = serializers.BooleanField()
    plant = serializers.CharField(allow_null=True)
    size_code = serializers.CharField(allow_null=True)
    maker_code = serializers.CharField(allow_null=True)
    age = serializers.CharField(allow_null=True)
    on = serializers.DateField()
    warnings = serializers.ListField(child=serializers.CharField())
    candidates = DateReadingSerializer(many=True)


class SpeedometerSerializer(Plain):
    """What the rule for speedometers says of a change of diameter."""

    rule = serializers.CharField()
    outcome = serializers.CharField()
    words = serializers.CharField()
    source = serializers.CharField()  # type: ignore[assignment]
    over_read_after = serializers.FloatField(allow_null=True)
    over_read_needed = serializers.ListField(child=serializers.FloatField(), allow_null=True)


class ComparisonSerializer(Plain):
    """What changes where the new size stands in place of the old; differences are new less old."""

    old = serializers.CharField()
    new = serializers.CharField()
    old_diameter = DimensionSerializer()
    new_diameter = DimensionSerializer()
    diameter_mm = serializers.FloatField()
    diameter_percent = serializers.FloatField()
    radius_mm = serializers.FloatField()
    old_width = DimensionSerializer(allow_null=True)
    new_width = DimensionSerializer(allow_null=True)
    width_mm = serializers.FloatField(allow_null=True)
    each_side_mm = serializers.FloatField(allow_null=True)
    shown_kmh = serializers.FloatField()
    true_kmh = serializers.FloatField()
    speedometer = SpeedometerSerializer()
    words = serializers.ListField(child=serializers.CharField())
    caution = serializers.CharField()
