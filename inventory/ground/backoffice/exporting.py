"""The chosen rows of a list as a file for a spreadsheet; nothing in it can start a formula."""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from django.contrib import admin
from django.contrib.admin.utils import label_for_field, lookup_field
from django.db.models import Field, ForeignKey, Model, QuerySet
from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from openpyxl import Workbook

from inventory.ground.sheets.safe import csv_of, safe_cell

XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
_BATCH = 2000
_PLAIN = (str, int, float, Decimal, date)


@admin.action(description="Write the chosen rows to a CSV file", permissions=["view"])
def as_csv(back: Any, request: HttpRequest, rows: QuerySet[Any]) -> HttpResponse:
    """What the list shows of these rows, as CSV."""
    return _file(csv_of(_table(back, request, rows)), "text/csv; charset=utf-8", back, "csv")


@admin.action(description="Write the chosen rows to a spreadsheet (XLSX)", permissions=["view"])
def as_xlsx(back: Any, request: HttpRequest, rows: QuerySet[Any]) -> HttpResponse:
    """What the list shows of these rows, as a workbook."""
    return _file(xlsx_of(_table(back, request, rows)), XLSX, back, "xlsx")


def xlsx_of(rows: Iterator[list[Any]]) -> bytes:
    """Rows as a workbook of one sheet."""
    book = Workbook(write_only=True)
    sheet = book.create_sheet()
    for row in rows:
        sheet.append([safe_cell(value) for value in row])
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _table(back: Any, request: HttpRequest, rows: QuerySet[Any]) -> Iterator[list[Any]]:
    names: Sequence[str] = [n for n in back.get_list_display(request) if n != "action_checkbox"]
    yield [str(label_for_field(name, back.model, back)) for name in names]
    for row in rows.iterator(chunk_size=_BATCH):
        yield [_value(name, row, back) for name in names]


def _value(name: str, row: Model, back: Any) -> Any:
    field, _, value = lookup_field(name, row, back)
    if isinstance(field, Field) and field.flatchoices:
        return str(dict(field.flatchoices).get(value, value))
    if isinstance(field, ForeignKey):
        linked = getattr(row, field.name)
        return "" if linked is None else str(linked)
    if isinstance(value, datetime):
        return timezone.localtime(value).isoformat(" ", "seconds")
    if isinstance(value, bool):
        return "yes" if value else "no"
    return value if value is None or isinstance(value, _PLAIN) else str(value)


def _file(data: bytes, kind: str, back: Any, ending: str) -> HttpResponse:
    name = f"{back.model._meta.model_name}.{ending}"
    disposition = f'attachment; filename="{name}"'
    return HttpResponse(data, content_type=kind, headers={"Content-Disposition": disposition})
