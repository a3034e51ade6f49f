"""What the register does not cover: cars without a tyre, approvals without a SKU, papers due."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Any

from django.db.models import Q, QuerySet

from fitments.lookup.register import in_force, known
from fitments.models.approval import Approval, ApprovalVersion
from fitments.models.car import Variant
from fitments.models.evidence import Evidence
from inventory.models.sku import Sku, SkuStatus


class Gap(StrEnum):
    """What is missing."""

    NOT_APPROVED = "not_approved"
    NOT_LISTED = "not_listed"
    NONE_IN_STOCK = "none_in_stock"
    NO_SKU = "no_sku"
    DUE = "due"

    @property
    def words(self) -> str:
        return _WORDS[self]


_WORDS = {
    Gap.NOT_APPROVED: "no tyre approved by the car's maker",
    Gap.NOT_LISTED: "no tyre in the catalogue in a listed size",
    Gap.NONE_IN_STOCK: "tyres in the catalogue, none to sell",
    Gap.NO_SKU: "approved, and no such tyre in the catalogue",
    Gap.DUE: "evidence due for another look",
}


@dataclass(frozen=True, slots=True)
class Missing:
    """One gap: of which car, approval or document (its code and its name), and what is missing."""

    gap: Gap
    code: str
    name: str
    words: str


@dataclass(frozen=True, slots=True)
class Catalogue:
    """The tyres that are not discontinued, by what approvals and fitments ask for."""

    by_key: dict[str, set[int]]
    tyres: dict[int, dict[str, Any]]

    @classmethod
    def read(cls) -> Catalogue:
        """One query."""
        rows = Sku.objects.tyres().exclude(status=SkuStatus.DISCONTINUED).order_by("pk")
        names = ("pk", "size_keys", "pattern_id", "compound_id", "mark", "mark_issue")
        tyres = {row["pk"]: row for row in rows.values(*names)}
        by_key: dict[str, set[int]] = defaultdict(set)
        for pk, row in tyres.items():
            for key in row["size_keys"]:
                by_key[key].add(pk)
        return cls(by_key, tyres)

    def of_size(self, keys: Iterable[str]) -> set[int]:
        """The SKUs of a size, however it is written."""
        return set().union(*(self.by_key.get(key, set()) for key in keys))

    def approved(self, approval: Approval) -> set[int]:
        """The SKUs that an approval speaks of."""
        found = self.of_size(approval.size_keys) if approval.size_keys else set(self.tyres)
        return {pk for pk in found if _is_meant(approval, self.tyres[pk])}


def skus_meant(approval: Approval) -> QuerySet[Sku]:
    """The SKUs that an approval speaks of, discontinued ones too."""
    rows = Sku.objects.tyres()
    if approval.size_keys:
        rows = rows.of_size(approval.size_keys)
    said = {"pattern": approval.pattern_id, "compound": approval.compound_id}
    rows = rows.filter(**{name: value for name, value in said.items() if value is not None})
    if not approval.by_list:
        rows = rows.filter(mark__iexact=approval.mark, mark_issue__iexact=approval.mark_issue)
    return rows.order_by("code")


def uncovered_cars(catalogue: Catalogue, *, on: date) -> list[Missing]:
    """Variants without a tyre approved by their maker, or without any in a listed size."""
    ranges = _approved_ranges(on)
    rows = Variant.objects.select_related("vehicle_line__maker").prefetch_related("fitments")
    found = []
    for variant in rows.order_by("code"):
        if variant.vehicle_line_id not in ranges:
            found.append(_of_car(Gap.NOT_APPROVED, variant, "none in the register on that day"))
        if not listed_skus(catalogue, variant):
            sizes = sorted({one.size for one in variant.fitments.all()})
            words = ", ".join(sizes) or "no size is listed for it"
            found.append(_of_car(Gap.NOT_LISTED, variant, words))
    return found


def listed_skus(catalogue: Catalogue, variant: Variant) -> set[int]:
    """The SKUs in sizes listed for a variant; its fitments were fetched with it."""
    return catalogue.of_size(key for one in variant.fitments.all() for key in one.size_keys)


def approvals_without_sku(catalogue: Catalogue, *, on: date) -> list[Missing]:
    """Approvals in force on a day of which the catalogue has no tyre."""
    rows = Approval.objects.filter(pk__in=_now(on).values("approval_id"))
    joined = ("vehicle_line__maker", "competition_class__organiser", "pattern__maker", "compound")
    return [
        Missing(Gap.NO_SKU, one.code, str(one.vehicle_line or one.competition_class), _wanted(one))
        for one in rows.select_related(*joined).order_by("code")
        if not catalogue.approved(one)
    ]


def evidence_due(*, on: date) -> list[Missing]:
    """Documents due for another look by a day, the longest due first."""
    rows = Evidence.objects.filter(due_on__lte=on).order_by("due_on", "code")
    return [Missing(Gap.DUE, one.code, str(one), f"due {one.due_on}") for one in rows]


def _now(on: date) -> QuerySet[ApprovalVersion]:
    return in_force(known(ApprovalVersion.objects.all(), None), on)


def _approved_ranges(on: date) -> Collection[int]:
    rows = _now(on).filter(~Q(approval__vehicle_line=None))
    return set(rows.values_list("approval__vehicle_line_id", flat=True))


def _is_meant(approval: Approval, tyre: dict[str, Any]) -> bool:
    if approval.pattern_id not in (None, tyre["pattern_id"]):
        return False
    if approval.compound_id not in (None, tyre["compound_id"]):
        return False
    if approval.by_list:
        return True
    said = (approval.mark.upper(), approval.mark_issue.upper())
    return said == (tyre["mark"].upper(), tyre["mark_issue"].upper())


def _of_car(gap: Gap, variant: Variant, words: str) -> Missing:
    return Missing(gap, variant.code, str(variant), words)


def _wanted(approval: Approval) -> str:
    parts = [approval.size, str(approval.pattern or ""), approval.mark, approval.mark_issue]
    return " ".join(part for part in parts if part) or "any tyre"
