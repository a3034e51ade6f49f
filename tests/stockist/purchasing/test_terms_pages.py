"""The pages of suppliers' terms and of production batches: listed, entered, changed with care."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from inventory.activities.purchasing import change_batch, change_terms
from inventory.ground.entries.writing import version_of
from inventory.models.supplier_terms import ProductionBatch, SupplierTerms
from tests.factories.buying import (
    PriceBreakFactory,
    ProductionBatchFactory,
    PurchaseLineFactory,
    SupplierTermsFactory,
)
from tests.factories.catalogue import SkuFactory
from tests.factories.people import SupplierFactory, UserFactory
from tests.factories.when import AT

pytestmark = pytest.mark.django_db
STALE = "Somebody else has changed this since you opened it."


@pytest.fixture
def buyer(signed_in):
    return signed_in("buyer")


def body(answer, status=200):
    assert answer.status_code == status, answer.content.decode()[:3000]
    return answer.content.decode()


def asked(**told):
    return {
        "idempotency_key": "k", "currency": "GBP", "minimum": 8, "pack": 4, "lead_time_days": 70,
        "lead_time_spread_days": 14, "oldest_months": 12, "country": "Norland",
        "from_1": 8, "price_1": "95.00", "from_2": 50, "price_2": "92.00", **told,
    }  # fmt: skip


def entered(buyer, **told):
    said = {"supplier": SupplierFactory().pk, "sku": SkuFactory().code, **asked(**told)}
    return buyer.post("/purchasing/terms/new/", said)


def version(row):
    return version_of(row)


def test_terms_are_entered_once_and_shown(buyer):
    answer = entered(buyer)
    terms = SupplierTerms.objects.get()
    assert answer["Location"] == f"/purchasing/terms/{terms.pk}/"
    page = body(buyer.get(answer["Location"]))
    for words in ("8, in packs of 4", "70 days, 14 early or late", "12 months", "Norland", "92.00"):
        assert words in page
    said = {"supplier": terms.supplier_id, "sku": terms.sku.code, **asked()}
    assert buyer.post("/purchasing/terms/new/", said)["Location"] == answer["Location"]
    again = body(buyer.post("/purchasing/terms/new/", {**said, "idempotency_key": "l"}), 400)
    assert "terms for this SKU are there already" in again
    assert SupplierTerms.objects.count() == 1


@pytest.mark.parametrize(
    ("told", "words"),
    [
        ({"lead_time_days": 0}, "A lead time is 1 to 1,100 days."),
        ({"lead_time_days": -1}, "A lead time is 1 to 1,100 days."),
        ({"lead_time_days": 10**30}, "A lead time is 1 to 1,100 days."),
        ({"lead_time_spread_days": 71}, "nothing comes before it was ordered"),
        ({"minimum": 10}, "10 is not whole packs of 4: 8 or 12 would be."),
        ({"minimum": 0}, "The least on an order is 1 to 100,000"),
        ({"from_1": 4}, "No order is of fewer than 8, and a price is told from 4 on"),
        ({"price_2": "96"}, "a price does not rise with the quantity"),
        ({"from_2": 8}, "Two prices are told from 8 pieces on"),
        ({"price_2": ""}, "What does one cost?"),
        ({"from_2": ""}, "From how many pieces?"),
        ({"price_2": "-1"}, "-1 is no price"),
        ({"price_2": "NaN"}, "Enter a number"),
        ({"sku": "NO"}, "“NO” was read, and the code of a SKU is wanted."),
        ({"lead_time_days": "soon"}, "Enter a whole number."),
    ],
)
def test_terms_that_cannot_be(told, words, buyer):
    assert words in body(entered(buyer, **told), 400).replace("&#x27;", "'")
    assert not SupplierTerms.objects.exists()


def test_terms_are_changed_and_the_second_of_two_is_told(buyer):
    entered(buyer)
    terms = SupplierTerms.objects.get()
    at, seen = f"/purchasing/terms/{terms.pk}/", version(terms)
    assert f'name="seen" value="{seen}"' in body(buyer.get(at))
    change_terms(terms=terms, by=UserFactory(), at=AT, lead_time_days=84)
    page = body(buyer.post(f"{at}change/", asked(seen=seen, idempotency_key="c")), 412)
    assert STALE in page
    assert 'value="84"' in page
    fresh = asked(seen=version(terms), idempotency_key="d", from_3=200, price_3="88.50")
    assert "200" in body(buyer.get(buyer.post(f"{at}change/", fresh)["Location"]))
    told = list(terms.breaks.order_by("from_quantity").values_list("from_quantity", "unit_price"))
    assert told == [(8, Decimal("95.00")), (50, Decimal("92.00")), (200, Decimal("88.50"))]


def test_a_change_that_cannot_be_is_told_beside_its_field(buyer):
    entered(buyer)
    terms = SupplierTerms.objects.get()
    said = asked(seen=version(terms), idempotency_key="c", minimum=10)
    page = body(buyer.post(f"/purchasing/terms/{terms.pk}/change/", said), 422)
    assert "10 is not whole packs of 4" in page
    assert "Not kept: see what is said below." in page


def test_terms_are_listed_filtered_ordered_and_paged(buyer, same_queries):
    there = SupplierTermsFactory(lead_time_days=300)

    def more():
        for terms in SupplierTermsFactory.create_batch(13):
            PriceBreakFactory(terms=terms, from_quantity=4)

    more()
    assert same_queries(lambda: body(buyer.get("/purchasing/terms/")), more) <= 9
    assert "After these" in body(buyer.get("/purchasing/terms/"))
    page = body(buyer.get("/purchasing/terms/", {"order": "lead"}))
    assert there.sku.code in page
    page = body(buyer.get("/purchasing/terms/", {"supplier": there.supplier_id}))
    assert f'href="/purchasing/terms/{there.pk}/"' in page
    assert page.count('href="/purchasing/terms/') == 2
    assert there.sku.code in body(buyer.get("/purchasing/terms/", {"sku": there.sku.code}))
    nothing = {"sku": SkuFactory().code}
    assert "None like that." in body(buyer.get("/purchasing/terms/", nothing))


def day(days):
    return str(timezone.localdate() + timedelta(days=days))


def batch_asked(**told):
    return {
        "idempotency_key": "k", "order_by": day(10), "ready_on": day(90), "minimum_tyres": 60,
        "skus": "", "note": "", **told,
    }  # fmt: skip


def batch_entered(buyer, **told):
    said = {"supplier": SupplierFactory().pk, "code": "SPRING", **batch_asked(**told)}
    return buyer.post("/purchasing/batches/new/", said)


def test_a_batch_is_entered_shown_and_listed(buyer):
    first, second = SkuFactory.create_batch(2)
    answer = batch_entered(buyer, skus=f"{first.code}\n\n{second.code.lower()}\n")
    batch = ProductionBatch.objects.get()
    assert set(batch.skus.all()) == {first, second}
    PurchaseLineFactory(order__batch=batch, order__state="draft", quantity=20)
    page = body(buyer.get(answer["Location"]))
    for words in ("Batch SPRING", "10 days left", "0 of 60", first.code):
        assert words in page
    assert "SPRING" in body(buyer.get("/purchasing/batches/", {"sku": first.code}))
    assert "None like that." in body(buyer.get("/purchasing/batches/", {"sku": SkuFactory().code}))


@pytest.mark.parametrize(
    ("told", "words"),
    [
        ({"order_by": day(-1)}, "a batch is entered before its cut-off"),
        ({"ready_on": day(9)}, "A batch is ready on the last day to order, or later."),
        ({"minimum_tyres": 0}, "The least of a batch is 1 to 1,000,000 pieces."),
        ({"minimum_tyres": -1}, "The least of a batch is 1 to 1,000,000 pieces."),
        ({"order_by": "soon"}, "Enter a valid date."),
        ({"skus": "NO"}, "“NO” was read"),
    ],
)
def test_batches_that_cannot_be(told, words, buyer):
    assert words in body(batch_entered(buyer, **told), 400)
    assert not ProductionBatch.objects.exists()


def test_a_batch_is_changed_and_the_second_of_two_is_told(buyer):
    batch_entered(buyer)
    batch = ProductionBatch.objects.get()
    at, seen = f"/purchasing/batches/{batch.pk}/", version(batch)
    assert f'name="seen" value="{seen}"' in body(buyer.get(at))
    change_batch(batch=batch, by=UserFactory(), at=AT, minimum_tyres=80)
    page = body(buyer.post(f"{at}change/", batch_asked(seen=seen, idempotency_key="c")), 412)
    assert STALE in page
    assert "0 of 80" in page
    said = batch_asked(seen=version(batch), idempotency_key="d", minimum_tyres=40)
    assert "0 of 40" in body(buyer.get(buyer.post(f"{at}change/", said)["Location"]))


def test_batches_are_listed_filtered_ordered_and_paged(buyer, same_queries):
    past = ProductionBatchFactory(order_by=timezone.localdate() - timedelta(days=1), code="GONE")

    def more():
        days = {"order_by": timezone.localdate(), "ready_on": timezone.localdate()}
        for batch in ProductionBatchFactory.create_batch(13, **days):
            batch.skus.add(SkuFactory())

    more()
    assert same_queries(lambda: body(buyer.get("/purchasing/batches/")), more) <= 9
    page = body(buyer.get("/purchasing/batches/"))
    assert "After these" in page
    assert "GONE" not in page
    said = {"shown": "all", "supplier": past.supplier_id, "order": "ready"}
    assert "GONE" in body(buyer.get("/purchasing/batches/", said))


@pytest.mark.parametrize(
    ("role", "looks", "writes"),
    [
        ("counter", 403, 403),
        ("warehouse", 403, 403),
        ("buyer", 200, 400),
        ("owner", 200, 400),
    ],
)
def test_who_may_do_what(role, looks, writes, signed_in):
    client, terms, batch = signed_in(role), SupplierTermsFactory(), ProductionBatchFactory()
    for at in ("terms/", f"terms/{terms.pk}/", "batches/", f"batches/{batch.pk}/"):
        assert client.get(f"/purchasing/{at}").status_code == looks
    for at in (
        *("terms/new/", f"terms/{terms.pk}/change/"),
        *("batches/new/", f"batches/{batch.pk}/change/"),
    ):
        key = {"idempotency_key": at}
        assert client.post(f"/purchasing/{at}", key).status_code == writes
