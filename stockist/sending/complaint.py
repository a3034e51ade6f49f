"""One complaint of a customer, followed to its end: pictures, the maker, the answer."""

from __future__ import annotations

from typing import Any

from django import forms
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET

from inventory.activities import complaining
from inventory.ground import uploads
from inventory.ground.fields import one_line, some_words
from inventory.ground.idempotency import KeyedForm
from inventory.models.complaint import (
    ComplaintOutcome,
    ComplaintPicture,
    ComplaintState,
    CustomerComplaint,
)
from inventory.models.supplier import Supplier
from stockist.selling.steps import step
from stockist.sending.complaints import state_of
from stockist.sending.pictures import PictureForm, kept
from stockist.steps import looking

FOLLOW = "inventory.change_customercomplaint"


class MakerForm(KeyedForm):
    """Who has it, and under what reference."""

    supplier = forms.ModelChoiceField(
        Supplier.objects.order_by("name"), label="To which supplier", required=False,
        empty_label="the one who delivered the lot",
    )  # fmt: skip
    maker_reference = forms.CharField(
        label="Maker's reference", max_length=60, required=False, validators=[one_line]
    )


class CloseForm(KeyedForm):
    """What it came to, and what was answered."""

    outcome = forms.ChoiceField(label="It is", choices=ComplaintOutcome.choices)
    answer = forms.CharField(
        label="What the customer was answered", max_length=2000,
        widget=forms.Textarea({"rows": 3}), validators=[some_words],
    )  # fmt: skip


def rows_of() -> QuerySet[CustomerComplaint]:
    return CustomerComplaint.objects.with_names()


@looking("inventory.view_customercomplaint")
@require_GET
def complaint(request: HttpRequest, number: int) -> HttpResponse:
    """One complaint, and what comes next."""
    return page(request, get_object_or_404(rows_of(), pk=number))


def page(
    request: HttpRequest,
    found: CustomerComplaint,
    *,
    refused: str = "",
    status: int = 200,
    bound: dict[str, Any] | None = None,
) -> HttpResponse:
    """The page of a complaint."""
    is_open = found.state != ComplaintState.CLOSED
    follows = request.user.has_perm(FOLLOW) and is_open
    context = {
        "complaint": found,
        "stands": state_of(found),
        "pictures": list(found.pictures.defer("content").select_related("added_by").order_by("pk")),
        "may_close": follows,
        "may_send": follows and found.state == ComplaintState.OPEN,
        "may_add": request.user.has_perm("inventory.add_complaintpicture"),
        "maker": MakerForm(),
        "close": CloseForm(),
        "picture": PictureForm(),
        "refused": refused,
        **(bound or {}),
    }
    return render(request, "sending/complaint.html", context, status=status)


SAME: dict[str, Any] = {
    "rows": rows_of, "called": "complaint", "page": page,
    "to": lambda row: ("sending:complaint", row.pk),
}  # fmt: skip
to_maker = step(
    **SAME, permission=FOLLOW, form=MakerForm, name="maker", work=complaining.take_to_maker,
    done="The maker has it.",
)  # fmt: skip
close = step(
    **SAME, permission=FOLLOW, form=CloseForm, name="close", work=complaining.close, done="Closed."
)
add_picture = step(
    **SAME, permission="inventory.add_complaintpicture", form=PictureForm, name="picture",
    work=kept, done="The picture is kept.",
)  # fmt: skip


@looking("inventory.view_complaintpicture")
@require_GET
def picture(request: HttpRequest, number: int) -> HttpResponse:
    """The copy of a picture, as a file."""
    found = get_object_or_404(ComplaintPicture, pk=number)
    return uploads.attachment(bytes(found.content), name=found.name, media_type=found.media_type)
