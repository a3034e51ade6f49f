"""The admin's pages for tables that are written by an activity, as everywhere else.

The form is judged by the activity itself, in a savepoint that is rolled back; so a size that
cannot be read is told on the form, and what is saved has every column that follows from it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any, ClassVar

from django import forms
from django.db import transaction
from django.db.models import Model
from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from simple_history.admin import SimpleHistoryAdmin

from inventory.ground.backoffice.looking import Back
from inventory.ground.entries.writing import version_of
from inventory.ground.refusal import Refusal

if TYPE_CHECKING:
    ModelForm = forms.ModelForm[Any]
else:
    ModelForm = forms.ModelForm


class EnteredForm(ModelForm):
    """A form that an activity judges. `by` and `back` are set by the page that makes it."""

    by: ClassVar[Any] = None
    back: ClassVar[Any] = None
    # Fields of a refusal that have another name on the form.
    names: ClassVar[Mapping[str, str]] = {}

    def values(self) -> dict[str, Any]:
        """What is said: of a new row everything, of one that is there what was changed."""
        there = self.instance.pk is not None
        names = self.changed_data if there else list(self.cleaned_data)
        return {name: self.cleaned_data[name] for name in names if name != "seen"}

    def write(self) -> Model:
        """Have the activity do it. Raises what the activity refuses."""
        row = self.instance if self.instance.pk is not None else None
        written: Model = self.back.entered(row, self.values(), self.by, self.version())
        return written

    def version(self) -> int | None:
        """The version that the person looked at, where the row keeps a history."""
        return self.cleaned_data.get("seen")

    def _post_clean(self) -> None:
        # In place of Django's own judgement, which knows single fields only.
        if self.errors:
            return
        try:
            with transaction.atomic():
                self.write()
                transaction.set_rollback(True)
        except Refusal as refusal:
            for field, words in refusal.at_fault or [("", refusal.sentence)]:
                self.add_error(self._named(field), words)

    def _named(self, field: str) -> str | None:
        name = self.names.get(field, field.replace(".", "_"))
        return name if name in self.fields else None


class Kept(Back):
    """A table written by an activity: `make` a row, or `change` one, which it calls `called`."""

    form: type[EnteredForm] = EnteredForm
    make: ClassVar[Callable[..., Model]]
    change: ClassVar[Callable[..., Model]]
    called: ClassVar[str]

    def get_form(
        self, request: HttpRequest, obj: Model | None = None, change: bool = False, **kwargs: Any
    ) -> Any:
        form: Any = super().get_form(request, obj, change, **kwargs)
        return type(form.__name__, (form,), {"by": request.user, "back": self})

    def entered(
        self, row: Model | None, values: dict[str, Any], by: Any, seen: int | None
    ) -> Model:
        """What the activity answers."""
        at = timezone.now()
        if row is None:
            return type(self).make(by=by, at=at, **values)
        return type(self).change(**{self.called: row}, by=by, at=at, **values)

    def save_model(self, request: HttpRequest, obj: Any, form: Any, change: Any) -> None:
        """Not Django's way of saving: the activity's."""
        obj.pk = form.write().pk
        obj.refresh_from_db()

    def save_related(self, request: HttpRequest, form: Any, formsets: Any, change: Any) -> None:
        """What belongs to a row was written with it."""


class VersionedForm(EnteredForm):
    """A form that says which version of its row it was filled in from."""

    seen = forms.IntegerField(required=False, widget=forms.HiddenInput, label="")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.instance.pk is not None and "seen" in self.fields:
            self.fields["seen"].initial = version_of(self.instance)


class Versioned(Kept, SimpleHistoryAdmin):  # type: ignore[misc]
    """A table with a history, shown to whom the role lets; nothing is put back from there."""

    form = VersionedForm
    enforce_history_permissions = True

    def entered(
        self, row: Model | None, values: dict[str, Any], by: Any, seen: int | None
    ) -> Model:
        told = values if row is None else {**values, "seen": seen}
        return super().entered(row, told, by, None)

    def save_model(self, request: HttpRequest, obj: Any, form: Any, change: Any) -> None:
        Kept.save_model(self, request, obj, form, change)

    def revert_disabled(self, request: HttpRequest, obj: Model | None = None) -> bool:
        """What was is not put back unread: it is entered anew."""
        return True

    def history_form_view(
        self, request: HttpRequest, object_id: str, version_id: str, extra_context: Any = None
    ) -> HttpResponse:
        """An earlier version, to be looked at."""
        request.method = "GET"
        answer: HttpResponse = super().history_form_view(
            request, object_id, version_id, extra_context
        )
        return answer
