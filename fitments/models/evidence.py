"""What an approval rests on: a letter, a bulletin, a page, a photograph of a sidewall."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q

from inventory.ground.fields import Line, Words


class EvidenceKind(models.TextChoices):
    LETTER = "letter", "letter"
    BULLETIN = "bulletin", "bulletin"
    HOMOLOGATION = "homologation", "homologation paper"
    HANDBOOK = "handbook", "handbook page"
    LIST = "list", "organiser's list"
    PHOTOGRAPH = "photograph", "photograph of a sidewall"
    TEST_REPORT = "test_report", "independent test report"


class Evidence(models.Model):
    """One document. ``digest`` is the SHA-256 of the file as it was received, in hexadecimal."""

    code = Line("code", max_length=40, unique=True)
    kind = models.CharField("kind", max_length=12, choices=EvidenceKind)
    reference = Line("reference")
    issuer = Line("issued by")
    dated = models.DateField("dated", null=True, blank=True)
    says = Words("what it says", blank=True, default="")
    digest = Line("digest of the file", max_length=64, blank=True, default="")
    checked_at = models.DateTimeField(null=True, blank=True)
    checked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        on_delete=models.RESTRICT,
        null=True,
        blank=True,
        related_name="+",
    )
    due_on = models.DateField("due for another look", null=True, blank=True)
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, related_name="+"
    )

    class Meta:
        verbose_name = "evidence"
        verbose_name_plural = "evidence"
        ordering = ("code",)
        constraints = [
            models.CheckConstraint(
                condition=Q(checked_at__isnull=True, checked_by__isnull=True)
                | Q(checked_at__isnull=False, checked_by__isnull=False),
                name="evidence_check_has_who_and_when",
                violation_error_message="Say both who checked it and when.",
            ),
            models.CheckConstraint(
                condition=Q(digest="") | Q(digest__regex=r"^[0-9a-f]{64}$"),
                name="evidence_digest_is_sha256",
                violation_error_message="A digest is 64 figures and small letters a to f.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.reference}, {self.issuer}"

    @property
    def self_checked(self) -> bool:
        """Checked by the same person who recorded it: worth less than a second pair of eyes."""
        return self.checked_by_id is not None and self.checked_by_id == self.recorded_by_id
