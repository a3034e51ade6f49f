"""Forms that say something of an approval or a mark: what it is about, since when, on what."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django import forms

from fitments.activities.versions import Said
from fitments.lookup.issues import NewIssue
from fitments.models.approval import Approval
from fitments.models.car import CarMaker, VehicleLine
from fitments.models.evidence import Evidence
from fitments.models.mark import IssuerMark, Mixing
from fitments.models.organiser import CompetitionClass
from inventory.ground.fields import one_line, some_words
from inventory.ground.idempotency import KeyedForm
from inventory.markings import UnreadableMarking, read_size, search_keys
from inventory.models.customer import Axle
from inventory.models.maker import Compound, Pattern
from stockist.approvals.forms import why_field
from stockist.inputs import day_input

AXLES = (*Axle.choices, ("both", "both: two approvals, their codes ending in -F and -R"))
BUFFING = (("", "not said"), ("yes", "allowed"), ("no", "not allowed"))


def buffing_field() -> forms.TypedChoiceField:
    """Allowed, not allowed, not said."""
    return forms.TypedChoiceField(
        label="Buffing", choices=BUFFING, coerce={"yes": True, "no": False}.get, empty_value=None,
        required=False,
    )  # fmt: skip


class PapersField(forms.CharField):
    """Documents by their codes, parted by ; and found whatever their capitals."""

    def __init__(self, help_text: str = "Codes of documents, parted by ;") -> None:
        super().__init__(label="Rests on", help_text=help_text, max_length=1000, required=False)

    def prepare_value(self, value: Any) -> Any:
        """The codes of documents that are given as such."""
        if value is None or isinstance(value, str):
            return value
        return "; ".join(sorted(paper.code for paper in value))

    def clean(self, value: Any) -> frozenset[Evidence]:
        codes = [code.strip() for code in super().clean(value).split(";") if code.strip()]
        found = {code: Evidence.objects.filter(code__iexact=code).first() for code in codes}
        missing = [code for code, paper in found.items() if paper is None]
        if missing:
            raise forms.ValidationError(
                f"There is no document {', '.join(missing)}: record it first, or correct its code."
            )
        return frozenset(paper for paper in found.values() if paper is not None)


class SaidForm(KeyedForm):
    """What is said of an approval; both days are inclusive."""

    valid_from = forms.DateField(
        label="In force from", required=False, widget=day_input(),
        help_text="Empty: since ever.",
    )  # fmt: skip
    valid_to = forms.DateField(
        label="To, inclusive", required=False, widget=day_input(),
        help_text="Empty: until something else is said.",
    )  # fmt: skip
    least_load_index = forms.IntegerField(
        label="Least load index", min_value=0, max_value=300, required=False
    )
    buffing_allowed = buffing_field()
    conditions = forms.CharField(
        label="On condition", max_length=4000, required=False, widget=forms.Textarea({"rows": 2})
    )
    evidence = PapersField()

    def said(self) -> dict[str, Any]:
        """The fields of `Said` that the form has."""
        names = Said.__dataclass_fields__
        return {name: one for name, one in self.cleaned_data.items() if name in names}


class PeriodForm(SaidForm):
    """Another time at which it is, or was, in force."""

    why = why_field()


class CorrectForm(SaidForm):
    """What is said instead of one version; what was said before is kept."""

    withdrawn_on = forms.DateField(
        label="Withdrawn as of", required=False, widget=day_input(), help_text="Empty: it is not."
    )
    superseded_by = forms.ModelChoiceField(
        label="Superseded by", help_text="The code of the approval that took its place.",
        queryset=Approval.objects.order_by("code"), to_field_name="code", required=False,
        widget=forms.TextInput,
    )  # fmt: skip
    why = why_field()

    @classmethod
    def of(cls, said: Said) -> CorrectForm:
        """Filled with what is said now."""
        told: dict[str, Any] = {name: getattr(said, name) for name in Said.__dataclass_fields__}
        told["buffing_allowed"] = {True: "yes", False: "no", None: ""}[said.buffing_allowed]
        told["superseded_by"] = said.superseded_by.code if said.superseded_by else ""
        return cls(initial=told)


class ClaimForm(SaidForm):
    """A new approval: whose, of which tyre, and what is said of it."""

    code = forms.CharField(label="Code", max_length=58, validators=[one_line])
    vehicle_line = forms.ModelChoiceField(
        label="Model range",
        required=False,
        empty_label="none: a class",
        queryset=VehicleLine.objects.select_related("maker").order_by("maker__name", "name"),
    )
    competition_class = forms.ModelChoiceField(
        label="Or class of a list",
        required=False,
        empty_label="none: a range",
        queryset=CompetitionClass.objects.select_related("organiser"),
    )
    axle = forms.ChoiceField(label="Axle", choices=AXLES)
    size_text = forms.CharField(
        label="Size", max_length=60, required=False, help_text="Empty: any size."
    )
    pattern = forms.ModelChoiceField(
        label="Pattern", required=False, empty_label="any",
        queryset=Pattern.objects.select_related("maker").order_by("maker__name", "name"),
    )  # fmt: skip
    compound = forms.ModelChoiceField(
        label="Compound", required=False, empty_label="any",
        queryset=Compound.objects.select_related("maker").order_by("maker__name", "code"),
    )  # fmt: skip
    mark = forms.CharField(label="Mark", max_length=20, required=False)
    mark_issue = forms.CharField(label="Issue of the mark", max_length=20, required=False)
    by_list = forms.BooleanField(label="By list, without a mark", required=False)
    why = why_field()
    field_order = (
        *("code", "vehicle_line", "competition_class", "axle", "size_text", "pattern", "compound"),
        *("mark", "mark_issue", "by_list"),
    )

    def values(self) -> dict[str, Any]:
        """As the activity takes them."""
        said = self.said()
        left_out = {*said, "idempotency_key", "axle"}
        claim = {name: one for name, one in self.cleaned_data.items() if name not in left_out}
        line: VehicleLine | None = claim["vehicle_line"]
        axle = self.cleaned_data["axle"]
        return {
            **claim,
            "car_maker": line.maker if line else None,
            "axles": [one.value for one in Axle] if axle == "both" else [axle],
            "said": Said(**said),
        }


class NewIssueForm(KeyedForm):
    """A later issue of a maker's mark, from a day on."""

    car_maker = forms.ModelChoiceField(
        label="Car maker", queryset=CarMaker.objects.order_by("name")
    )
    mark = forms.CharField(label="Mark", max_length=20)
    old_issue = forms.CharField(
        label="Issue up to now", max_length=20, required=False, help_text="Empty: without an issue."
    )
    new_issue = forms.CharField(label="New issue", max_length=20, validators=[one_line])
    first_day = forms.DateField(label="From", widget=day_input())
    vehicle_line = forms.ModelChoiceField(
        label="Model range", required=False, empty_label="all of them",
        queryset=VehicleLine.objects.select_related("maker").order_by("maker__name", "name"),
    )  # fmt: skip
    pattern = forms.ModelChoiceField(
        label="Pattern", required=False, empty_label="all of them",
        queryset=Pattern.objects.select_related("maker").order_by("maker__name", "name"),
    )  # fmt: skip
    size = forms.CharField(label="Size", max_length=60, required=False, help_text="Empty: all.")
    evidence = PapersField()
    why = why_field()

    def clean_size(self) -> tuple[str, ...]:
        """The keys by which a size is found, however it is written."""
        text = self.cleaned_data["size"]
        try:
            return tuple(sorted(search_keys(read_size(text)))) if text else ()
        except UnreadableMarking as error:
            raise forms.ValidationError(str(error)) from error

    def asked(self) -> NewIssue:
        """As the activity takes it."""
        told = dict(self.cleaned_data)
        for name in ("evidence", "why", "idempotency_key"):
            told.pop(name)
        return NewIssue(size_keys=told.pop("size"), **told)


