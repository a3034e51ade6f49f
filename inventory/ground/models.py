"""The tables of the ground: what was asked for under which key, loaded spreadsheets, and jobs."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models.functions import Now

from inventory.ground.jobs.model import Job, JobFailure, JobFile

__all__ = ["IdempotencyKey", "Job", "JobFailure", "JobFile", "SheetLoad"]


class IdempotencyKey(models.Model):
    """One write that somebody asked for, so that asking again cannot do it twice.

    `body` is the digest of what was sent; `answer` and `location` are what was answered.
    """

    actor = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        on_delete=models.CASCADE,  # a key means nothing without who sent it
        related_name="+",
    )
    key = models.CharField("key", max_length=64)
    route = models.CharField("asked for", max_length=400)
    body = models.CharField("digest of what was sent", max_length=64)
    status = models.PositiveSmallIntegerField("answered with", null=True)
    answer = models.TextField("answer", blank=True, default="")
    location = models.CharField("leading to", max_length=400, blank=True, default="")
    received_at = models.DateTimeField("received at", db_default=Now())

    class Meta:
        verbose_name = "idempotency key"
        verbose_name_plural = "idempotency keys"
        ordering = ("-pk",)
        indexes = [
            # "which are old enough to be forgotten?"
            models.Index(fields=["received_at"], name="idempotency_key_received"),
        ]
        constraints = [
            models.UniqueConstraint(
                fields=["actor", "key"],
                name="idempotency_key_once_per_actor",
                violation_error_message="This key was used already.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.route} ({self.key})"


class SheetLoad(models.Model):
    """One spreadsheet that was loaded: which file, by its digest, into which sheet, and what came.

    ``once`` is set where the same file must not be loaded a second time.
    """

    sheet = models.CharField("sheet", max_length=40)
    digest = models.CharField("digest of the file", max_length=64)
    once = models.BooleanField("only once", default=False)
    file_name = models.CharField("file", max_length=200, blank=True, default="")
    rows = models.PositiveIntegerField("rows", default=0)
    new = models.PositiveIntegerField("new", default=0)
    changed = models.PositiveIntegerField("changed", default=0)
    same = models.PositiveIntegerField("as before", default=0)
    loaded_at = models.DateTimeField("loaded at")
    loaded_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, related_name="+"
    )

    class Meta:
        verbose_name = "loaded spreadsheet"
        verbose_name_plural = "loaded spreadsheets"
        ordering = ("-pk",)
        constraints = [
            models.UniqueConstraint(
                fields=["sheet", "digest"],
                condition=models.Q(once=True),
                name="sheet_load_is_once_per_file",
                violation_error_message="This file was loaded already.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.sheet} ({self.loaded_at:%Y-%m-%d})"
