"""What is asked at the counter: the car as it stands, its use, and what a set should be."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms

from fitments.lookup.span import Span
from fitments.lookup.spots import AsItStands, TypedWheel, wheel_names
from fitments.models.car import Variant
from fitments.models.organiser import CompetitionClass
from fitments.rules.values import Axle, Market, RimKind, Use
from inventory.ground.fields import one_line
from inventory.ground.idempotency import KeyedForm
from inventory.markings import DateCode
from inventory.sets import HOUSE_TOLERANCE_WEEKS, Prefer
from stockist.counter.fields import DateCodeField, RimField, SpanField
from stockist.counter.sites import FROM_SITE, site_named
from stockist.counter.wishes import AnchorWish, Wishes

USES = ((Use.ROAD, "road"), (Use.TRACK, "track"), (Use.SHOW, "show"))
MARKETS = tuple((one, one.words[0].upper() + one.words[1:]) for one in Market)
TOLERANCES = (
    ("0", "the same week"),
    ("4", "within 4 weeks"),
    ("13", "within 13 weeks"),
    (str(HOUSE_TOLERANCE_WEEKS), f"within {HOUSE_TOLERANCE_WEEKS} weeks"),
    ("52", "within 52 weeks"),
    ("delivery", "one delivery"),
    ("any", "any date"),
)
WANTED = (
    ("", "all round"),
    ("front", "a front pair"),
    ("rear", "a rear pair"),
    ("one-front", "one front"),
    ("one-rear", "one rear"),
)
COUNTS = {"": (2, 2), "front": (2, 0), "rear": (0, 2), "one-front": (1, 0), "one-rear": (0, 1)}
CAR_TOLERANCES = (("", "not asked"), ("26", "within 26 weeks"), ("52", "within 52 weeks"))
RIM_KINDS = (
    (RimKind.UNKNOWN, "not told"),
    (RimKind.DISC, "steel disc"),
    (RimKind.SPOKED, "spoked"),
    (RimKind.ALLOY, "alloy"),
    (RimKind.HUMPLESS, "without safety humps"),
)


class WishForm(forms.Form):
    """What a set should be; every field may be left as it is."""

    wanted = forms.ChoiceField(label="Wanted", choices=WANTED, required=False)
    tolerance = forms.ChoiceField(
        label="Date codes on an axle",
        choices=TOLERANCES,
        required=False,
        initial=str(HOUSE_TOLERANCE_WEEKS),
    )
    car_tolerance = forms.ChoiceField(
        label="Date codes round the car", choices=CAR_TOLERANCES, required=False
    )
    prefer = forms.ChoiceField(
        label="Prefer",
        choices=((Prefer.OLDEST, "oldest first"), (Prefer.NEWEST, "newest first")),
        required=False,
    )
    limit = forms.IntegerField(
        label="No older than, years", min_value=1, max_value=60, required=False
    )
    spare = forms.BooleanField(label="with a spare", required=False)
    anchor_axle = forms.ChoiceField(
        label="One tyre on the car stays",
        choices=(("", "none"), (Axle.FRONT, "front"), (Axle.REAR, "rear")),
        required=False,
    )
    anchor_code = DateCodeField(
        label="its date code", max_length=20, required=False, validators=[one_line]
    )

    from_site = forms.CharField(
        label="From one site alone, by its code",
        max_length=12,
        required=False,
        validators=[one_line],
        widget=forms.HiddenInput,
    )

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today
        code = self.fields["anchor_code"]
        assert isinstance(code, DateCodeField)  # noqa: S101
        code.today = today

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        code: DateCode | None = cleaned.get("anchor_code")
        site = cleaned.get(FROM_SITE)
        if site and site_named(site) is None:
            self.add_error(None, f"No site is called “{site}”: ask of another, or of every site.")
        if bool(cleaned.get("anchor_axle")) != bool(code) and "anchor_code" not in self.errors:
            self.add_error(
                "anchor_code", "Say both: on which axle the tyre is that stays, and its date code."
            )
        if code is not None and code.week_index is None:
            self.add_error(
                "anchor_code",
                "The decade of this code is not known, so nothing can be matched to it.",
            )
        return cleaned

    @property
    def of_set(self) -> list[forms.BoundField]:
        """The fields about the set, for the page."""
        return [self[name] for name in WishForm.base_fields if name != FROM_SITE]

    def wishes(self) -> Wishes:
        """What was wished for, the house's habits where nothing was said."""
        said = self.cleaned_data if self.is_bound else {}
        tolerance = said.get("tolerance") or str(HOUSE_TOLERANCE_WEEKS)
        code: DateCode | None = said.get("anchor_code")
        anchor = None
        if code is not None and code.week_index is not None:
            anchor = AnchorWish(said["anchor_axle"], code.week_index, code.canonical)
        wanted = said.get("wanted") or (f"one-{anchor.axle}" if anchor else "")
        front, rear = COUNTS[wanted]
        return Wishes(
            front=front,
            rear=rear,
            tolerance_weeks=int(tolerance) if tolerance.isdecimal() else None,
            same_delivery=tolerance == "delivery",
            car_tolerance_weeks=int(said["car_tolerance"]) if said.get("car_tolerance") else None,
            prefer=Prefer(said.get("prefer") or Prefer.OLDEST),
            limit_years=said.get("limit"),
            spare=bool(said.get("spare")),
            anchor=anchor,
            from_site=said.get(FROM_SITE) or "",
        )


