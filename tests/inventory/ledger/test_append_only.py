"""What the ledger says is never unsaid, whoever tries and however."""

from __future__ import annotations

import pytest
from django.db import IntegrityError, connection, transaction

from inventory.ground.violations import Violated, named_violation
from inventory.models.lot import Lot
from inventory.models.posting import LedgerLine, Posting
from tests.factories.stock import stock_in

pytestmark = pytest.mark.django_db
WRITTEN_ONCE = [Posting, LedgerLine, Lot]


@pytest.fixture(autouse=True)
def balance():
    return stock_in(on_hand=3)


@pytest.mark.parametrize("model", WRITTEN_ONCE)
def test_no_row_is_deleted(model):
    with pytest.raises(Violated, match="never changed or taken out"), named_violation():
        model._base_manager.all()._raw_delete(connection.alias)
    assert model.objects.exists()


@pytest.mark.parametrize(
    ("model", "change"),
    [
        (Posting, {"note": "no"}),
        (LedgerLine, {"on_hand_change": 9}),
        (Lot, {"date_code": "0101"}),
        (Lot, {"condition": "fitted"}),
    ],
)
def test_no_row_is_changed(model, change):
    before = model.objects.values().get()
    with pytest.raises(Violated, match="never changed or taken out"), named_violation():
        model._base_manager.update(**change)
    assert model.objects.values().get() == before


@pytest.mark.parametrize("model", WRITTEN_ONCE)
def test_no_table_is_emptied(model):
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("SET CONSTRAINTS ALL IMMEDIATE")
        with (
            pytest.raises(IntegrityError, match="never changed or taken out"),
            transaction.atomic(),
        ):
            cursor.execute(f"TRUNCATE {model._meta.db_table} CASCADE")
    assert model.objects.exists()


def test_the_sentence_says_what_to_do_instead():
    with pytest.raises(Violated, match="into the right one"), named_violation():
        Lot._base_manager.update(code="X")


def test_the_database_itself_holds_the_balance(balance):
    with pytest.raises(Violated, match="more tyres than are free"), named_violation():
        type(balance).objects.update(on_hand=-1)
    with pytest.raises(Violated, match="more tyres than are free"), named_violation():
        type(balance).objects.update(held=4)
