"""Who works here, and what each may do: least privilege, one line a model.

Groups are made after every migrate, so that a table emptied and filled again has them too.
`owner` is the only one who manages people, and the only one whose word makes an approval checked.
"""

from __future__ import annotations

from typing import Any

from django.apps import AppConfig, apps
from django.contrib.auth.management import create_permissions

ROLES = {
    "counter": "answers the customer: which tyre, which cars, have you got it",
    "warehouse": "receives, stores, counts and sends what is on the shelf",
    "buyer": "keeps the catalogue and orders what will run out",
    "owner": "decides what is approved, who may do what, and what leaves against advice",
}

READ = {"counter": "view", "warehouse": "view", "buyer": "view", "owner": "view"}
CATALOGUE = {**READ, "buyer": "view add change", "owner": "view add change delete"}
PLACES = {**READ, "owner": "view add change delete"}
PEOPLE = {"counter": "view add change", "buyer": "view", "owner": "view add change delete"}
# Written once: nobody changes or deletes, the database refuses it to the owner as well.
LEDGER = {"counter": "view", "warehouse": "view add", "buyer": "view", "owner": "view add"}
CARS = {"counter": "view", "buyer": "view add change", "owner": "view add change delete"}
APPROVALS = {"counter": "view", "buyer": "view", "owner": "view add change delete"}
HISTORY = {"buyer": "view", "owner": "view"}
# What was known when: kept by the database, written by nobody.
REGISTER = {"counter": "view", "buyer": "view", "owner": "view"}
SUPPLIERS = {"warehouse": "view", "buyer": "view add change", "owner": "view add change delete"}
BLOCKS = {**READ, "warehouse": "view add change", "owner": "view add change"}
# What the house buys, and at what price, is not the counter's business.
BUYING = {"warehouse": "view", "buyer": "view add change", "owner": "view add change delete"}
TERMS = {"buyer": "view add change", "owner": "view add change delete"}
GOODS_IN = {"warehouse": "view add change", "buyer": "view", "owner": "view add change"}
# Whoever complains puts the tyres aside; what comes of it is the buyer's.
DISPUTES = {"warehouse": "view add", "buyer": "view change", "owner": "view add change"}
TRANSFERS = {**READ, "warehouse": "view add change", "owner": "view add change"}
# Whoever meets the customer takes tyres in and hands them back: the counter, or the warehouse door.
STORING = ("counter", "warehouse", "owner")
STORED = {**READ, **dict.fromkeys(STORING, "view add change")}
# Taken and given back by the warehouse; `change` is to buy in, which is the house's money.
CONSIGNED = {"warehouse": "view add", "buyer": "view add change", "owner": "view add change"}
# Counted by the warehouse; what is posted above a limit wants another person, the owner or not.
COUNTS = {**READ, "warehouse": "view add change", "owner": "view add change"}
PRICING = {"counter": "view", "buyer": "view", "owner": "view add change delete"}
# Promises are the counter's; the warehouse sees for whom it fetches.
PROMISES = {**READ, "counter": "view add change", "owner": "view add change"}
QUOTES = {"counter": "view add change", "buyer": "view", "owner": "view add change"}
QUEUES = {"counter": "view add change", "buyer": "view add change", "owner": "view add change"}
EXPECTED = {**READ, "buyer": "view add change", "owner": "view add change"}
PICKING = {**READ, "warehouse": "view add change", "owner": "view add change"}
# Written once.
SENDING = {**READ, "warehouse": "view add", "owner": "view add"}
COMPLAINTS = {**PROMISES, "warehouse": "view add", "buyer": "view change"}
SEASONS = {"buyer": "view add change", "owner": "view add change delete"}
ALERTS = {"buyer": "view change", "owner": "view change"}
JOBS = {**READ, "buyer": "view add change", "owner": "view add change"}
NOBODY: dict[str, str] = {}

