"""Every factory makes a row that its model's own checks let through, in each named situation."""

from __future__ import annotations

import pytest

from tests.factories import (
    approvals,
    buying,
    cars,
    catalogue,
    consigning,
    counting,
    people,
    places,
    planning,
    selling,
    stock,
    storing,
    vans,
)

pytestmark = pytest.mark.django_db
# Made by booking a delivery or moving between sites, in tests too.
BOOKED = {
    *("inventory.transfer", "inventory.transferline", "inventory.suppliercomplaint"),
    *("inventory.deliveryline", "inventory.deliverynoteline"),
    *("inventory.holdline", "inventory.picklist", "inventory.pickline"),
    *("inventory.despatch", "inventory.despatchline", "inventory.return", "inventory.returnline"),
    *("inventory.customercomplaint", "inventory.complaintpicture"),
}
# Written by the database beside each row of what they are versions of.
KEPT = {
    *("fitments.evidenceversion", "fitments.issuermarkversion", "fitments.testresultversion"),
    "fitments.competitionclassversion",
}
MODULES = (
    approvals,
    buying,
    cars,
    catalogue,
    consigning,
    counting,
    people,
    places,
    planning,
    selling,
    stock,
    storing,
    vans,
)
FACTORIES = {
    name: found
    for module in MODULES
    for name, found in vars(module).items()
    if name.endswith("Factory") and found.__module__ == module.__name__
}
SITUATIONS = [
    (name, trait) for name, made in FACTORIES.items() for trait in (None, *made._meta.parameters)
]


@pytest.mark.parametrize(("name", "trait"), SITUATIONS)
def test_a_row_is_valid_in_every_situation(name, trait):
    row = FACTORIES[name](**({trait: True} if trait else {}))
    row.full_clean()
    row.refresh_from_db()
    assert str(row)


@pytest.mark.parametrize("name", sorted(FACTORIES))
def test_rows_can_be_made_by_the_handful(name):
    assert len({row.pk for row in FACTORIES[name].create_batch(3)}) == 3


def test_every_model_has_a_factory():
    from django.apps import apps

    models = {
        model
        for app in ("inventory", "fitments")
        for model in apps.get_app_config(app).get_models()
        if not model.__name__.startswith("Historical")
    }
    made = {factory._meta.model for factory in FACTORIES.values()}
    assert {
        model for model in models - made if model._meta.label_lower not in BOOKED | KEPT
    } == set()


def test_user_of_a_role():
    assert people.UserFactory(role="counter").groups.get().name == "counter"


def test_parsed_columns_follow_the_size():
    sku = catalogue.SkuFactory(size_text="165 HR 15")
    assert (sku.rim_mm, sku.speed_in_size, sku.construction) == (381, "H", "radial")


def test_week_follows_the_date_code():
    lot = stock.LotFactory(date_code="1417")
    assert lot.first_day.year == 2017
    assert (lot.last_day - lot.first_day).days == 6
    assert stock.LotFactory(date_code="1517", sku=lot.sku).week_index == lot.week_index + 1


def test_superseded_and_withdrawn_approvals():
    superseded = approvals.ApprovalFactory(superseded=True).versions.get()
    assert superseded.superseded_by.mark_issue == "3"
    assert approvals.ApprovalFactory(withdrawn=True).versions.get().withdrawn_on is not None
