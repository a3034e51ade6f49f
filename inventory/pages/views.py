"""Pages on which spreadsheets are checked and loaded, all or nothing, and their templates."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_safe

from inventory.ground.idempotency import once_form
from inventory.ground.jobs.length import is_long
from inventory.ground.jobs.load_sheet import ask_to_load
from inventory.ground.models import SheetLoad
from inventory.ground.refusal import Refusal
from inventory.ground.sheets.files import digest_of
from inventory.ground.sheets.loading import Loaded, check, load
from inventory.ground.sheets.permission import look_over
from inventory.ground.sheets.sheet import Sheet
from inventory.ground.sheets.template import template
from inventory.pages.access import sheet_for, sheets_of
from inventory.pages.forms import SheetForm

CHANGES = "sheet_changes"
MOST_CHANGES = 200
LOADS_SHOWN = 10
KINDS = {
    "csv": "text/csv; charset=utf-8",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}


@require_safe
@login_required
def sheets(request: HttpRequest) -> HttpResponse:
    """Every sheet that one may load, in the order in which they build on one another."""
    mine = sheets_of(request.user)
    if not mine:
        raise PermissionDenied
    return render(request, "sheets/list.html", {"sheets": [_told(sheet) for sheet in mine]})


@login_required
def sheet_page(request: HttpRequest, name: str) -> HttpResponse:
    """One sheet: its columns and templates; a file of it is checked or loaded."""
    sheet = sheet_for(request.user, name)
    if request.method != "POST":
        return _page(request, sheet, SheetForm())
    try:
        return _sent(request, sheet)
    except Refusal as refusal:
        return _page(request, sheet, SheetForm(), status=refusal.status, refused=refusal)


@once_form
def _sent(request: HttpRequest, sheet: Sheet) -> HttpResponse:
    form = SheetForm(request.POST, request.FILES)
    if not form.is_valid():
        return _page(request, sheet, form, status=422)
    data, now = form.data_of_file(), timezone.now()
    if is_long(data):
        return _later(request, sheet, form, data)
    if request.POST.get("do") == "check":
        found = check(sheet, data, on=timezone.localdate(now))
        look_over(request.user, sheet, found)
        return _page(request, sheet, SheetForm(), found=found)
    person: Any = request.user
    name = form.cleaned_data["file"].name
    loaded = load(sheet, data, by=person, at=now, file_name=name)
    look_over(person, sheet, loaded)
    return HttpResponseRedirect(_kept(request, sheet, data, loaded))


def _later(request: HttpRequest, sheet: Sheet, form: SheetForm, data: bytes) -> HttpResponse:
    """A long file is a job's work; the page of the job tells how far it is."""
    person: Any = request.user
    job: Any = ask_to_load(
        sheet=sheet,
        data=data,
        file_name=form.cleaned_data["file"].name,
        by=person,
        at=timezone.now(),
        only_check=request.POST.get("do") == "check",
    )
    return HttpResponseRedirect(job.get_absolute_url())


def _kept(request: HttpRequest, sheet: Sheet, data: bytes, loaded: Loaded) -> str:
    """Keep what was changed for the page that tells it, and give that page's address."""
    row = loaded.earlier or (
        SheetLoad.objects.filter(sheet=sheet.name, digest=digest_of(data)).latest("pk")
    )
    shown = loaded.changes[:MOST_CHANGES]
    request.session[CHANGES] = {
        "of": row.pk,
        "changes": [asdict(one) for one in shown],
        "more": len(loaded.changes) - len(shown) + loaded.more_changes,
        "notes": list(loaded.notes),
        "again": loaded.earlier is not None,
    }
    return reverse("sheets:loaded", args=[sheet.name, row.pk])


@require_safe
@login_required
def loaded_page(request: HttpRequest, name: str, pk: int) -> HttpResponse:
    """What came of a file that was loaded."""
    sheet = sheet_for(request.user, name)
    rows = SheetLoad.objects.select_related("loaded_by")
    told = get_object_or_404(rows, sheet=sheet.name, pk=pk)
    kept = request.session.get(CHANGES, {})
    mine = kept if kept.get("of") == pk else {}
    context = {"sheet": _told(sheet), "load": told, "kept": mine}
    return render(request, "sheets/loaded.html", context)


@require_safe
@login_required
def template_file(request: HttpRequest, name: str, kind: str) -> HttpResponse:
    """An empty sheet to fill in."""
    sheet = sheet_for(request.user, name)
    if kind not in KINDS:
        raise Http404
    disposition = f'attachment; filename="{sheet.name}.{kind}"'
    return HttpResponse(
        template(sheet, kind),
        content_type=KINDS[kind],
        headers={"Content-Disposition": disposition},
    )


def _page(
    request: HttpRequest,
    sheet: Sheet,
    form: SheetForm,
    *,
    status: int = 200,
    refused: Refusal | None = None,
    found: Loaded | None = None,
) -> HttpResponse:
    loads = SheetLoad.objects.filter(sheet=sheet.name).select_related("loaded_by")
    context = {
        "sheet": _told(sheet),
        "columns": sheet.columns,
        "form": form,
        "refused": refused,
        "problems": getattr(refused, "shown", ()),
        "more_problems": getattr(refused, "rest", 0),
        "found": found,
        "loads": loads.order_by("-pk")[:LOADS_SHOWN],
    }
    return render(request, "sheets/sheet.html", context, status=status)


def _told(sheet: Sheet) -> dict[str, Any]:
    """What is said of a sheet."""
    purpose = (type(sheet).__doc__ or "").strip().split("\n\n")[0]
    needed = [column.heading for column in sheet.columns if column.required]
    return {
        "name": sheet.name,
        "title": sheet.title,
        "purpose": " ".join(purpose.split()),
        "needed": needed,
        "once": sheet.once,
    }
