"""What is said of a van: to which meeting, what is loaded, sold from it, and brought back."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms

from inventory.activities.outings import Stands
from inventory.ground.fields import one_line
from inventory.ground.idempotency import KeyedForm
from inventory.models.place import Site, SiteKind
from stockist.goods_in.fields import PlaceField, ScanField
from stockist.goods_in.loads import LoadsField
from stockist.inputs import day_input
from stockist.selling.forms import WhoForm, line, words


class OutingsForm(forms.Form):
    """Which outings are listed."""

    stands = forms.ChoiceField(
        label="Where it stands",
        choices=(("", "any"), ("out", "out"), ("back", "back")),
        required=False,
    )
    q = line("Meeting", 60)


class OpenForm(KeyedForm):
    """Which van goes where, and when."""

    van = forms.ModelChoiceField(
        label="Van", queryset=Site.objects.filter(kind=SiteKind.MOBILE).order_by("code")
    )
    home = forms.ModelChoiceField(
        label="Loaded at", queryset=Site.objects.exclude(kind=SiteKind.MOBILE).order_by("code")
    )
    meeting = forms.CharField(label="Meeting", max_length=120, validators=[one_line])
    day = forms.DateField(label="First day", widget=day_input())
    note = words("Note")


class LoadForm(KeyedForm):
    """What is taken from the racks, and into which place of the van."""

    into = PlaceField(label="Into which place of the van")
    loads = LoadsField(label="What is loaded, a line each: lot, place, how many")
    they_fit = forms.BooleanField(label="They fit, whatever the room says", required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **{"auto_id": "load_%s", **kwargs})


class SellForm(WhoForm):
    """For whom, which tyre, how many."""

    scanned = ScanField(label="Scan the tyre, or its SKU")
    quantity = forms.IntegerField(label="How many", initial=1)

    field_order = ("scanned", "quantity", "name", "telephone", "email")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **{"auto_id": "sell_%s", **kwargs})


class UnloadForm(KeyedForm):
    """Where it is unloaded, and how many of each lot are there."""

    into = PlaceField(label="Unloaded into", required=False)

    def __init__(self, *args: Any, stands: Sequence[Stands], **kwargs: Any) -> None:
        super().__init__(*args, **{"auto_id": "back_%s", **kwargs})
        for one in stands:
            if one.left > 0:
                self.fields[f"lot_{one.lot.pk}"] = forms.IntegerField(
                    label=f"{one.lot} ({one.lot.sku}), {one.left} by the books",
                    min_value=0,
                    initial=one.left,
                    required=not self.by_scan,
                )
        self.fields["they_fit"] = forms.BooleanField(
            label="They fit, whatever the room says", required=False
        )

    @property
    def by_scan(self) -> bool:
        """Whether nothing was counted: all of it is scanned in at home."""
        return "scan" in self.data

    def came(self) -> dict[int, int]:
        """Tyres that are there, by the keys of lots."""
        return {
            int(name.removeprefix("lot_")): value
            for name, value in self.cleaned_data.items()
            if name.startswith("lot_")
        }
