"""What can be put on the shelf: a tyre as one maker sells it, or what goes with a tyre."""

from __future__ import annotations

from django.contrib.postgres.fields import ArrayField
from django.contrib.postgres.indexes import GinIndex
from django.db import models
from django.db.models import F, Q
from django.db.models.functions import Upper
from simple_history.models import HistoricalRecords

from inventory.ground.fields import Line, Words
from inventory.models.maker import AxleOnly, Compound, Pattern, TyreMaker


class SkuKind(models.TextChoices):
    TYRE = "tyre", "tyre"
    TUBE = "tube", "tube"
    RIM_TAPE = "rim_tape", "rim tape"
    VALVE = "valve", "valve"
    OTHER = "other", "other companion"


class TubeType(models.TextChoices):
    TUBE_TYPE = "tube_type", "tube-type: a tube always"
    TUBELESS = "tubeless", "tubeless, a tube allowed"
    NO_TUBE = "no_tube", "tubeless, a tube refused"
    UNKNOWN = "", "not stated"


class Hand(models.TextChoices):
    NONE = "", "not handed"
    LEFT = "left", "left"
    RIGHT = "right", "right"


class Sidewall(models.TextChoices):
    BLACK = "black", "black"
    WHITE_BAND = "white_band", "white band"
    RED_LINE = "red_line", "red line"
    RAISED_LETTERS = "raised_letters", "raised letters"


class SkuStatus(models.TextChoices):
    ANNOUNCED = "announced", "announced"
    CURRENT = "current", "current"
    LAST_STOCK = "last_stock", "last stock"
    DISCONTINUED = "discontinued", "discontinued"


class SkuQuerySet(models.QuerySet["Sku"]):
    """Filters over the parsed columns; they chain in any order."""

    def tyres(self) -> SkuQuerySet:
        return self.filter(kind=SkuKind.TYRE)

    def of_size(self, keys: frozenset[str] | list[str]) -> SkuQuerySet:
        """The tyres of a size, however it is written: any shared search key will do."""
        return self.filter(size_keys__overlap=sorted(keys))

    def on_rim(self, rim_mm: int, bead: str) -> SkuQuerySet:
        return self.filter(rim_mm=rim_mm, bead=bead)

    def with_names(self) -> SkuQuerySet:
        return self.select_related("maker", "pattern", "compound")


