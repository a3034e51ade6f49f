"""Complaints to suppliers: which are open, and each followed to its end."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from inventory.activities import settling
from inventory.ground.fields import one_line, some_words
from inventory.ground.idempotency import KeyedForm
from inventory.ground.refusal import Refusal
from inventory.models.delivery import Disagreement
from inventory.models.supplier import Supplier
from inventory.models.supplier_complaint import (
    Settlement,
    SupplierComplaint,
    SupplierComplaintState,
)
from stockist.goods_in.rows import complaint_row
from stockist.listing import newest_first
from stockist.steps import by, doing, fresh_key, looking, told

UNSETTLED = "unsettled"


class ComplaintsForm(forms.Form):
    """Which complaints are listed: those not settled, unless another state is asked for."""

    state = forms.ChoiceField(
        label="Where it stands",
        choices=((UNSETTLED, "not settled"), ("any", "any"), *SupplierComplaintState.choices),
        required=False,
    )
    reason = forms.ChoiceField(
        label="Reason", choices=(("", "any"), *Disagreement.choices), required=False
    )
    supplier = forms.ModelChoiceField(
        label="Supplier", queryset=Supplier.objects.order_by("name"), required=False,
        empty_label="any",
    )  # fmt: skip

    def complaints(self) -> Any:
        """The complaints asked for."""
        rows = SupplierComplaint.objects.with_names()
        said = self.cleaned_data if self.is_valid() else {}
        state = said.get("state") or UNSETTLED
        if state == UNSETTLED:
            rows = rows.unsettled()
        elif state != "any":
            rows = rows.filter(state=state)
        wanted = {name: said[name] for name in ("reason", "supplier") if said.get(name)}
        return rows.filter(**wanted)


class SendForm(KeyedForm):
    """Under what reference the supplier has it."""

    their_reference = forms.CharField(
        label="Supplier's reference", max_length=60, required=False, validators=[one_line]
    )


class SettleForm(KeyedForm):
    """What the supplier answered."""

    settlement = forms.ChoiceField(label="Settled by", choices=Settlement.choices)
    answer = forms.CharField(
        label="What was answered",
        max_length=2000,
        widget=forms.Textarea({"rows": 3}),
        validators=[some_words],
    )
    credit = forms.DecimalField(
        label="Credit, if an amount is known", min_value=0, max_digits=9, decimal_places=2,
        required=False,
    )  # fmt: skip


@looking("inventory.view_suppliercomplaint")
@require_GET
def complaints(request: HttpRequest) -> HttpResponse:
    """Which complaints are not settled, the newest first."""
    form = ComplaintsForm(request.GET or None)
    listing = newest_first(request, form.complaints())
    context = {"rows": [complaint_row(one) for one in listing.rows], "more": listing.more}
    return render(request, "goods_in/complaints.html", {**context, "form": form})


@looking("inventory.view_suppliercomplaint")
@require_GET
def complaint(request: HttpRequest, number: int) -> HttpResponse:
    """One complaint: what is wrong, where the tyres are, and what comes next."""
    return _page(request, number)


def _page(
    request: HttpRequest,
    number: int,
    *,
    refused: str = "",
    status: int = 200,
    bound: dict[str, Any] | None = None,
) -> HttpResponse:
    found = get_object_or_404(SupplierComplaint.objects.with_names(), pk=number)
    settled = found.state == SupplierComplaintState.SETTLED
    context = {
        "row": complaint_row(found),
        "complaint": found,
        "may_follow": request.user.has_perm("inventory.change_suppliercomplaint") and not settled,
        "may_send_back": (
            request.user.has_perm("inventory.add_posting")
            and found.lot_id is not None
            and found.sent_back_id is None
            and found.settlement != Settlement.ACCEPTED
        ),
        "send": SendForm(),
        "settle": SettleForm(),
        "key": fresh_key(),
        "refused": refused,
        **(bound or {}),
    }
    return render(request, "goods_in/complaint.html", context, status=status)


def _step(
    name: str, permission: str, form: type[KeyedForm], work: Callable[..., Any], done: str
) -> Callable[[HttpRequest, int], HttpResponse]:
    @doing(permission)
    @require_POST
    def answered(request: HttpRequest, number: int) -> HttpResponse:
        found = get_object_or_404(SupplierComplaint, pk=number)
        said = form(request.POST)
        if not said.is_valid():
            return _page(request, number, status=400, bound={name: said})
        values = {key: one for key, one in said.cleaned_data.items() if key != "idempotency_key"}
        try:
            work(complaint=found, by=by(request), at=timezone.now(), **values)
        except Refusal as refusal:
            told(said, refusal)
            words, status = refusal.sentence, refusal.status
            return _page(request, number, refused=words, status=status, bound={name: said})
        messages.success(request, done)
        return redirect("goods_in:complaint", number)

    return answered


FOLLOW = "inventory.change_suppliercomplaint"
send = _step("send", FOLLOW, SendForm, settling.send_complaint, "The supplier has it.")
settle = _step("settle", FOLLOW, SettleForm, settling.settle, "Settled.")
send_back = _step(
    "back", "inventory.add_posting", KeyedForm, settling.send_back,
    "Booked out: the tyres go back to the supplier.",
)  # fmt: skip
