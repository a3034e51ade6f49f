"""What a list of jobs may be narrowed to."""

from __future__ import annotations

from typing import Any

from django import forms

from inventory.ground.jobs.kinds import every_kind
from inventory.ground.jobs.model import Job, JobQuerySet, JobState


class JobsForm(forms.Form):
    """Every field may be left as it is. ``before`` is the last job of the page before."""

    state = forms.ChoiceField(
        label="Where it stands",
        choices=(("", "any"), ("under-way", "waiting or running"), *JobState.choices),
        required=False,
    )
    kind = forms.ChoiceField(label="Kind", required=False)
    before = forms.IntegerField(
        min_value=1, max_value=2**63 - 1, required=False, widget=forms.HiddenInput
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        kinds = sorted((kind.title, kind.name) for kind in every_kind().values())
        choices = [("", "any"), *((name, title) for title, name in kinds)]
        self.fields["kind"] = forms.ChoiceField(label="Kind", choices=choices, required=False)

    def jobs(self) -> JobQuerySet:
        """The jobs asked for, newest first; all of them where what was asked cannot be read."""
        found = Job.objects.select_related("asked_by").order_by("-pk")
        if not self.is_valid():
            return found
        said = self.cleaned_data
        if said["before"]:
            found = found.filter(pk__lt=said["before"])
        if said["kind"]:
            found = found.filter(kind=said["kind"])
        if said["state"] == "under-way":
            return found.under_way()
        return found.filter(state=said["state"]) if said["state"] else found