class Sku(models.Model):
    """One thing that is bought and sold under one code.

    The size is kept as typed (``size_text``) and as read: every column from ``size`` to
    ``size_keys`` is written by ``activities.cataloguing`` from ``markings.read_size`` and by
    nothing else, so that what is searched is always a column.
    """

    code = Line("code", max_length=40)
    kind = models.CharField("kind", max_length=8, choices=SkuKind, default=SkuKind.TYRE)
    maker = models.ForeignKey(TyreMaker, on_delete=models.RESTRICT, related_name="skus")
    pattern = models.ForeignKey(
        Pattern, on_delete=models.RESTRICT, null=True, blank=True, related_name="skus"
    )
    compound = models.ForeignKey(
        Compound, on_delete=models.RESTRICT, null=True, blank=True, related_name="skus"
    )
    name = Line("name", blank=True, default="")  # companions have no pattern to be called by

    size_text = Line("size as typed", blank=True, default="")
    size = Line("size as read", blank=True, default="")
    family = Line("form of size", blank=True, default="")
    width_mm = models.PositiveSmallIntegerField(null=True, blank=True)
    aspect = models.PositiveSmallIntegerField(null=True, blank=True)
    construction = Line("construction", blank=True, default="")
    rim_mm = models.PositiveSmallIntegerField("rim diameter, mm", null=True, blank=True)
    bead = Line("bead seat", blank=True, default="")
    overall_mm = models.DecimalField(
        "overall diameter, mm", max_digits=6, decimal_places=1, null=True, blank=True
    )
    overall_basis = Line("where the diameter is from", blank=True, default="")
    section_mm = models.DecimalField(
        "section width, mm", max_digits=5, decimal_places=1, null=True, blank=True
    )
    load_index = models.PositiveSmallIntegerField(null=True, blank=True)
    load_index_dual = models.PositiveSmallIntegerField(null=True, blank=True)
    speed = Line("speed symbol", max_length=4, blank=True, default="")
    speed_in_size = Line("letter inside the size", max_length=4, blank=True, default="")
    top_speed_kmh = models.PositiveSmallIntegerField(null=True, blank=True)
    size_keys = ArrayField(models.CharField(max_length=60), default=list, blank=True)

    stated_overall_mm = models.DecimalField(
        "overall diameter stated by the maker, mm",
        max_digits=6,
        decimal_places=1,
        null=True,
        blank=True,
    )
    rim_width_min_in = models.DecimalField(max_digits=4, decimal_places=2, null=True, blank=True)
    rim_width_max_in = models.DecimalField(max_digits=4, decimal_places=2, null=True, blank=True)
    max_load_kg = models.DecimalField(
        "load stated by the maker, kg", max_digits=6, decimal_places=1, null=True, blank=True
    )
    load_pressure_kpa = models.PositiveSmallIntegerField(
        "pressure at which that load holds, kPa", null=True, blank=True
    )
    maker_top_speed_kmh = models.PositiveSmallIntegerField(
        "top speed stated by the maker, km/h", null=True, blank=True
    )

    mark = Line("approval mark", max_length=20, blank=True, default="")
    mark_issue = Line("mark issue", max_length=20, blank=True, default="")
    tube = models.CharField(
        "tube", max_length=10, choices=TubeType, blank=True, default=TubeType.UNKNOWN
    )
    axle_only = models.CharField(
        "axle", max_length=5, choices=AxleOnly, blank=True, default=AxleOnly.ANY
    )
    hand = models.CharField("hand", max_length=5, choices=Hand, blank=True, default=Hand.NONE)
    ply = models.PositiveSmallIntegerField("ply rating", null=True, blank=True)
    sidewall = models.CharField("sidewall", max_length=14, choices=Sidewall, default=Sidewall.BLACK)
    band_mm = models.PositiveSmallIntegerField("width of the band, mm", null=True, blank=True)
    weight_kg = models.DecimalField(
        "weight, kg", max_digits=6, decimal_places=2, null=True, blank=True
    )
    price = models.DecimalField("price", max_digits=9, decimal_places=2, null=True, blank=True)
    currency = Line("currency", max_length=3, default="GBP")
    status = models.CharField("status", max_length=12, choices=SkuStatus, default=SkuStatus.CURRENT)
    expected_on = models.DateField("expected on", null=True, blank=True)
    note = Words("note", blank=True, default="")

    history = HistoricalRecords(related_name="+")
    objects = SkuQuerySet.as_manager()

    class Meta:
        verbose_name = "SKU"
        verbose_name_plural = "SKUs"
        ordering = ("code",)
        indexes = [
            # candidates_for: the same size however written
            GinIndex(fields=["size_keys"], name="sku_size_keys"),
            # candidates_for: computed equivalents on the same rim, by diameter
            models.Index(fields=["rim_mm", "bead", "overall_mm"], name="sku_rim_overall"),
            # the search box: "which carry this mark?"
            models.Index(Upper("mark"), name="sku_mark", condition=~Q(mark="")),
        ]
        constraints = [
            models.UniqueConstraint(
                Upper("code"),
                name="sku_code_is_one",
                violation_error_message="A SKU of this code is there already.",
            ),
            models.CheckConstraint(
                condition=~Q(kind="tyre")
                | (~Q(size="") & Q(pattern__isnull=False) & Q(rim_mm__isnull=False)),
                name="sku_tyre_has_size_and_pattern",
                violation_error_message="A tyre needs a size that can be read, and a pattern.",
            ),
            models.CheckConstraint(
                condition=Q(price__isnull=True) | Q(price__gte=0),
                name="sku_price_is_not_negative",
                violation_error_message="A price cannot be below nought.",
            ),
            models.CheckConstraint(
                condition=Q(mark_issue="") | ~Q(mark=""),
                name="sku_mark_issue_has_a_mark",
                violation_error_message="A mark issue needs the mark that it is an issue of.",
            ),
            models.CheckConstraint(
                condition=Q(rim_width_min_in__isnull=True, rim_width_max_in__isnull=True)
                | Q(rim_width_min_in__lte=F("rim_width_max_in")),
                name="sku_rim_widths_run_upwards",
                violation_error_message="Give both rim widths, the narrower one first, or neither.",
            ),
            models.CheckConstraint(
                condition=Q(currency__regex=r"^[A-Z]{3}$"),
                name="sku_currency_is_a_code",
                violation_error_message="A currency is three capital letters, such as GBP.",
            ),
            models.CheckConstraint(
                condition=Q(band_mm__isnull=True) | Q(sidewall__in=["white_band", "red_line"]),
                name="sku_band_has_a_width_only_if_banded",
                violation_error_message="Only a banded sidewall has a band width.",
            ),
        ]

    def __str__(self) -> str:
        return self.code


class Gtin(models.Model):
    """A trade item number, 14 figures: for one SKU or several, and a SKU may have several."""

    number = Line("GTIN", max_length=14, unique=True)
    skus = models.ManyToManyField(Sku, related_name="gtins", verbose_name="SKUs")

    class Meta:
        verbose_name = "GTIN"
        verbose_name_plural = "GTINs"
        ordering = ("number",)
        constraints = [
            models.CheckConstraint(
                condition=Q(number__regex=r"^[0-9]{14}$"),
                name="gtin_is_fourteen_figures",
                violation_error_message="A GTIN is kept as 14 figures.",
            ),
        ]

    def __str__(self) -> str:
        return self.number


class TypeApproval(models.Model):
    """A type-approval number moulded on a tyre: the scheme and the number under it."""

    sku = models.ForeignKey(
        Sku,
        on_delete=models.CASCADE,  # a part of the SKU's own description
        related_name="type_approvals",
    )
    scheme = Line("scheme", max_length=20)
    number = Line("number", max_length=40)

    class Meta:
        verbose_name = "type approval"
        verbose_name_plural = "type approvals"
        ordering = ("scheme", "number")
        constraints = [
            models.UniqueConstraint(
                fields=["sku", "scheme", "number"],
                name="type_approval_is_said_once",
                violation_error_message="This type-approval number is on this SKU already.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.scheme} {self.number}"
