"""The admin's pages for tables that are looked at there and never written."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.contrib import admin
from django.db.models import Model, QuerySet
from django.http import HttpRequest

from inventory.ground.backoffice.exporting import as_csv, as_xlsx

if TYPE_CHECKING:
    ModelAdmin = admin.ModelAdmin[Any]
    TabularInline = admin.TabularInline[Any, Any]
else:
    ModelAdmin = admin.ModelAdmin
    TabularInline = admin.TabularInline

ROWS_OF_A_PAGE = 50


class Back(ModelAdmin):
    """What all pages of the back office share.

    `joined` names what the rows, and their names in other lists, are told with: it is fetched in
    the same query everywhere.
    """

    joined: tuple[str, ...] = ()
    list_per_page = ROWS_OF_A_PAGE
    show_full_result_count = False
    actions: Any = (as_csv, as_xlsx)

    def get_queryset(self, request: HttpRequest) -> QuerySet[Any]:
        rows: QuerySet[Any] = super().get_queryset(request)
        return rows.select_related(*self.joined) if self.joined else rows


class NeverWritten(admin.options.BaseModelAdmin):  # type: ignore[type-arg]
    """Neither added to, nor changed, nor deleted from here, whatever a role may do elsewhere."""

    def has_add_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        return False

    def has_change_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        return False

    def has_delete_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        return False


class Looked(NeverWritten, Back):
    """A table that is only looked at."""


class Part(NeverWritten, TabularInline):
    """Rows that belong to the row of the page, shown under it."""

    joined: tuple[str, ...] = ()
    extra = 0
    can_delete = False
    show_change_link = False

    def get_queryset(self, request: HttpRequest) -> QuerySet[Any]:
        rows: QuerySet[Any] = super().get_queryset(request)
        return rows.select_related(*self.joined) if self.joined else rows
