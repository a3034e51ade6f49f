"""The back office as a person of a role sees it: every list and every page, counted."""

from __future__ import annotations

import pytest
from django.contrib import admin
from django.contrib.auth.models import User
from django.db.models import Model
from django.test import Client
from django.urls import reverse

from tests.support.people import with_role

OURS = ("ground", "inventory", "fitments")


@pytest.fixture
def no_side_list(monkeypatch):
    """The list of all tables beside each page, which takes half of its time, is left out."""
    monkeypatch.setattr(admin.site, "enable_nav_sidebar", False)
    monkeypatch.setattr(admin.site, "get_app_list", lambda *_: [])


def registered(*apps: str) -> dict[str, type[Model]]:
    """Our models that have a page, by label."""
    models = (model for model in admin.site._registry if model._meta.app_label in apps)
    return {model._meta.label_lower: model for model in models}


def office(role: str) -> Client:
    """The back office as somebody of this role; `nobody` has no role, `anybody` may everything."""
    client = Client()
    client.force_login(staff(role))
    return client


def staff(role: str) -> User:
    """Somebody of this role who is let into the back office."""
    person = User.objects.filter(username=role).first() or (
        with_role(role) if role not in {"nobody", "anybody"} else User(username=role)
    )
    person.is_staff, person.is_superuser = True, role == "anybody"
    person.save()
    return person


def list_of(model: type[Model]) -> str:
    """The address of a list."""
    return reverse(f"admin:{model._meta.app_label}_{model._meta.model_name}_changelist")


def page_of(row: Model) -> str:
    """The address of a row's own page."""
    name = f"admin:{row._meta.app_label}_{row._meta.model_name}_change"
    return reverse(name, args=[row.pk])


def add_to(model: type[Model]) -> str:
    """The address of the form for a new row."""
    return reverse(f"admin:{model._meta.app_label}_{model._meta.model_name}_add")


def filled(client: Client, address: str, **changes) -> dict:
    """What the form at an address would send, with these changes."""
    form = client.get(address).context["adminform"].form
    values = {name: form[name].value() for name in form.fields}
    return {name: value for name, value in (values | changes).items() if value is not None}


def told(answer) -> str:
    """Every error on a form that was sent."""
    assert answer.status_code == 200, answer.status_code
    form = answer.context["adminform"].form
    return " ".join(str(error) for errors in form.errors.values() for error in errors)
