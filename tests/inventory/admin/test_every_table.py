"""Every table of stock in the back office: opens, is bounded, follows the roles."""

from __future__ import annotations

import pytest
from django.apps import apps

from inventory.models.lot import Lot
from tests.factories.catalogue import GtinFactory, SkuFactory, TypeApprovalFactory
from tests.factories.stock import BlockFactory, LotFactory, stock_in
from tests.inventory.admin.scenes import ROWS
from tests.support import admin_rules
from tests.support.backoffice import office, page_of, registered
from tests.support.counting import queries_of

pytestmark = pytest.mark.django_db
TABLES = registered("ground", "inventory")
LEDGER = ["inventory.posting", "inventory.ledgerline", "inventory.balance", "inventory.lot"]
NEVER_WRITTEN = [
    *LEDGER, "inventory.gtin", "inventory.typeapproval", "inventory.carwheel", "inventory.enquiry",
    "inventory.pricebreak", "inventory.purchaseorder", "inventory.purchaseline",
    "inventory.expecteddelivery", "inventory.delivery", "inventory.deliverynoteline",
    "inventory.deliveryline", "inventory.seasonchange", "inventory.alert",
    "inventory.alertoverride", "inventory.ageingalert",
    "inventory.suppliercomplaint", "inventory.transfer", "inventory.transferline",
    "inventory.outing",
    "inventory.hold", "inventory.holdline", "inventory.holdextension", "inventory.quote",
    "inventory.order", "inventory.orderline", "inventory.preorder", "inventory.preorderline",
    "inventory.picklist", "inventory.pickline", "inventory.despatch", "inventory.despatchline",
    "inventory.return", "inventory.returnline", "inventory.customercomplaint",
    "inventory.complaintpicture",
    "inventory.storage", "inventory.storedlot", "inventory.storageextension",
    "inventory.consignment", "inventory.consignedlot", "inventory.consignmentstep",
    "ground.idempotencykey", "ground.sheetload", "ground.job", "ground.jobfailure",
    "ground.jobfile",
]  # fmt: skip
MOST_QUERIES = 8


def test_every_model_has_its_page():
    models = {
        model._meta.label_lower
        for app in ("ground", "inventory")
        for model in apps.get_app_config(app).get_models()
        if not model.__name__.startswith("Historical")
    }
    assert set(TABLES) == models == set(ROWS)


@pytest.mark.parametrize("name", sorted(ROWS))
def test_it_is_a_table_like_every_other(name, no_side_list, subtests):
    assert admin_rules.is_a_table(TABLES[name], ROWS[name], subtests) <= MOST_QUERIES


@pytest.mark.parametrize("name", NEVER_WRITTEN)
def test_what_is_only_looked_at(name, no_side_list):
    admin_rules.is_never_written(TABLES[name], ROWS[name])


def test_the_page_of_a_lot_asks_no_more_where_it_lies_in_more_places():
    client, lot = office("anybody"), LotFactory()
    stock_in(lot=lot)
    BlockFactory(lot=lot)
    few = queries_of(lambda: client.get(page_of(lot)))
    for reason in ("recall", "damaged"):
        stock_in(lot=lot)
        BlockFactory(lot=lot, reason=reason)
    assert queries_of(lambda: client.get(page_of(lot))) == few


def test_the_page_of_a_sku_asks_no_more_with_more_numbers():
    client, sku = office("anybody"), SkuFactory(marked=True)
    GtinFactory(skus=[sku])
    TypeApprovalFactory(sku=sku)
    few = queries_of(lambda: client.get(page_of(sku)))
    for _ in range(3):
        GtinFactory(skus=[sku])
        TypeApprovalFactory(sku=sku)
    assert queries_of(lambda: client.get(page_of(sku))) == few


def test_every_table_that_one_may_see_is_listed_beside_each_page():
    page = office("owner").get("/admin/inventory/lot/").content.decode()
    side = page[page.index('id="nav-sidebar"') :]
    for name in ("sku", "lot", "posting"):
        assert f'href="/admin/inventory/{name}/"' in side


def test_somebody_who_is_not_staff_is_sent_to_sign_in(signed_in):
    answer = signed_in("owner").get("/admin/")
    assert answer.status_code == 302


def test_a_file_never_starts_a_formula():
    client = office("anybody")
    lot = LotFactory(delivery="=1+1")
    chosen = {"_selected_action": [lot.pk], "action": "as_csv"}
    text = client.post("/admin/inventory/lot/", chosen).content.decode()
    assert "'=1+1" in text
    assert ",=1+1" not in text
    assert Lot.objects.get().delivery == "=1+1"