class UseForm(WishForm):
    """When the car was built, what it is used for and where, and what a set should be."""

    built = SpanField(label="Built", max_length=60, required=False)
    use = forms.ChoiceField(label="Use", choices=USES, required=False)
    market = forms.ChoiceField(label="Market", choices=MARKETS, required=False)
    competition_class = forms.ModelChoiceField(
        label="Class", queryset=CompetitionClass.objects.none(), required=False, empty_label="none"
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        classes = self.fields["competition_class"]
        assert isinstance(classes, forms.ModelChoiceField)  # noqa: S101
        classes.queryset = CompetitionClass.objects.select_related("organiser").order_by(
            "-season", "organiser__name", "name", "edition"
        )
        classes.to_field_name = "code"

    def limit_months(self) -> int | None:
        """The oldest that the customer wants a tyre to be."""
        limit = self.cleaned_data.get("limit") if self.is_bound else None
        return limit * 12 if limit else None


class CarForm(UseForm):
    """A listed car as it stands in front of you, the use, and what a set should be."""

    wheel = forms.ChoiceField(label="Wheel", required=False)
    front_rim = RimField(label="Front rim, if another", max_length=30, required=False)
    front_width = forms.DecimalField(
        label="width, in", min_value=1, max_value=20, decimal_places=2, required=False
    )
    rear_rim = RimField(label="Rear rim, if another", max_length=30, required=False)
    rear_width = forms.DecimalField(
        label="width, in", min_value=1, max_value=20, decimal_places=2, required=False
    )
    rim_kind = forms.ChoiceField(label="Rim", choices=RIM_KINDS, required=False)
    tubed = forms.NullBooleanField(label="Tubed", required=False)

    def __init__(self, *args: Any, variant: Variant, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.variant = variant
        names = wheel_names(variant)
        wheel = self.fields["wheel"]
        assert isinstance(wheel, forms.ChoiceField)  # noqa: S101
        wheel.choices = [("", "as listed"), *((name, name) for name in names)]

    @property
    def of_car(self) -> list[forms.BoundField]:
        """The fields about the car and its use, for the page."""
        return [self[name] for name in ("built", "use", "market", "competition_class", "wheel")]

    @property
    def of_wheels(self) -> list[forms.BoundField]:
        """The fields for wheels that were measured, for the page."""
        names = ("front_rim", "front_width", "rear_rim", "rear_width", "rim_kind", "tubed")
        return [self[name] for name in names]

    def built_span(self) -> Span:
        """The time asked for; the variant's whole time where none was said."""
        said = self.cleaned_data.get("built") if self.is_bound else None
        if isinstance(said, Span):
            return said
        first = self.variant.built_from or date(1880, 1, 1)
        return Span(first, self.variant.built_to or max(first, self.today))

    def as_it_stands(self, house_limit_months: int) -> AsItStands:
        """The wheels of the list, or the typed ones on each axle that has them; and the limits."""
        said = self.cleaned_data if self.is_bound else {}
        typed = {}
        for axle in Axle:
            rim = said.get(f"{axle}_rim")
            if rim is not None:
                typed[axle] = TypedWheel(
                    rim_mm=rim[0],
                    bead=rim[1],
                    width_in=said.get(f"{axle}_width"),
                    rim_kind=RimKind(said.get("rim_kind") or ""),
                    tubed=said.get("tubed"),
                )
        return AsItStands(
            wheel=said.get("wheel") or "",
            typed=typed,
            customer_limit_months=self.limit_months(),
            house_limit_months=house_limit_months,
        )


class EnquiryForm(KeyedForm):
    """A question that could not be met, to be counted as demand."""

    sku = forms.CharField(max_length=40, required=False, validators=[one_line])
    size = forms.CharField(max_length=60, required=False, validators=[one_line])
    pieces = forms.IntegerField(label="Tyres asked for", min_value=1, max_value=100, initial=4)
    car = forms.CharField(max_length=120, required=False, validators=[one_line])
