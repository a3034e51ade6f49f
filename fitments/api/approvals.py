"""The register of approvals over the API, as it is known now or as it was known then."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.db.models import Prefetch, QuerySet
from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework.decorators import action
from rest_framework.request import Request
from rest_framework.response import Response

from fitments.activities import approvals, issues
from fitments.api.approval_rows import (
    ApprovalSerializer,
    CorrectSerializer,
    PeriodSerializer,
    SupersedeSerializer,
    VersionSerializer,
    WithdrawSerializer,
    said_of,
)
from fitments.api.issues import NewIssueDoneSerializer, NewIssueSerializer, asked_of, told
from fitments.api.reading import size_keys
from fitments.lookup.register import Versions, every_version, in_force, known
from fitments.models.approval import Approval, ApprovalVersion
from fitments.models.car import CarMaker, VehicleLine
from fitments.models.evidence import Evidence
from fitments.models.organiser import CompetitionClass
from inventory.ground.idempotency import once
from inventory.ground.rest.filtering import (
    FilterSet,
    IsoDateFilter,
    ReadFilter,
    RowFilter,
    filters,
)
from inventory.ground.rest.serializers import given
from inventory.ground.rest.views import Entered, Listed
from inventory.models.customer import Axle
from inventory.models.maker import Compound, Pattern

KNOWN = "As it was known when this day of the shop was over; as it is known now unless told"
IN_FORCE = "In force on this day: within its period, and not withdrawn by then"


class ApprovalFilters(FilterSet):
    """`known_on` and `in_force_on` choose the versions told too, together."""

    code = filters.CharFilter(lookup_expr="iexact", max_length=60)
    car_maker = RowFilter(CarMaker)
    vehicle_line = RowFilter(VehicleLine)
    competition_class = RowFilter(CompetitionClass)
    axle = filters.ChoiceFilter(choices=Axle.choices)
    mark = filters.CharFilter(lookup_expr="iexact", max_length=20)
    mark_issue = filters.CharFilter(lookup_expr="iexact", max_length=20)
    by_list = filters.BooleanFilter()
    pattern = RowFilter(Pattern)
    compound = RowFilter(Compound)
    size = ReadFilter("size_keys", "overlap", read=size_keys, help_text="A size in any form")
    known_on = IsoDateFilter(method="with_versions", help_text=KNOWN)
    in_force_on = IsoDateFilter(method="with_versions", help_text=IN_FORCE)

    def with_versions(self, rows: QuerySet[Any], name: str, value: date) -> QuerySet[Any]:
        """Approvals of which anything is known, or that are in force, then."""
        asked = self.form.cleaned_data
        found = in_force(
            known(ApprovalVersion.objects.all(), asked["known_on"]), asked["in_force_on"]
        )
        return rows.filter(pk__in=found.values("approval_id"))

    @property
    def qs(self) -> QuerySet[Any]:
        """The approvals, each with the versions that were asked for."""
        rows: QuerySet[Any] = super().qs
        asked = self.form.cleaned_data
        found = in_force(known(every_version(), asked["known_on"]), asked["in_force_on"])
        return with_told(rows, found)


def with_told(rows: QuerySet[Any], versions: Versions) -> QuerySet[Any]:
    """Approvals with these of their versions as `told_versions`, by the days they are about."""
    told = Prefetch("versions", versions.order_by("valid", "pk"), to_attr="told_versions")
    return rows.prefetch_related(told)


class Approvals(Entered):
    """Claims by car makers and organisers. Nothing is edited: each change is a version of its own.

    One approval alone is told as it is known now; `approval-versions` has all that ever was.
    """

    queryset = Approval.objects.select_related(
        "car_maker", "vehicle_line", "competition_class", "pattern", "compound"
    )
    serializer_class = ApprovalSerializer
    filterset_class = ApprovalFilters
    orderings = {"code": "code", "id": "pk"}
    default_ordering = "code"
    make = staticmethod(approvals.record)

    def get_queryset(self) -> QuerySet[Any]:
        rows = super().get_queryset()
        if getattr(self, "action", None) == "list":
            return rows  # the filters choose the versions
        return with_told(rows, known(every_version(), None))

    @extend_schema(request=PeriodSerializer, responses=ApprovalSerializer)
    @action(
        detail=True,
        methods=["post"],
        url_path="add-period",
        required_permissions={"POST": ["fitments.add_approvalversion"]},
    )
    @once
    def add_period(self, request: Request, pk: str) -> Response:
        """Say that it is, or was, in force at another time as well."""
        values = given(PeriodSerializer(data=request.data))
        why = values.pop("why")
        return self._done(request, approvals.add_period, said=said_of(values), why=why)

    @extend_schema(request=CorrectSerializer, responses=ApprovalSerializer)
    @action(
        detail=True,
        methods=["post"],
        required_permissions={"POST": ["fitments.add_approvalversion"]},
    )
    @once
    def correct(self, request: Request, pk: str) -> Response:
        """Say something else instead of a version, unless somebody has done so meanwhile."""
        approval = self.get_object()
        asked = CorrectSerializer(data=request.data)
        version: Any = asked.fields["version"]
        version.queryset = ApprovalVersion.objects.filter(approval=approval)
        values = given(asked) | {"by": request.user}
        approvals.correct(at=timezone.now(), **values)
        return self.told(self.again(approval))

    @extend_schema(request=SupersedeSerializer, responses=ApprovalSerializer)
    @action(
        detail=True,
        methods=["post"],
        required_permissions={"POST": ["fitments.add_approvalversion"]},
    )
    @once
    def supersede(self, request: Request, pk: str) -> Response:
        """Let another approval take its place from a day on."""
        values = given(SupersedeSerializer(data=request.data))
        return self._done(request, approvals.supersede, **values)

    @extend_schema(request=WithdrawSerializer, responses=ApprovalSerializer)
    @action(
        detail=True,
        methods=["post"],
        required_permissions={"POST": ["fitments.add_approvalversion"]},
    )
    @once
    def withdraw(self, request: Request, pk: str) -> Response:
        """Say that it is withdrawn as of a day."""
        values = given(WithdrawSerializer(data=request.data))
        return self._done(request, approvals.withdraw, **values)

    @extend_schema(request=NewIssueSerializer, responses=NewIssueDoneSerializer)
    @action(
        detail=False,
        methods=["post"],
        url_path="new-issue",
        required_permissions={"POST": ["fitments.add_approval", "fitments.add_approvalversion"]},
    )
    @once
    def new_issue(self, request: Request) -> Response:
        """Let a new issue take the place of the old in every approval it is for, all or none."""
        values = asked_of(given(NewIssueSerializer(data=request.data))) | {"by": request.user}
        return Response(told(issues.bring_in(at=timezone.now(), **values)))

    def _done(self, request: Request, write: Any, **values: Any) -> Response:
        approval = self.get_object()
        write(approval=approval, by=request.user, at=timezone.now(), **values)
        return self.told(self.again(approval))


class VersionFilters(FilterSet):
    approval = RowFilter(Approval)
    evidence = RowFilter(Evidence)
    known_on = IsoDateFilter(method="was_known", help_text=KNOWN.partition(";")[0])
    in_force_on = IsoDateFilter(method="was_in_force", help_text=IN_FORCE)

    def was_known(self, rows: Versions, name: str, value: date) -> Versions:
        """Known when a day was over."""
        return known(rows, value)

    def was_in_force(self, rows: Versions, name: str, value: date) -> Versions:
        """In force on a day."""
        return in_force(rows, value)


class ApprovalVersions(Listed):
    """Everything that was ever said of any approval, newest first."""

    queryset = every_version()
    serializer_class = VersionSerializer
    filterset_class = VersionFilters
    orderings = {"id": "pk"}
    default_ordering = "-id"
