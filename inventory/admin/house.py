"""What the house keeps of itself: spreadsheets that were loaded, writes and jobs asked for."""

from __future__ import annotations

from typing import Any

from django.contrib import admin
from django.db.models import QuerySet
from django.http import HttpRequest

from inventory.ground.backoffice.looking import Looked, Part
from inventory.ground.jobs.model import Job, JobFailure, JobFile
from inventory.ground.models import IdempotencyKey, SheetLoad


@admin.register(SheetLoad)
class SheetLoadAdmin(Looked):
    list_display = (
        *("loaded_at", "sheet", "file_name", "rows", "new", "changed", "same", "loaded_by"),
    )
    list_filter = ("sheet",)
    date_hierarchy = "loaded_at"
    search_fields = ("sheet", "file_name", "digest")
    ordering = ("-pk",)
    joined = ("loaded_by",)


@admin.register(IdempotencyKey)
class IdempotencyKeyAdmin(Looked):
    list_display = ("received_at", "actor", "route", "status")
    search_fields = ("key", "route")
    ordering = ("-pk",)
    joined = ("actor",)


class FailurePart(Part):
    model = JobFailure
    fields = ("row", "column", "words")
    joined = ("job",)
    ordering = ("row", "pk")


@admin.register(Job)
class JobAdmin(Looked):
    list_display = (
        *("id", "kind", "slot", "state", "rows_done", "rows_failed", "made_at", "asked_by"),
        "ended_at",
    )
    list_filter = ("state", "kind")
    search_fields = ("kind", "slot")
    ordering = ("-pk",)
    joined = ("asked_by", "cancelled_by")
    inlines = (FailurePart,)


@admin.register(JobFailure)
class JobFailureAdmin(Looked):
    list_display = ("job", "row", "column", "words")
    search_fields = ("job__slot", "words")
    ordering = ("-job", "row", "pk")
    joined = ("job",)


@admin.register(JobFile)
class JobFileAdmin(Looked):
    """Which file a job works on; what is in it stays there."""

    fields = ("job", "name", "digest")
    list_display = ("job", "name", "digest")
    search_fields = ("name", "digest")
    ordering = ("-job",)
    joined = ("job",)

    def get_queryset(self, request: HttpRequest) -> QuerySet[Any]:
        rows: QuerySet[Any] = super().get_queryset(request)
        return rows.defer("content")
