"""The one table of the ground: what was asked for under which key, and what was answered."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models.functions import Now


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
