"""The paper that goes with what is given back: whose, which tyres, on what day."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from django.conf import settings
from django.http import Http404, HttpRequest, HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_GET
from reportlab.platypus import Flowable, Table

from inventory.ground.uploads.serving import attachment
from inventory.models.consignment import ConsignmentStep, StepKind
from stockist.papers.delivery_note import RULED
from stockist.papers.sheet import BODY, SMALL, STRONG, TITLE, WIDTH, Foot, printed, words
from stockist.steps import looking

PDF = "application/pdf"
COLUMNS = ("Tyres", "What", "Lot", "Date code", "Mark", "They are")
WIDTHS = tuple(part * WIDTH for part in (0.08, 0.4, 0.17, 0.12, 0.1, 0.13))
_ROWS: Any = ConsignmentStep.objects.with_corrected().select_related(
    "consignment__supplier", "lot__sku", "posting", "done_by"
)


@looking("inventory.view_consignment")
@require_GET
def given_back(request: HttpRequest, number: int, posting: int) -> HttpResponse:
    """The paper of one giving back; none where it was taken back since."""
    rows = _ROWS.filter(consignment=number, posting=posting, kind=StepKind.GIVEN_BACK)
    steps = [step for step in rows.order_by("pk") if not step.corrected]
    if not steps:
        raise Http404
    name = f"{steps[0].consignment.number} {posting}.pdf"
    return attachment(drawn(steps), name=name, media_type=PDF)


def drawn(steps: Sequence[ConsignmentStep]) -> bytes:
    """The paper of these steps, which are of one posting; the same steps give the same bytes."""
    row, posting = steps[0].consignment, steps[0].posting_id
    title = f"Return of goods on consignment {row.number}"
    foot = Foot(f"{settings.SHOP_NAME} · {row.number}, posting {posting}")
    return printed(title, foot, lambda: _story(title, steps))


def _story(title: str, steps: Sequence[ConsignmentStep]) -> Iterable[Flowable]:
    row, first = steps[0].consignment, steps[0]
    day = timezone.localtime(first.done_at).date().isoformat()
    yield words(title, TITLE)
    yield words(f"From {settings.SHOP_NAME} to {row.supplier}", STRONG)
    yield words(f"Left on {day}, posting {first.posting_id}, booked by {first.done_by}.")
    if row.reference:
        yield words(f"Your paper: {row.reference}")
    if first.posting.note:
        yield words(first.posting.note)
    rows: list[list[Any]] = [[words(name, SMALL) for name in COLUMNS], *map(_row, steps)]
    yield Table(rows, colWidths=WIDTHS, style=RULED, repeatRows=1, hAlign="LEFT")
    yield words(f"{sum(step.quantity for step in steps)} tyres in all.", STRONG)
    yield words("Received by, on:", BODY)


def _row(step: ConsignmentStep) -> list[Flowable]:
    lot = step.lot
    told = (str(lot.sku), lot.code, lot.date_code, f"{lot.mark} {lot.mark_issue}".strip())
    rest = (*told, lot.get_condition_display())
    return [words(str(step.quantity), STRONG), *(words(one or "–") for one in rest)]