# Model -> role -> actions; an action with the model's name makes the permission's codename.
# Every model of ours stands here, once.
MAY: dict[str, dict[str, str]] = {
    "ground.idempotencykey": NOBODY,
    "ground.sheetload": {"buyer": "view add", "owner": "view add"},
    # Everybody may see how far a job is; `change` is to cancel, to resume and to run again.
    "ground.job": JOBS,
    "ground.jobfailure": READ,
    "ground.jobfile": NOBODY,
    "inventory.tyremaker": CATALOGUE,
    "inventory.pattern": CATALOGUE,
    "inventory.compound": CATALOGUE,
    "inventory.sku": CATALOGUE,
    "inventory.gtin": CATALOGUE,
    "inventory.typeapproval": CATALOGUE,
    "inventory.companion": CATALOGUE,
    "inventory.historicaltyremaker": HISTORY,
    "inventory.historicalpattern": HISTORY,
    "inventory.historicalcompound": HISTORY,
    "inventory.historicalsku": HISTORY,
    "inventory.supplier": SUPPLIERS,
    "inventory.supplierterms": TERMS,
    "inventory.pricebreak": TERMS,
    "inventory.historicalsupplierterms": HISTORY,
    "inventory.productionbatch": TERMS,
    "inventory.historicalproductionbatch": HISTORY,
    "inventory.purchaseorder": BUYING,
    "inventory.purchaseline": BUYING,
    "inventory.delivery": GOODS_IN,
    "inventory.deliverynoteline": GOODS_IN,
    "inventory.deliveryline": {**GOODS_IN, "warehouse": "view add change delete"},
    "inventory.suppliercomplaint": DISPUTES,
    "inventory.transfer": TRANSFERS,
    "inventory.transferline": TRANSFERS,
    "inventory.outing": TRANSFERS,
    "inventory.count": COUNTS,
    "inventory.countline": {**COUNTS, "warehouse": "view add change delete"},
    "inventory.writeoff": COUNTS,
    "inventory.storage": STORED,
    "inventory.storedlot": STORED,
    "inventory.storageextension": {**READ, **dict.fromkeys(STORING, "view add")},
    "inventory.consignment": CONSIGNED,
    "inventory.consignedlot": CONSIGNED,
    "inventory.consignmentstep": {**CONSIGNED, "buyer": "view add", "owner": "view add"},
    "inventory.expecteddelivery": EXPECTED,
    "inventory.season": SEASONS,
    "inventory.event": SEASONS,
    "inventory.historicalseason": HISTORY,
    "inventory.historicalevent": HISTORY,
    # Written once but for its end.
    "inventory.seasonchange": {"buyer": "view add change", "owner": "view add change"},
    "inventory.earliersales": SEASONS,
    "inventory.skupair": CATALOGUE,
    "inventory.learnt": {"buyer": "view", "owner": "view"},
    "inventory.alert": ALERTS,
    "inventory.alertoverride": {"buyer": "view add", "owner": "view add"},
    "inventory.ageingalert": {**ALERTS, "warehouse": "view"},
    "inventory.priceclass": PRICING,
    "inventory.agestep": PRICING,
    "inventory.hold": PROMISES,
    "inventory.holdline": PROMISES,
    "inventory.holdextension": {**READ, "counter": "view add", "owner": "view add"},
    "inventory.quote": QUOTES,
    "inventory.order": PROMISES,
    "inventory.orderline": PROMISES,
    "inventory.preorder": QUEUES,
    "inventory.preorderline": QUEUES,
    "inventory.picklist": PICKING,
    "inventory.pickline": PICKING,
    # The owner's word: tyres leave against advice.
    "inventory.despatch": {**SENDING, "owner": "view add word"},
    "inventory.despatchline": SENDING,
    "inventory.return": SENDING,
    "inventory.returnline": SENDING,
    "inventory.customercomplaint": COMPLAINTS,
    "inventory.complaintpicture": {**SENDING, "counter": "view add"},
    "inventory.customer": PEOPLE,
    "inventory.customercar": PEOPLE,
    "inventory.carwheel": {**PEOPLE, "counter": "view add change delete"},
    "inventory.enquiry": {"counter": "view add", "buyer": "view", "owner": "view"},
    "inventory.site": PLACES,
    "inventory.place": {**PLACES, "warehouse": "view add change"},
    "inventory.lot": LEDGER,
    "inventory.block": BLOCKS,
    "inventory.posting": LEDGER,
    "inventory.ledgerline": LEDGER,
    "inventory.balance": READ,
    "fitments.carmaker": CARS,
    "fitments.vehicleline": CARS,
    "fitments.variant": CARS,
    "fitments.chassisrange": CARS,
    "fitments.wheeloption": CARS,
    "fitments.pressure": CARS,
    "fitments.identifiedcar": PEOPLE,
    "fitments.fitment": CARS,
    "fitments.organiser": APPROVALS,
    "fitments.competitionclass": APPROVALS,
    "fitments.competitionclassversion": REGISTER,
    # Whoever works here may record a document; only the owner's word checks or corrects one.
    "fitments.evidence": {"counter": "view", "buyer": "view add", "owner": "view add change"},
    "fitments.evidenceversion": REGISTER,
    "fitments.testresult": {"counter": "view", "buyer": "view add", "owner": "view add change"},
    "fitments.testresultversion": REGISTER,
    "fitments.issuermark": {"counter": "view", "buyer": "view", "owner": "view add change"},
    "fitments.issuermarkversion": REGISTER,
    "fitments.approval": {"counter": "view", "buyer": "view", "owner": "view add"},
    "fitments.approvalversion": {"counter": "view", "buyer": "view", "owner": "view add"},
}
# People are managed in the admin, by the owner.
BESIDES: dict[str, dict[str, str]] = {
    "auth.user": {"owner": "view add change"},
    "auth.group": {"owner": "view"},
}
OUR_APPS = ("ground", "inventory", "fitments")


def permissions_of(role: str) -> set[str]:
    """What a role may do, as `app.codename`."""
    return {
        f"{app}.{action}_{name}"
        for model, roles in {**MAY, **BESIDES}.items()
        for app, name in [model.split(".")]
        for action in roles.get(role, "").split()
    }


def make_roles(**kwargs: Any) -> None:
    """Make the four groups and give each exactly what it may do; run it as often as you like."""
    for config in _apps_named():
        create_permissions(config, verbosity=0)
    # Looked up by name: this module is imported before there are models.
    groups = apps.get_model("auth", "Group").objects
    rows = apps.get_model("auth", "Permission").objects.select_related("content_type")
    known = {f"{row.content_type.app_label}.{row.codename}": row for row in rows}
    for role in ROLES:
        group, _ = groups.get_or_create(name=role)
        group.permissions.set(
            [known[name] for name in sorted(permissions_of(role)) if name in known]
        )


def _apps_named() -> list[AppConfig]:
    labels = {model.split(".")[0] for model in {**MAY, **BESIDES}}
    return [apps.get_app_config(label) for label in sorted(labels)]
