"""Marks of car makers, results of tests, and the versions that the database keeps."""

from __future__ import annotations

from django.contrib import admin

from fitments.activities import marks, results
from fitments.admin.approvals import InWords
from fitments.models.car import Variant
from fitments.models.evidence import EvidenceVersion
from fitments.models.mark import IssuerMark, IssuerMarkVersion
from fitments.models.organiser import CompetitionClassVersion
from fitments.models.test_report import TestResult, TestResultVersion
from inventory.ground.backoffice.entering import Kept
from inventory.ground.backoffice.looking import Looked


@admin.register(IssuerMark)
class IssuerMarkAdmin(Kept):
    fields = (
        *("car_maker", "mark", "mixing", "old_stock", "evidence", "why"),
        *("written_at", "written_by"),
    )
    readonly_fields = ("written_at", "written_by")
    list_display = ("mark", "car_maker", "mixing", "evidence", "written_by")
    list_filter = ("mixing",)
    search_fields = ("mark", "car_maker__name")
    autocomplete_fields = ("car_maker", "evidence")
    ordering = ("car_maker__name", "mark", "pk")
    joined = ("car_maker", "evidence", "written_by")
    make = staticmethod(marks.make_mark)
    change = staticmethod(marks.change_mark)
    called = "issuer_mark"


@admin.register(TestResult)
class TestResultAdmin(Kept):
    fields = (
        *("evidence", "sku", "discipline", "result", "unit", "rank", "out_of", "note"),
        *("withdrawn", "why", "written_at", "written_by"),
    )
    readonly_fields = ("written_at", "written_by")
    list_display = ("sku", "discipline", "result", "unit", "rank", "out_of", "evidence")
    list_filter = ("withdrawn",)
    search_fields = ("sku__code", "discipline", "evidence__code", "evidence__issuer")
    autocomplete_fields = ("evidence", "sku")
    ordering = ("sku__code", "discipline", "pk")
    joined = ("sku", "evidence", "written_by")
    make = staticmethod(results.record_result)
    change = staticmethod(results.change_result)
    called = "test_result"


@admin.register(EvidenceVersion)
class EvidenceVersionAdmin(InWords, Looked):
    fields = (
        *("evidence", "as_known", "kind", "reference", "issuer", "dated", "says", "model_ranges"),
        *("sizes", "marks", "axles", "says_from", "says_to", "digest", "file_name"),
        *("checked_at", "checked_by", "due_on", "why", "written_at", "written_by"),
    )
    readonly_fields = ("as_known",)
    list_display = ("evidence", "as_known", "kind", "checked_by", "written_by")
    list_filter = ("kind",)
    search_fields = ("evidence__code", "reference", "issuer")
    ordering = ("-pk",)
    joined = ("evidence", "checked_by", "written_by")


@admin.register(IssuerMarkVersion)
class IssuerMarkVersionAdmin(InWords, Looked):
    fields = (
        *("issuer_mark", "as_known", "mixing", "old_stock", "evidence", "why"),
        *("written_at", "written_by"),
    )
    readonly_fields = ("as_known",)
    list_display = ("issuer_mark", "as_known", "mixing", "written_by")
    search_fields = ("issuer_mark__mark", "issuer_mark__car_maker__name")
    ordering = ("-pk",)
    joined = ("issuer_mark__car_maker", "evidence", "written_by")


@admin.register(TestResultVersion)
class TestResultVersionAdmin(InWords, Looked):
    fields = (
        *("test_result", "as_known", "result", "unit", "rank", "out_of", "note", "withdrawn"),
        *("why", "written_at", "written_by"),
    )
    readonly_fields = ("as_known",)
    list_display = ("test_result", "as_known", "result", "unit", "rank", "withdrawn", "written_by")
    search_fields = ("test_result__discipline", "test_result__sku__code")
    ordering = ("-pk",)
    joined = ("test_result__sku", "written_by")


@admin.register(CompetitionClassVersion)
class CompetitionClassVersionAdmin(InWords, Looked):
    fields = (
        *("competition_class", "as_known", "name", "age_limit_months", "buffing_allowed"),
        "cars_then",
    )
    readonly_fields = ("as_known", "cars_then")
    list_display = ("competition_class", "as_known", "name", "age_limit_months", "buffing_allowed")
    search_fields = ("competition_class__code", "name")
    ordering = ("-pk",)
    joined = ("competition_class__organiser",)

    @admin.display(description="cars admitted then")
    def cars_then(self, version: CompetitionClassVersion) -> str:
        """Their codes; a car that is not listed any more is left out."""
        rows = Variant.objects.filter(pk__in=version.admitted).order_by("code")
        return ", ".join(rows.values_list("code", flat=True)) or "none on record"
