"""What suppliers ask for SKUs: listed, each on a page, entered and changed."""

from __future__ import annotations

from functools import partial

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_POST

from inventory.activities import purchasing
from inventory.models.supplier_terms import SupplierTerms
from stockist.listing import Cell, Row, table
from stockist.purchasing.agreed import changed, entered, latest
from stockist.purchasing.terms_forms import NewTermsForm, TermsForm, TermsListForm
from stockist.steps import doing, looking

LOOK, ADD = "inventory.view_supplierterms", "inventory.add_supplierterms"
CHANGE = "inventory.change_supplierterms"
HEADS = ("SKU", "Supplier", "Price of one", "Least", "Pack", "Lead time, days", "Oldest, months")


@looking(LOOK)
@require_GET
def terms_list(request: HttpRequest) -> HttpResponse:
    """Every supplier's terms."""
    form = TermsListForm(request.GET or None)
    doors = [("Production batches", reverse("purchasing:batches"))]
    if request.user.has_perm(ADD):
        doors.insert(0, ("Enter terms", reverse("purchasing:terms-new")))
    context = {
        "title": "On what terms do suppliers sell?",
        "doors": doors,
        "form": form,
        "table": table(request, form.asked(), HEADS, _row),
        "empty": "None like that.",
    }
    return render(request, "stockist/list.html", context)


def _row(one: SupplierTerms) -> Row:
    breaks = sorted((row.from_quantity, row.unit_price) for row in one.breaks.all())
    prices = ", ".join(f"{price} from {quantity}" for quantity, price in breaks)
    spread = f" ± {one.lead_time_spread_days}" if one.lead_time_spread_days else ""
    cells = (
        Cell(str(one.supplier)),
        Cell(f"{one.currency} {prices}" if prices else ""),
        Cell(str(one.minimum), number=True),
        Cell(str(one.pack), number=True),
        Cell(f"{one.lead_time_days}{spread}", number=True),
        Cell(str(one.oldest_months or ""), number=True),
    )
    return Row(str(one.sku), reverse("purchasing:terms-page", args=[one.pk]), cells)


@doing(ADD)
def terms_new(request: HttpRequest) -> HttpResponse:
    """Enter a supplier's terms for a SKU."""
    form = NewTermsForm(request.POST or None)
    page = {
        "title": "What does a supplier ask for a SKU?",
        "back": reverse("purchasing:terms"),
        "back_to": "Terms of suppliers",
    }
    return entered(request, form, purchasing.make_terms, page, "purchasing:terms-page")


@looking(LOOK)
@require_GET
def terms_page(request: HttpRequest, number: int) -> HttpResponse:
    """One supplier's terms for one SKU."""
    return _page(request, _found(number))


@doing(CHANGE)
@require_POST
def terms_change(request: HttpRequest, number: int) -> HttpResponse:
    """Change them, unless somebody else has done so meanwhile."""
    terms = _found(number)
    form = TermsForm(request.POST, breaks=_asked_breaks(request))
    work = partial(purchasing.change_terms, terms=terms)
    return changed(request, form, work, "purchasing:terms-page", partial(_page, request, terms))


def _asked_breaks(request: HttpRequest) -> int:
    """As many breaks as the form that was sent had fields for, without the two more."""
    return max(sum(name.startswith("from_") for name in request.POST) - 2, 0)


def _found(number: int) -> SupplierTerms:
    rows = SupplierTerms.objects.select_related("supplier", "sku__pattern__maker", "sku__maker")
    return get_object_or_404(rows, pk=number)


def _page(
    request: HttpRequest,
    terms: SupplierTerms,
    form: TermsForm | None = None,
    refused: str = "",
    status: int = 200,
) -> HttpResponse:
    now = latest(terms)
    shown = _found(terms.pk)
    context = {
        **now,
        "terms": shown,
        "breaks": shown.breaks.order_by("from_quantity"),
        "form": form or TermsForm.of(shown, now["seen"]),
        "may_change": request.user.has_perm(CHANGE),
        "refused": refused,
    }
    return render(request, "purchasing/terms.html", context, status=status)
