"""Every model is on one list, and the database agrees: a new model fails until someone decides."""

from __future__ import annotations

import pytest
from django.apps import apps
from django.db import connection

# Written once; a trigger refuses the rest.
APPEND_ONLY = {
    *("inventory.lot", "inventory.posting", "inventory.ledgerline", "fitments.approval"),
    *("inventory.despatch", "inventory.despatchline", "inventory.return", "inventory.returnline"),
    *("inventory.complaintpicture", "inventory.alertoverride", "inventory.holdextension"),
    *("inventory.storageextension", "inventory.consignmentstep"),
}
# Written once but for its end: a period closed by the next version, a promise kept or given up.
VERSIONED = {
    *("fitments.approvalversion", "inventory.hold", "inventory.quote", "inventory.preorder"),
    # Written by the database beside each row of what they are versions of.
    *("fitments.evidenceversion", "fitments.issuermarkversion", "fitments.testresultversion"),
    "fitments.competitionclassversion",
    "inventory.seasonchange",
}
# Follows from others, and can be made again from them.
DERIVED = {"inventory.balance", "inventory.learnt"}
# Kept by people, with the history of who changed what.
EDITABLE = {
    *("inventory.tyremaker", "inventory.pattern", "inventory.compound", "inventory.sku"),
    *("inventory.gtin", "inventory.typeapproval", "inventory.companion", "inventory.supplier"),
    *("inventory.customer", "inventory.customercar", "inventory.carwheel"),
    *("inventory.block", "inventory.enquiry"),
    *("inventory.supplierterms", "inventory.pricebreak", "inventory.productionbatch"),
    *("inventory.purchaseorder", "inventory.purchaseline", "inventory.delivery"),
    *("inventory.deliverynoteline", "inventory.deliveryline", "inventory.suppliercomplaint"),
    *("inventory.transfer", "inventory.transferline", "inventory.outing"),
    *("inventory.count", "inventory.countline", "inventory.writeoff"),
    *("inventory.consignment", "inventory.consignedlot"),
    *("inventory.storage", "inventory.storedlot"),
    *("inventory.holdline", "inventory.order", "inventory.orderline", "inventory.preorderline"),
    *("inventory.picklist", "inventory.pickline", "inventory.customercomplaint"),
    *("inventory.expecteddelivery", "inventory.season", "inventory.event"),
    *("inventory.earliersales", "inventory.skupair", "inventory.alert", "inventory.ageingalert"),
    *("fitments.carmaker", "fitments.vehicleline", "fitments.variant", "fitments.chassisrange"),
    *("fitments.wheeloption", "fitments.pressure", "fitments.identifiedcar", "fitments.fitment"),
    *("fitments.evidence", "fitments.issuermark", "fitments.testresult"),
}
# Seldom changes, and the rest is told by it.
REFERENCE = {
    *("inventory.priceclass", "inventory.agestep"),
    *("inventory.site", "inventory.place", "fitments.organiser", "fitments.competitionclass"),
}
# Keeps the machine in order; nobody's data.
HOUSEKEEPING = {
    *("ground.idempotencykey", "ground.sheetload"),
    *("ground.job", "ground.jobfailure", "ground.jobfile"),
}

LISTS = (APPEND_ONLY, VERSIONED, DERIVED, EDITABLE, REFERENCE, HOUSEKEEPING)
OURS = {
    model._meta.label_lower: model
    for app in ("ground", "inventory", "fitments")
    for model in apps.get_app_config(app).get_models()
}
# What simple-history keeps of an editable model follows it and needs no decision of its own.
HISTORY = {name for name in OURS if name.split(".")[1].startswith("historical")}


# pg_trigger.tgtype is a sum of these (PostgreSQL source, catalog/pg_trigger.h).
DELETE, UPDATE, TRUNCATE = 8, 16, 32


def guarded(table: str) -> int:
    """The sum of what triggers look at before it is done to this table."""
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT coalesce(bit_or(tgtype), 0) & (8 + 16 + 32) FROM pg_trigger WHERE tgrelid = "
            "%s::regclass AND NOT tgisinternal AND tgenabled = 'O' AND tgtype & 2 = 2",
            [table],
        )
        return cursor.fetchone()[0]


def test_every_model_is_on_a_list():
    assert set().union(*LISTS) == set(OURS) - HISTORY


def test_no_model_is_on_two():
    assert sum(map(len, LISTS)) == len(set().union(*LISTS))


@pytest.mark.django_db
@pytest.mark.parametrize("name", sorted(APPEND_ONLY | VERSIONED))
def test_the_database_refuses_to_change_what_is_written_once(name):
    assert guarded(OURS[name]._meta.db_table) == DELETE + UPDATE + TRUNCATE


@pytest.mark.django_db
@pytest.mark.parametrize("name", sorted(DERIVED | EDITABLE | REFERENCE | HOUSEKEEPING))
def test_and_lets_the_rest_be_changed(name):
    assert guarded(OURS[name]._meta.db_table) == 0


@pytest.mark.parametrize("name", sorted(HISTORY))
def test_only_what_people_keep_has_a_history(name):
    assert name.replace("historical", "") in EDITABLE | REFERENCE
