"""The rows of jobs: what was asked for, how far it is, what went wrong with which row."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.db.models.functions import Now

from inventory.ground.fields import Line, Words
from inventory.ground.jobs import timing


class JobState(models.TextChoices):
    """Where a job stands."""

    WAITING = "waiting", "waiting"
    RUNNING = "running", "running"
    DONE = "done", "done"
    FAILED = "failed", "failed"
    CANCELLED = "cancelled", "cancelled"


ENDED = (JobState.DONE, JobState.FAILED, JobState.CANCELLED)


class JobQuerySet(models.QuerySet["Job"]):
    """Jobs, by what is to be done about them. Moments are the database's own: one clock for all."""

    def due(self) -> JobQuerySet:
        """What a worker may take up now: waiting and due, or left by a worker that went away."""
        waiting = Q(state=JobState.WAITING, due_at__lte=Now())
        return self.filter(waiting | Q(state=JobState.RUNNING, lease_until__lt=Now()))

    def not_sent_lately(self) -> JobQuerySet:
        """What no message to a worker can be under way for, unless it was lost."""
        return self.filter(Q(sent_at=None) | Q(sent_at__lt=Now() - timing.resend_after()))

    def under_way(self) -> JobQuerySet:
        """Waiting or running."""
        return self.exclude(state__in=ENDED)


class Job(models.Model):
    """One piece of work, asked for once under its slot; a message to a worker carries only its pk.

    ``cursor`` is where the next chunk begins. ``attempt`` is the number of the worker that may
    write to it: each chunk checks it in its own transaction. ``failures`` counts the times it broke
    off since the last chunk that was done.
    """

    kind = Line("kind", max_length=40)
    slot = Line("slot", max_length=160)
    arguments = models.JSONField("arguments", default=dict, blank=True)
    cursor = models.JSONField("next chunk", null=True, blank=True)
    state = Line("state", max_length=9, choices=JobState.choices, default=JobState.WAITING)
    due_at = models.DateTimeField("due at")
    sent_at = models.DateTimeField("sent to a worker at", null=True, blank=True)
    attempt = models.PositiveIntegerField("attempt", default=0)
    lease_until = models.DateTimeField("held by a worker until", null=True, blank=True)
    failures = models.PositiveSmallIntegerField("broke off", default=0)
    doing = Line("doing", blank=True, default="")
    rows_total = models.PositiveIntegerField("rows", null=True, blank=True)
    rows_done = models.PositiveIntegerField("rows done", default=0)
    rows_failed = models.PositiveIntegerField("rows failed", default=0)
    result = Words("what came of it", blank=True, default="")
    last_error = Words("why it stopped", blank=True, default="")
    made_at = models.DateTimeField("asked for at")
    asked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        verbose_name="asked for by",
        null=True,  # the clock asked
        blank=True,
        on_delete=models.RESTRICT,
        related_name="+",
    )
    started_at = models.DateTimeField("started at", null=True, blank=True)
    ended_at = models.DateTimeField("ended at", null=True, blank=True)
    cancelled_at = models.DateTimeField("cancelled at", null=True, blank=True)
    cancelled_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        verbose_name="cancelled by",
        null=True,
        blank=True,
        on_delete=models.RESTRICT,
        related_name="+",
    )

    objects = JobQuerySet.as_manager()

    class Meta:
        verbose_name = "job"
        verbose_name_plural = "jobs"
        ordering = ("-pk",)
        indexes = [
            # "what is due?", each minute: few of the rows are waiting or running
            models.Index(
                fields=["due_at", "id"],
                name="job_under_way",
                condition=Q(state__in=[JobState.WAITING, JobState.RUNNING]),
            ),
            models.Index(fields=["ended_at"], name="job_ended"),  # "which may be forgotten?"
        ]
        constraints = [
            models.UniqueConstraint(
                fields=["kind", "slot"],
                name="job_is_once_per_slot",
                violation_error_message="This was asked for already.",
            ),
            models.CheckConstraint(
                condition=Q(state__in=JobState.values),
                name="job_state_is_known",
                violation_error_message="A job is waiting, running, done, failed or cancelled.",
            ),
            models.CheckConstraint(
                condition=Q(state=JobState.RUNNING, lease_until__isnull=False)
                | (~Q(state=JobState.RUNNING) & Q(lease_until=None)),
                name="job_is_held_while_it_runs",
                violation_error_message="A job is held by a worker while it runs, and only then.",
            ),
            models.CheckConstraint(
                condition=Q(state__in=ENDED, ended_at__isnull=False)
                | (~Q(state__in=ENDED) & Q(ended_at=None)),
                name="job_has_an_end_once_ended",
                violation_error_message="A job has an end once it ended, and only then.",
            ),
            models.CheckConstraint(
                condition=Q(
                    state=JobState.CANCELLED, cancelled_at__isnull=False, cancelled_by__isnull=False
                )
                | (~Q(state=JobState.CANCELLED) & Q(cancelled_at=None, cancelled_by=None)),
                name="job_cancelled_has_who_and_when",
                violation_error_message="A cancelled job says who cancelled it and when.",
            ),
            models.CheckConstraint(
                condition=Q(rows_total=None) | Q(rows_total__gte=F("rows_done") + F("rows_failed")),
                name="job_rows_are_within_the_total",
                violation_error_message="A job cannot have done more rows than there are.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kind} ({self.slot})"


class JobFailure(models.Model):
    """What was wrong with one row of a job: ``row`` as the spreadsheet counts, else its place."""

    job = models.ForeignKey(
        Job,
        on_delete=models.CASCADE,  # a part of the job
        related_name="row_failures",
    )
    row = models.PositiveIntegerField("row")
    column = Line("column", blank=True, default="")
    words = Words("what is wrong")

    class Meta:
        verbose_name = "failed row"
        verbose_name_plural = "failed rows"
        ordering = ("job", "row", "pk")

    def __str__(self) -> str:
        where = f"row {self.row}, {self.column}" if self.column else f"row {self.row}"
        return f"{where}: {self.words}"


class JobFile(models.Model):
    """The file that a job works on, in the database so that every worker has it; gone when done."""

    job = models.OneToOneField(
        Job,
        on_delete=models.CASCADE,  # a part of the job
        related_name="file",
        primary_key=True,
    )
    name = Line("name", max_length=200, blank=True, default="")
    digest = Line("digest", max_length=64)
    content = models.BinaryField("content")

    class Meta:
        verbose_name = "file of a job"
        verbose_name_plural = "files of jobs"
        ordering = ("job",)

    def __str__(self) -> str:
        return str(self.name)
