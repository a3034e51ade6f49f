"""Approvals, their versions and their evidence in the back office.

What is said of an approval is shown and never edited: a new approval is entered here; a correction,
a successor or a withdrawal is a version of its own, over the API or by the sheet of approvals.
"""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from django import forms
from django.contrib import admin, messages
from django.db.models import Model, QuerySet
from django.http import HttpRequest
from django.utils import timezone

from fitments.activities import approvals, evidence
from fitments.activities.versions import Said
from fitments.models.approval import Approval, ApprovalVersion
from fitments.models.evidence import Evidence
from inventory.ground.backoffice.entering import EnteredForm, Kept
from inventory.ground.backoffice.looking import Looked, Part
from inventory.ground.refusal import Refusal

CLAIM = (
    *("code", "car_maker", "vehicle_line", "competition_class", "axle", "size_text"),
    *("pattern", "compound", "mark", "mark_issue", "by_list"),
)
SAID = ("valid_from", "valid_to", "least_load_index", "buffing_allowed", "conditions")
_DAY = timedelta(days=1)
BUFFING = (("", "not said"), ("yes", "yes"), ("no", "no"))
JOINED = (
    *("car_maker", "vehicle_line__maker", "competition_class__organiser"),
    *("pattern__maker", "compound__maker"),
)


class ApprovalForm(EnteredForm):
    """A new approval with what is said of it first; its evidence by codes."""

    valid_from = forms.DateField(required=False, label="in force from")
    valid_to = forms.DateField(required=False, label="in force to, inclusive")
    least_load_index = forms.IntegerField(required=False, min_value=0, max_value=300)
    buffing_allowed = forms.TypedChoiceField(
        choices=BUFFING, coerce={"yes": True, "no": False}.get, empty_value=None, required=False
    )
    conditions = forms.CharField(required=False, max_length=4000, widget=forms.Textarea)
    evidence = forms.ModelMultipleChoiceField(Evidence.objects.order_by("code"), required=False)

    def values(self) -> dict[str, Any]:
        claim = {name: self.cleaned_data[name] for name in CLAIM}
        said = {name: self.cleaned_data[name] for name in SAID}
        basis = frozenset(self.cleaned_data["evidence"])
        return {**claim, "said": Said(**said, evidence=basis)}


class InWords(admin.options.BaseModelAdmin):  # type: ignore[type-arg]
    """Periods as people say them: the last day inclusive."""

    @admin.display(description="in force", ordering="valid")
    def in_force(self, version: ApprovalVersion) -> str:
        """The days that a version is about."""
        first, end = version.valid.lower, version.valid.upper
        last = end - _DAY if end else None
        return " ".join(
            f"{word} {day.isoformat()}" for word, day in (("from", first), ("to", last)) if day
        )

    @admin.display(description="as known", ordering="known")
    def as_known(self, version: ApprovalVersion) -> str:
        """From when to when this was what was known."""
        ends = (("from", version.known.lower), ("to", version.known.upper))
        told = ((word, timezone.localtime(moment)) for word, moment in ends if moment)
        return " ".join(f"{word} {moment:%Y-%m-%d %H:%M}" for word, moment in told)


class VersionPart(InWords, Part):
    model = ApprovalVersion
    fk_name = "approval"
    fields = (
        *("in_force", "as_known", "withdrawn_on", "superseded_by", "least_load_index"),
        *("buffing_allowed", "conditions", "rests_on", "why", "recorded_by"),
    )
    readonly_fields = ("in_force", "as_known", "rests_on")
    joined = ("approval", "superseded_by", "recorded_by")
    ordering = ("pk",)

    def get_queryset(self, request: HttpRequest) -> QuerySet[Any]:
        return super().get_queryset(request).prefetch_related("evidence")

    @admin.display(description="evidence")
    def rests_on(self, version: ApprovalVersion) -> str:
        """The documents by their codes."""
        return ", ".join(one.code for one in version.evidence.all())


@admin.register(Approval)
class ApprovalAdmin(Kept):
    form = ApprovalForm
    list_display = (
        *("code", "issuer", "axle", "size", "pattern", "compound", "mark", "mark_issue"),
        "by_list",
    )
    list_filter = ("axle", "by_list", "car_maker")
    search_fields = ("code", "mark", "size", "size_text", "vehicle_line__name")
    autocomplete_fields = (
        *("car_maker", "vehicle_line", "competition_class", "pattern", "compound"),
    )
    ordering = ("code",)
    joined = JOINED
    make = staticmethod(approvals.record)

    def get_fields(self, request: HttpRequest, obj: Model | None = None) -> Any:
        return (*CLAIM, "size") if obj else (*CLAIM, *SAID, "evidence")

    def get_inlines(self, request: HttpRequest, obj: Model | None) -> Any:
        return (VersionPart,) if obj else ()

    def has_change_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        return False

    def has_delete_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        return False

    @admin.display(description="by")
    def issuer(self, approval: Approval) -> str:
        """The car maker with the model range, or the organiser with the class."""
        return str(approval.vehicle_line or approval.competition_class)


@admin.register(ApprovalVersion)
class ApprovalVersionAdmin(InWords, Looked):
    fields = (
        *("approval", "in_force", "as_known", "withdrawn_on", "superseded_by"),
        *("least_load_index", "buffing_allowed", "conditions", "evidence", "why", "recorded_by"),
    )
    readonly_fields = ("in_force", "as_known")
    list_display = (
        *("approval", "in_force", "as_known", "withdrawn_on", "superseded_by", "recorded_by"),
    )
    list_filter = (
        ("withdrawn_on", admin.EmptyFieldListFilter),
        ("superseded_by", admin.EmptyFieldListFilter),
    )
    search_fields = ("approval__code", "approval__mark", "why")
    ordering = ("-pk",)
    joined = ("approval", "superseded_by", "recorded_by")


@admin.action(
    description="I have looked at the chosen documents: they say what is written",
    permissions=["change"],
)
def looked_at(back: Any, request: HttpRequest, rows: QuerySet[Evidence]) -> None:
    """Check each of the chosen documents, and tell which could not be."""
    at, by = timezone.now(), request.user
    done = 0
    for one in rows.order_by("code"):
        try:
            evidence.check(evidence=one, due_on=one.due_on, by=by, at=at)  # type: ignore[arg-type]
            done += 1
        except Refusal as refusal:
            back.message_user(request, f"{one.code}: {refusal.sentence}", messages.ERROR)
    back.message_user(request, f"Checked: {done}.", messages.SUCCESS)


@admin.register(Evidence)
class EvidenceAdmin(Kept):
    fields = (
        *("code", "kind", "reference", "issuer", "dated", "says", "model_ranges", "sizes"),
        *("marks", "axles", "says_from", "says_to", "digest", "file_name", "due_on", "why"),
        *("recorded_at", "recorded_by", "written_at", "written_by", "checked_at", "checked_by"),
    )
    readonly_fields = (
        *("recorded_at", "recorded_by", "written_at", "written_by", "checked_at", "checked_by"),
        "file_name",
    )
    list_display = ("code", "kind", "reference", "issuer", "dated", "checked_by", "due_on")
    list_filter = ("kind", ("checked_at", admin.EmptyFieldListFilter))
    search_fields = ("code", "reference", "issuer", "says")
    ordering = ("code",)
    joined = ("recorded_by", "written_by", "checked_by")
    actions = (*Kept.actions, looked_at)
    make = staticmethod(evidence.record)
    change = staticmethod(evidence.change)
    called = "evidence"
