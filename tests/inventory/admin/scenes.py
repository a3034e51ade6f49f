"""Rows of every table of stock and of the ground, made by the handful."""

from __future__ import annotations

import itertools

from inventory.ground.jobs.model import Job, JobFailure, JobFile
from inventory.ground.models import IdempotencyKey, SheetLoad
from tests.factories.catalogue import TypeApprovalFactory
from tests.factories.consigning import (
    ConsignedLotFactory,
    ConsignmentFactory,
    ConsignmentStepFactory,
)
from tests.factories.counting import CountFactory, CountLineFactory, WriteOffFactory
from tests.factories.people import CarWheelFactory, UserFactory
from tests.factories.stock import LotFactory, stock_in
from tests.factories.storing import StorageExtensionFactory, StorageFactory, StoredLotFactory
from tests.factories.vans import OutingFactory
from tests.factories.when import AT
from tests.inventory.api import scenes

_numbers = itertools.count()


def keys(count: int) -> None:
    for number in itertools.islice(_numbers, count):
        IdempotencyKey.objects.create(
            actor=UserFactory(), key=f"k{number}", route="POST /", body=""
        )


def loads(count: int) -> None:
    for number in itertools.islice(_numbers, count):
        SheetLoad.objects.create(
            sheet="skus", digest=f"{number:064}", loaded_at=AT, loaded_by=UserFactory()
        )


def jobs(count: int) -> None:
    for number in itertools.islice(_numbers, count):
        job = Job.objects.create(
            kind="load sheet", slot=str(number), due_at=AT, made_at=AT, asked_by=UserFactory()
        )
        JobFailure.objects.create(job=job, row=3, words="There is no maker of this code.")
        JobFile.objects.create(job=job, name="skus.csv", digest="0" * 64, content=b"code")


ROWS = {
    "ground.idempotencykey": keys,
    "ground.sheetload": loads,
    "ground.job": jobs,
    "ground.jobfailure": jobs,
    "ground.jobfile": jobs,
    "inventory.tyremaker": scenes.ROWS["tyre-makers"],
    "inventory.pattern": scenes.ROWS["patterns"],
    "inventory.compound": scenes.ROWS["compounds"],
    "inventory.sku": scenes.ROWS["skus"],
    "inventory.gtin": scenes.ROWS["gtins"],
    "inventory.typeapproval": TypeApprovalFactory.create_batch,
    "inventory.count": CountFactory.create_batch,
    "inventory.countline": CountLineFactory.create_batch,
    "inventory.consignment": ConsignmentFactory.create_batch,
    "inventory.consignedlot": ConsignedLotFactory.create_batch,
    "inventory.consignmentstep": ConsignmentStepFactory.create_batch,
    "inventory.storage": StorageFactory.create_batch,
    "inventory.storedlot": StoredLotFactory.create_batch,
    "inventory.storageextension": StorageExtensionFactory.create_batch,
    "inventory.writeoff": WriteOffFactory.create_batch,
    "inventory.companion": scenes.ROWS["companions"],
    "inventory.supplier": scenes.ROWS["suppliers"],
    "inventory.site": scenes.ROWS["sites"],
    "inventory.place": scenes.ROWS["places"],
    "inventory.hold": scenes.ROWS["holds"],
    "inventory.holdline": scenes.ROWS["holds"],
    "inventory.holdextension": scenes.ROWS["holds"],
    "inventory.quote": scenes.ROWS["quotes"],
    "inventory.order": scenes.ROWS["orders"],
    "inventory.orderline": scenes.ROWS["order-lines"],
    "inventory.preorder": scenes.ROWS["pre-orders"],
    "inventory.preorderline": scenes.ROWS["pre-orders"],
    "inventory.picklist": scenes.ROWS["pick-lists"],
    "inventory.pickline": scenes.ROWS["pick-lists"],
    "inventory.despatch": scenes.ROWS["despatches"],
    "inventory.despatchline": scenes.ROWS["despatches"],
    "inventory.return": scenes.ROWS["returns"],
    "inventory.returnline": scenes.ROWS["returns"],
    "inventory.customercomplaint": scenes.ROWS["complaints"],
    "inventory.complaintpicture": scenes.ROWS["complaints"],
    "inventory.priceclass": scenes.ROWS["price-classes"],
    "inventory.agestep": scenes.ROWS["age-steps"],
    "inventory.customer": scenes.ROWS["customers"],
    "inventory.customercar": scenes.ROWS["customer-cars"],
    "inventory.carwheel": CarWheelFactory.create_batch,
    "inventory.enquiry": scenes.ROWS["enquiries"],
    "inventory.supplierterms": scenes.ROWS["supplier-terms"],
    "inventory.pricebreak": scenes.ROWS["supplier-terms"],
    "inventory.productionbatch": scenes.ROWS["production-batches"],
    "inventory.purchaseorder": scenes.ROWS["purchase-orders"],
    "inventory.purchaseline": scenes.ROWS["purchase-lines"],
    "inventory.expecteddelivery": scenes.ROWS["expected-deliveries"],
    "inventory.delivery": scenes.ROWS["deliveries"],
    "inventory.deliverynoteline": scenes.ROWS["deliveries"],
    "inventory.deliveryline": scenes.ROWS["delivery-lines"],
    "inventory.suppliercomplaint": scenes.ROWS["supplier-complaints"],
    "inventory.outing": OutingFactory.create_batch,
    "inventory.transfer": scenes.ROWS["transfers"],
    "inventory.transferline": scenes.ROWS["transfers"],
    "inventory.season": scenes.ROWS["seasons"],
    "inventory.learnt": scenes.ROWS["lessons"],
    "inventory.event": scenes.ROWS["events"],
    "inventory.seasonchange": scenes.ROWS["season-changes"],
    "inventory.earliersales": scenes.ROWS["earlier-sales"],
    "inventory.skupair": scenes.ROWS["sku-pairs"],
    "inventory.alert": scenes.ROWS["alerts"],
    "inventory.alertoverride": scenes.ROWS["alert-overrides"],
    "inventory.ageingalert": scenes.ROWS["ageing-alerts"],
    "inventory.lot": scenes.ROWS["lots"],
    "inventory.block": scenes.ROWS["blocks"],
    "inventory.posting": scenes.ROWS["postings"],
    "inventory.ledgerline": scenes.ROWS["ledger-lines"],
    "inventory.balance": scenes.ROWS["stock"],
}


def inside(count: int) -> dict[str, object]:
    """Rows that have so many rows of their own, by label."""
    lot = LotFactory()
    for _ in range(count):
        stock_in(lot=lot)
    return {"inventory.lot": lot}
