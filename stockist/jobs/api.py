"""Jobs over the API: how far each is, what went wrong with which row; cancel, resume, run again."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.decorators import action
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.routers import BaseRouter

from inventory.ground.idempotency import once
from inventory.ground.jobs import asking
from inventory.ground.jobs.model import Job, JobFailure, JobState
from inventory.ground.jobs.words import share_of, title_of
from inventory.ground.rest.filtering import FilterSet, RowFilter, filters
from inventory.ground.rest.serializers import Told
from inventory.ground.rest.views import Listed


class JobSerializer(Told):
    """A piece of work in the background; its failed rows are at `job-failures`."""

    title = serializers.SerializerMethodField(help_text="What it does, in words")
    share = serializers.SerializerMethodField(
        help_text="Hundredths of its rows that are behind it; null where that cannot be told"
    )
    asked_by = serializers.CharField(
        source="asked_by.username",
        read_only=True,
        default=None,
        allow_null=True,
        help_text="null: the clock",
    )
    cancelled_by = serializers.CharField(
        source="cancelled_by.username", read_only=True, default=None, allow_null=True
    )

    class Meta:
        model = Job
        fields = (
            *("id", "kind", "title", "slot", "state", "doing", "share"),
            *("rows_total", "rows_done", "rows_failed", "result", "last_error"),
            *("made_at", "asked_by", "due_at", "started_at", "ended_at", "attempt"),
            *("cancelled_at", "cancelled_by"),
        )

    def get_title(self, job: Job) -> str:
        return title_of(job)

    def get_share(self, job: Job) -> int | None:
        return share_of(job)


class JobFilters(FilterSet):
    state = filters.ChoiceFilter(choices=JobState.choices)
    kind = filters.CharFilter(max_length=40)


class Jobs(Listed):
    """What runs in the background, newest first. Every change is safe to repeat."""

    queryset = Job.objects.select_related("asked_by", "cancelled_by")
    serializer_class = JobSerializer
    filterset_class = JobFilters
    orderings = {"id": "pk", "made_at": "made_at"}
    default_ordering = "-id"
    required_permissions: Mapping[str, Sequence[str]] = {
        "GET": ["ground.view_job"],
        "POST": ["ground.change_job"],
    }

    @extend_schema(request=None, responses=JobSerializer)
    @action(detail=True, methods=["post"])
    @once
    def cancel(self, request: Request, pk: str) -> Response:
        """Stop it: the chunk under way is undone, what was done before stays."""
        return self.told(self._after(request, asking.cancel))

    @extend_schema(request=None, responses=JobSerializer)
    @action(detail=True, methods=["post"])
    @once
    def resume(self, request: Request, pk: str) -> Response:
        """Let one that failed or was cancelled go on where it stopped."""
        return self.told(self._after(request, asking.resume))

    @extend_schema(request=None, responses={201: JobSerializer})
    @action(detail=True, methods=["post"])
    @once
    def again(self, request: Request, pk: str) -> Response:
        """Run one that has ended once more, as a job of its own."""
        job = self._after(request, asking.run_again)
        address = request.build_absolute_uri(self.reverse_action("detail", args=[job.pk]))
        return self.told(job, 201, Location=address)

    def _after(self, request: Request, act: Callable[..., Job]) -> Job:
        done = act(job_id=self.get_object().pk, by=request.user, at=timezone.now())
        job: Job = self.get_queryset().get(pk=done.pk)
        return job


class FailureSerializer(Told):
    """What is wrong with one row."""

    class Meta:
        model = JobFailure
        fields = ("id", "job", "row", "column", "words")


class FailureFilters(FilterSet):
    job = RowFilter(Job)


class JobFailures(Listed):
    """What was wrong with rows of jobs, by row."""

    queryset = JobFailure.objects.all()
    serializer_class = FailureSerializer
    filterset_class = FailureFilters
    orderings = {"id": "pk", "row": "row"}


RESOURCES = {"jobs": Jobs, "job-failures": JobFailures}


def register(router: BaseRouter) -> None:
    """Give jobs their addresses."""
    for prefix, viewset in RESOURCES.items():
        router.register(prefix, viewset, basename=prefix)
