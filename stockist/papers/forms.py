"""What is asked before a paper is drawn."""

from __future__ import annotations

from datetime import date

from django import forms
from django.db.models import QuerySet

from fitments.models.organiser import CompetitionClass
from inventory.models.hold import Hold
from stockist.inputs import day_input


class CardForm(forms.Form):
    """Which class's list, for which day."""

    run_in = forms.ModelChoiceField(
        CompetitionClass.objects.none(), label="Class", to_field_name="code",
    )  # fmt: skip
    on = forms.DateField(label="Day of the meeting", widget=day_input())

    def among(self, classes: QuerySet[CompetitionClass]) -> CardForm:
        """Narrow the choice to these."""
        self.fields["run_in"].queryset = classes  # type: ignore[attr-defined]
        return self


def card_form(hold: Hold, said: object | None, *, today: date) -> CardForm:
    """The form of a hold's card: of a known car the classes that admit it, else every class."""
    classes = CompetitionClass.objects.select_related("organiser")
    mine = classes.filter(variants__identified_cars__customer_car=hold.car_id)
    offered = mine if hold.car_id and mine.exists() else classes
    first = {"run_in": hold.answer.get("class") or None, "on": today}
    form = CardForm(said, initial=first)  # type: ignore[arg-type]
    return form.among(offered)
