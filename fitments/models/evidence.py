"""What an approval rests on: a letter, a bulletin, a page, a photograph of a sidewall."""

from __future__ import annotations

from django.conf import settings
from django.contrib.postgres.constraints import ExclusionConstraint
from django.contrib.postgres.fields import ArrayField, DateTimeRangeField, RangeOperators
from django.db import models
from django.db.models import F, Q

from inventory.ground.fields import Line, Words
from inventory.models.customer import Axle


class EvidenceKind(models.TextChoices):
    LETTER = "letter", "letter"
    BULLETIN = "bulletin", "bulletin"
    HOMOLOGATION = "homologation", "homologation paper"
    HANDBOOK = "handbook", "handbook page"
    LIST = "list", "organiser's list"
    PHOTOGRAPH = "photograph", "photograph of a sidewall"
    TEST_REPORT = "test_report", "independent test report"


def _several(name: str, base: models.Field[str, str]) -> ArrayField[list[str], list[str]]:
    return ArrayField(base, verbose_name=name, default=list, db_default=[], blank=True)


class Paper(models.Model):
    """What is said of one document, and who has looked at it.

    ``digest`` is the SHA-256 of the file as it was received, ``copy_digest`` that of the copy that
    is handed out: a picture is made anew, without its position. ``model_ranges`` are codes of
    model ranges; empty means that the document does not say. ``written_by`` wrote it as it stands.
    """

    kind = models.CharField("kind", max_length=12, choices=EvidenceKind)
    reference = Line("reference")
    issuer = Line("issued by")
    dated = models.DateField("dated", null=True, blank=True)
    says = Words("what it says", blank=True, default="")
    model_ranges = _several("model ranges", Line(max_length=40))
    sizes = _several("sizes", Line(max_length=60))
    marks = _several("marks", Line(max_length=40))
    axles = _several("axles", models.CharField(max_length=5, choices=Axle))
    says_from = models.DateField("from", null=True, blank=True)
    says_to = models.DateField("to, inclusive", null=True, blank=True)
    digest = Line("digest of the file", max_length=64, blank=True, default="")
    file_name = Line("file", max_length=100, blank=True, default="", db_default="")
    media_type = Line("media type", max_length=40, blank=True, default="", db_default="")
    copy_digest = Line("digest of the copy", max_length=64, blank=True, default="", db_default="")
    checked_at = models.DateTimeField(null=True, blank=True)
    checked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        on_delete=models.RESTRICT,
        null=True,
        blank=True,
        related_name="+",
    )
    due_on = models.DateField("due for another look", null=True, blank=True)
    why = Words("why it says so now", max_length=500, blank=True, default="", db_default="")
    written_at = models.DateTimeField(null=True, blank=True)
    written_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        on_delete=models.RESTRICT,
        null=True,
        blank=True,
        related_name="+",
    )

    class Meta:
        abstract = True

    @property
    def self_checked(self) -> bool:
        """Checked by whoever wrote it as it stands: worth less than a second pair of eyes."""
        return self.checked_by_id is not None and self.checked_by_id == self.written_by_id


class Evidence(Paper):
    """One document, as it is known now; every version of what was said of it is kept."""

    code = Line("code", max_length=40, unique=True)
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, related_name="+"
    )

    class Meta:
        verbose_name = "evidence"
        verbose_name_plural = "evidence"
        ordering = ("code",)
        indexes = [
            # "what is due for another look?"
            models.Index(fields=["due_on"], name="evidence_due"),
        ]
        constraints = [
            models.CheckConstraint(
                condition=Q(checked_at__isnull=True, checked_by__isnull=True)
                | Q(checked_at__isnull=False, checked_by__isnull=False),
                name="evidence_check_has_who_and_when",
                violation_error_message="Say both who checked it and when.",
            ),
            models.CheckConstraint(
                condition=Q(written_at__isnull=True, written_by__isnull=True)
                | Q(written_at__isnull=False, written_by__isnull=False),
                name="evidence_writing_has_who_and_when",
                violation_error_message="Say both who wrote it and when.",
            ),
            models.CheckConstraint(
                condition=(Q(digest="") | Q(digest__regex=r"^[0-9a-f]{64}$"))
                & (Q(copy_digest="") | Q(copy_digest__regex=r"^[0-9a-f]{64}$")),
                name="evidence_digest_is_sha256",
                violation_error_message="A digest is 64 figures and small letters a to f.",
            ),
            models.CheckConstraint(
                condition=Q(copy_digest="", file_name="", media_type="")
                | ~(Q(copy_digest="") | Q(file_name="") | Q(media_type="") | Q(digest="")),
                name="evidence_file_is_whole",
                violation_error_message="A file has a name, a kind and its digests.",
            ),
            models.CheckConstraint(
                condition=Q(says_from__isnull=True)
                | Q(says_to__isnull=True)
                | Q(says_from__lte=F("says_to")),
                name="evidence_says_from_before_to",
                violation_error_message="The first day comes before the last.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.reference}, {self.issuer}"


class EvidenceVersion(Paper):
    """What was known of a document during ``known``; written by the database alone."""

    evidence = models.ForeignKey(Evidence, on_delete=models.RESTRICT, related_name="versions")
    known = DateTimeRangeField("as known")

    class Meta:
        verbose_name = "version of evidence"
        verbose_name_plural = "versions of evidence"
        ordering = ("evidence", "pk")
        constraints = [
            ExclusionConstraint(
                name="evidence_versions_do_not_overlap",
                expressions=[
                    ("evidence", RangeOperators.EQUAL),
                    ("known", RangeOperators.OVERLAPS),
                ],
                violation_error_message="Something else was known of this document then.",
            ),
            models.CheckConstraint(
                condition=Q(known__isempty=False, known__lower_inf=False),
                name="evidence_version_is_known_from_some_day",
                violation_error_message="A version is known from the moment it was recorded.",
            ),
            models.CheckConstraint(
                condition=Q(checked_at__isnull=True, checked_by__isnull=True)
                | Q(checked_at__isnull=False, checked_by__isnull=False),
                name="evidence_version_check_has_who_and_when",
                violation_error_message="Say both who checked it and when.",
            ),
            models.CheckConstraint(
                condition=Q(written_at__isnull=True, written_by__isnull=True)
                | Q(written_at__isnull=False, written_by__isnull=False),
                name="evidence_version_writing_has_who_and_when",
                violation_error_message="Say both who wrote it and when.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.reference}, {self.issuer}, as known {self.known}"
