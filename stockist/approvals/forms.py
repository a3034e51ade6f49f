"""What is asked of the register, and what is said of approvals and documents."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib.postgres.forms import SimpleArrayField
from django.db.models import Q, QuerySet

from fitments.lookup.coverage import Gap
from fitments.models.approval import Approval, ApprovalVersion
from fitments.models.car import VehicleLine
from fitments.models.evidence import Evidence, EvidenceKind
from inventory.ground.fields import one_line, some_words
from inventory.ground.idempotency import KeyedForm
from inventory.models.customer import Axle
from inventory.models.sku import Sku
from stockist.inputs import day_input

ISSUERS = (("", "any"), ("maker", "car makers"), ("organiser", "organisers' lists"))
CHECKED = (("", "any"), ("no", "not checked"), ("yes", "checked"), ("due", "due again"))
ORDERS = (("approval__code", "code"), ("-pk", "newest first"))


def why_field() -> forms.CharField:
    """The reason, for whoever reads it in ten years."""
    return forms.CharField(
        label="Why", max_length=500, validators=[some_words], widget=forms.Textarea({"rows": 2})
    )


class RegisterForm(forms.Form):
    """Which approvals, as known on one day, in force on another."""

    q = forms.CharField(label="Code, mark, size, pattern or car", max_length=80, required=False)
    issuer = forms.ChoiceField(label="By", choices=ISSUERS, required=False)
    known_on = forms.DateField(
        label="As known on", required=False, widget=day_input(), help_text="Empty: as known now."
    )
    in_force_on = forms.DateField(
        label="In force on", required=False, widget=day_input(), help_text="Empty: any day."
    )
    order = forms.ChoiceField(label="In order of", choices=ORDERS, required=False)

    def narrowed(self, rows: QuerySet[ApprovalVersion]) -> QuerySet[ApprovalVersion]:
        """The rows that are asked for, in their order."""
        said = self.cleaned_data
        if said["issuer"]:
            rows = rows.filter(approval__car_maker__isnull=said["issuer"] == "organiser")
        for word in said["q"].split():
            found = Q()
            for name in (
                *("code", "mark", "size", "size_text", "pattern__name", "vehicle_line__name"),
                *("car_maker__name", "competition_class__name", "competition_class__code"),
            ):
                found |= Q(**{f"approval__{name}__icontains": word})
            rows = rows.filter(found)
        order = said["order"] or ORDERS[0][0]
        return rows.order_by(order) if order == "-pk" else rows.order_by(order, "pk")


class EvidenceListForm(forms.Form):
    """Which documents are listed."""

    q = forms.CharField(label="Code, reference or issuer", max_length=80, required=False)
    kind = forms.ChoiceField(
        label="Kind", choices=[("", "any"), *EvidenceKind.choices], required=False
    )
    checked = forms.ChoiceField(label="Checked", choices=CHECKED, required=False)


class GapForm(forms.Form):
    """Which kind of gap is listed."""

    gap = forms.ChoiceField(
        label="What is missing", choices=[("", "anything"), *((g.value, g.words) for g in Gap)],
        required=False,
    )  # fmt: skip


class WithdrawForm(KeyedForm):
    """As of which day, and why."""

    on = forms.DateField(
        label="Withdrawn as of", required=False, widget=day_input(), help_text="Empty: today."
    )
    why = why_field()


class SupersedeForm(KeyedForm):
    """Which approval takes its place, from which day on, and why."""

    successor = forms.ModelChoiceField(
        label="Code of the approval that takes its place",
        queryset=Approval.objects.order_by("code"),
        to_field_name="code",
        widget=forms.TextInput,
    )
    first_day = forms.DateField(
        label="From", required=False, widget=day_input(), help_text="Empty: today."
    )
    why = why_field()


class CheckForm(KeyedForm):
    """That somebody has looked at the document itself."""

    seen = forms.IntegerField(widget=forms.HiddenInput)
    due_on = forms.DateField(label="Look at it again on", required=False, widget=day_input())


class EvidenceForm(KeyedForm):
    """What is said of a document. The file comes last: what is too large arrives after the rest."""

    code = forms.CharField(label="Code", max_length=40, validators=[one_line])
    kind = forms.ChoiceField(label="Kind", choices=EvidenceKind.choices)
    reference = forms.CharField(label="Reference", max_length=120, validators=[one_line])
    issuer = forms.CharField(label="Issued by", max_length=120, validators=[one_line])
    dated = forms.DateField(label="Dated", required=False, widget=day_input())
    says = forms.CharField(
        label="What it says", max_length=4000, required=False, validators=[some_words],
        widget=forms.Textarea({"rows": 3}),
    )  # fmt: skip
    model_ranges = forms.ModelMultipleChoiceField(
        label="Model ranges that it names",
        queryset=VehicleLine.objects.select_related("maker").order_by("maker__name", "name"),
        to_field_name="code",
        required=False,
    )
    sizes = SimpleArrayField(forms.CharField(max_length=60), label="Sizes, parted by ;",
                             delimiter=";", required=False)  # fmt: skip
    marks = SimpleArrayField(forms.CharField(max_length=40), label="Marks, parted by ;",
                             delimiter=";", required=False)  # fmt: skip
    axles = forms.MultipleChoiceField(
        label="Axles", choices=Axle.choices, required=False, widget=forms.CheckboxSelectMultiple
    )
    says_from = forms.DateField(label="In force from", required=False, widget=day_input())
    says_to = forms.DateField(label="To, inclusive", required=False, widget=day_input())
    file = forms.FileField(
        label="File (PDF, JPEG or PNG, up to 20 MB)",
        required=False,
        widget=forms.FileInput({"accept": "application/pdf,image/jpeg,image/png"}),
        help_text="A picture is kept without the place where it was taken.",
    )

    def values(self) -> dict[str, Any]:
        """As the activity takes them."""
        said = {n: v for n, v in self.cleaned_data.items() if n not in ("idempotency_key", "file")}
        said["model_ranges"] = [line.code for line in said["model_ranges"]]
        said["sizes"] = [size.strip() for size in said["sizes"]]
        said["marks"] = [mark.strip() for mark in said["marks"]]
        return said


class CorrectEvidenceForm(EvidenceForm):
    """What is said instead, and why; what was said before is kept."""

    code = None  # type: ignore[assignment]  # a document is known by it for good
    seen = forms.IntegerField(widget=forms.HiddenInput)
    why = why_field()

    @classmethod
    def of(cls, paper: Evidence, seen: int) -> CorrectEvidenceForm:
        """Filled with what is known of a document now."""
        names = [name for name in cls.base_fields if hasattr(paper, name) and name != "why"]
        return cls(initial={name: getattr(paper, name) for name in names} | {"seen": seen})


class ResultForm(KeyedForm):
    """What an independent test found of a tyre, in one discipline."""

    sku = forms.ModelChoiceField(
        label="Code of the SKU", queryset=Sku.objects.order_by("code"), to_field_name="code",
        widget=forms.TextInput,
    )  # fmt: skip
    discipline = forms.CharField(
        label="Discipline", max_length=80, validators=[one_line],
        help_text="Such as braking from 100 km/h, wet.",
    )  # fmt: skip
    result = forms.DecimalField(label="Result", max_digits=10, decimal_places=3, required=False)
    unit = forms.CharField(label="Unit", max_length=20, required=False)
    rank = forms.IntegerField(label="Rank", min_value=1, max_value=1000, required=False)
    out_of = forms.IntegerField(label="Of so many", min_value=1, max_value=1000, required=False)
    note = forms.CharField(label="Note", max_length=240, required=False)
