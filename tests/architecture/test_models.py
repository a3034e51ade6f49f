"""Rules about every table of ours, whoever adds one."""

from __future__ import annotations

import re

import pytest
from django.apps import apps
from django.db import models
from django.db.models import BaseConstraint

from tests.support.source import sources

OURS = [
    model
    for app in ("ground", "inventory", "fitments")
    for model in apps.get_app_config(app).get_models()
]
NO_SENTENCE = str(BaseConstraint.default_violation_error_message)
LOOSE = re.compile(r"on_delete=models\.(?!RESTRICT|PROTECT)\w+")


def loose_keys(text: str) -> list[str]:
    """Lines with an on_delete that lets go, and no comment there or just above that says why."""
    lines = text.splitlines()
    return [
        line.strip()
        for place, line in enumerate(lines)
        if LOOSE.search(line) and "#" not in line and not lines[place - 1].strip().startswith("#")
    ]


@pytest.mark.parametrize("model", OURS, ids=lambda model: model._meta.label)
def test_every_constraint_has_a_sentence(model):
    wanting = [
        constraint.name
        for constraint in model._meta.constraints
        if str(constraint.violation_error_message) == NO_SENTENCE
        or not str(constraint.violation_error_message).endswith((".", "?"))
    ]
    assert wanting == []


@pytest.mark.parametrize("model", OURS, ids=lambda model: model._meta.label)
def test_rows_come_in_a_stated_order(model):
    assert model._meta.ordering


@pytest.mark.parametrize("model", OURS, ids=lambda model: model._meta.label)
def test_words_about_it_are_plain(model):
    assert str(model._meta.verbose_name) == str(model._meta.verbose_name).strip()
    assert not str(model._meta.verbose_name)[:2].istitle() or "historical" in str(model._meta)


@pytest.mark.parametrize(
    "source",
    [source for source in sources() if "models" in source.name],
    ids=lambda source: source.name,
)
def test_a_key_that_lets_go_says_why(source):
    assert loose_keys(source.text) == []


def test_a_loose_key_would_be_found():
    assert loose_keys("x\n    on_delete=models.CASCADE,\n")
    assert loose_keys("# a part of it\non_delete=models.CASCADE,\n") == []
    assert loose_keys("x\non_delete=models.SET_NULL,  # stays without it\n") == []


@pytest.mark.parametrize("model", OURS, ids=lambda model: model._meta.label)
def test_rules_are_not_hidden_in_saving(model):
    if model._meta.label.split(".")[1].startswith("Historical"):
        return
    assert "save" not in vars(model)
    assert "clean" not in vars(model)


def test_people_are_django_s_own():
    assert issubclass(apps.get_model("auth", "User"), models.Model)
    assert not any(model._meta.swappable for model in OURS)
