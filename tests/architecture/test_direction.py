"""Stock knows nothing of cars: the ways round the import contracts are closed too."""

from __future__ import annotations

import ast
import re

from django.apps import apps

from tests.support.source import ROOT, Source, parse, sources, templates

# The floor an app stands on; a key, a name or an address may only point down, or across.
FLOOR = {"ground": 0, "inventory": 1, "fitments": 2, "stockist": 3}
# What the rest of fitments may know of stock: what a tyre *is*.
KNOWN_TO_FITMENTS = re.compile(r"inventory\.(markings|sets|ground|release|tracing|models)\b")


def floor_of(path: str) -> int:
    return FLOOR["ground"] if path.startswith("inventory/ground/") else FLOOR[path.split("/")[0]]


def upward_names(source: Source) -> list[str]:
    """String keys and look-ups, such as "fitments.Variant", that point to a floor above."""
    above = [app for app, floor in FLOOR.items() if floor > floor_of(source.name)]
    found = []
    for node in ast.walk(source.tree):
        if isinstance(node, ast.Call):
            texts = [a.value for a in node.args if isinstance(a, ast.Constant)]
            for text in texts:
                if isinstance(text, str) and re.match(
                    rf"({'|'.join(above) or '(?!)'})(\.\w+)?$", text
                ):
                    found.append(f"{source.name}:{node.lineno} {text}")
    return found


def upward_url_names(path: str, text: str) -> list[str]:
    above = [app for app, floor in FLOOR.items() if floor > floor_of(path)]
    names = re.findall(r"""\{%\s*(?:url|include)\s+["']([\w/-]+)[:/]""", text)
    return [name for name in names if name.split("/")[0] in above]


def test_no_key_points_up():
    wrong = [
        f"{model._meta.label}.{field.name}"
        for app in ("ground", "inventory", "fitments")
        for model in apps.get_app_config(app).get_models()
        for field in model._meta.get_fields()
        if field.is_relation and field.concrete and field.related_model
        if FLOOR.get(field.related_model._meta.app_label, -1) > FLOOR[app]
    ]
    assert wrong == []


def test_no_back_door_opens_down():
    wrong = [
        f"{relation.field.model._meta.label}.{relation.field.name} needs related_name='+'"
        for app in ("auth", "ground", "inventory")
        for model in apps.get_app_config(app).get_models()
        for relation in model._meta.related_objects
        if FLOOR.get(relation.related_model._meta.app_label, -1) > FLOOR.get(app, -1)
        if not relation.hidden and "admin" not in relation.related_model.__module__
    ]
    assert wrong == []


def test_nothing_is_named_upward():
    assert [name for source in sources() for name in upward_names(source)] == []


def test_a_name_that_points_up_would_be_found():
    sample = parse('models.ForeignKey("fitments.Variant")\napps.get_model("fitments", "Variant")')
    assert len(upward_names(sample)) == 2
    assert upward_names(parse('models.ForeignKey("inventory.Sku")\nlog("stockists differ")')) == []


def test_no_template_leads_upward():
    names = [(str(path.relative_to(ROOT)), path.read_text()) for path in templates()]
    assert [(name, up) for name, text in names for up in upward_url_names(name, text)] == []


def test_a_template_that_leads_up_would_be_found():
    assert upward_url_names("inventory/", "{% url 'fitments:car' pk=1 %}") == ["fitments"]
    assert upward_url_names("fitments/", "{% url 'inventory:lot' pk=1 %}") == []


def test_fitments_know_only_what_a_tyre_is():
    of_stock = [
        (source.name, name)
        for source in sources("fitments")
        for name in source.imports
        if name.startswith("inventory.")
    ]
    assert [(name, known) for name, known in of_stock if not KNOWN_TO_FITMENTS.match(known)] == []
