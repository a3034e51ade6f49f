"""What is said while a transfer is booked in: scans, numbers, and why some did not come."""

from __future__ import annotations

from typing import Any

from django import forms

from inventory.ground.idempotency import KeyedForm
from inventory.models.place import Place, PlaceKind
from inventory.models.transfer import ShortReason, Transfer
from stockist.goods_in.fields import PlaceField, ScanField

_UNLOADED_INTO = [PlaceKind.GOODS_IN, PlaceKind.STORAGE, PlaceKind.QUARANTINE]


class ScanForm(KeyedForm):
    """The label of a tyre, and where it goes: all of its lot, unless a number is said."""

    scanned = ScanField(label="Scan the tyre")
    place = PlaceField(
        label="Into which place", help_text="Stays until another place is scanned, here or above."
    )
    quantity = forms.IntegerField(label="How many, if not all", required=False)
    they_fit = forms.BooleanField(label="They fit, whatever the room says", required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **{"auto_id": "scan_%s", **kwargs})
        for name in ("scanned", "place"):
            self.fields[name].widget.attrs["data-wanted"] = True


class NumbersForm(KeyedForm):
    """Without a scanner: where it is unloaded, and how many of each lot came."""

    place = forms.ModelChoiceField(label="Unloaded into", queryset=Place.objects.none())

    def __init__(self, *args: Any, transfer: Transfer, **kwargs: Any) -> None:
        super().__init__(*args, **{"auto_id": "came_%s", **kwargs})
        places = Place.objects.filter(site=transfer.to_site, kind__in=_UNLOADED_INTO)
        ordered = places.order_by("walk", "code")
        self.fields["place"].queryset = ordered  # type: ignore[attr-defined]
        self.fields["place"].initial = ordered.first()
        for line in transfer.lines.select_related("lot__sku").order_by("pk"):
            if line.to_come:
                self.fields[f"lot_{line.lot_id}"] = forms.IntegerField(
                    label=f"{line.lot} ({line.lot.sku}), {line.to_come} to come",
                    min_value=0,
                    initial=line.to_come,
                )
        self.fields["they_fit"] = forms.BooleanField(
            label="They fit, whatever the room says", required=False
        )

    def came(self) -> dict[int, int]:
        """Tyres by the keys of lots; those of which none came are left out."""
        return {
            int(name.removeprefix("lot_")): value
            for name, value in self.cleaned_data.items()
            if name.startswith("lot_") and value
        }


class EndForm(KeyedForm):
    """What became of those that did not come."""

    reason = forms.ChoiceField(label="What became of them", choices=ShortReason.choices)
    found_in = PlaceField(label="Where they lie, if they were left behind", required=False)
    why = forms.CharField(
        label="What happened", max_length=500, required=False, widget=forms.Textarea({"rows": 2})
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **{"auto_id": "end_%s", **kwargs})