class MarkForm(KeyedForm):
    """What a car maker says of its mark."""

    car_maker = forms.ModelChoiceField(
        label="Car maker", queryset=CarMaker.objects.order_by("name")
    )
    mark = forms.CharField(label="Mark", max_length=20, validators=[one_line])
    mixing = forms.ChoiceField(
        label="Issues on one car", required=False, choices=[("", "not on record"), *Mixing.choices]
    )
    old_stock = forms.CharField(
        label="Words for old stock", max_length=500, required=False, validators=[some_words],
        widget=forms.Textarea({"rows": 2}),
        help_text="Told at the counter with tyres of an issue that was superseded.",
    )  # fmt: skip
    evidence = PapersField("The code of one document")
    why = why_field()

    def clean_evidence(self) -> Evidence | None:
        """One document, or none."""
        papers: Iterable[Evidence] = self.cleaned_data["evidence"]
        found = list(papers)
        if len(found) > 1:
            raise forms.ValidationError("What is said of a mark rests on one document.")
        return found[0] if found else None

    def values(self) -> dict[str, Any]:
        """As the activity takes them."""
        return {n: one for n, one in self.cleaned_data.items() if n != "idempotency_key"}


class ChangeMarkForm(MarkForm):
    """What a car maker says of its mark from now on; what it said before is kept."""

    car_maker = None  # type: ignore[assignment]  # what the mark is never changes
    mark = None  # type: ignore[assignment]
    seen = forms.IntegerField(widget=forms.HiddenInput)

    @classmethod
    def of(cls, mark: IssuerMark, seen: int) -> ChangeMarkForm:
        """Filled with what is said now."""
        papers = [mark.evidence] if mark.evidence else []
        told = {"mixing": mark.mixing, "old_stock": mark.old_stock, "evidence": papers}
        return cls(initial={**told, "seen": seen})
