"""The pages of goods on consignment: taken, agreed, found, bought in, given back with a paper."""

from __future__ import annotations

import itertools
from datetime import timedelta
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from inventory.activities import consigning, correcting, moving
from inventory.activities.consigning import Part
from inventory.models.balance import Balance
from inventory.models.consignment import Consignment, ConsignmentStep
from inventory.models.lot import Lot
from tests.factories.catalogue import SkuFactory
from tests.factories.consigning import ConsignmentFactory, consigned
from tests.factories.people import SupplierFactory, UserFactory
from tests.factories.places import PlaceFactory
from tests.factories.stock import stock_in
from tests.support.pdf_text import text_of

pytestmark = pytest.mark.django_db
_keys = itertools.count()
LIST, NEW = reverse("consignments:list"), reverse("consignments:take")
TODAY = timezone.localdate


@pytest.fixture
def tom(signed_in):
    return signed_in("warehouse")


@pytest.fixture
def bea(signed_in):
    return signed_in("buyer")


@pytest.fixture
def said():
    SkuFactory(code="TB-ROAD")
    PlaceFactory(code="A-01")
    return {
        "supplier": SupplierFactory(name="Thornwick Race Service").pk, "reference": "THW 77",
        "due_on": TODAY() + timedelta(days=30), "currency": "GBP", "place": "a-01",
        "sku_1": "TB-ROAD", "quantity_1": 4, "price_1": "80.00", "condition_1": "new",
    }  # fmt: skip


def body(answer, status=200):
    assert answer.status_code == status, answer.content.decode()[-4000:]
    return answer.content.decode()


def send(client, path, status=302, key="", **said):
    answer = client.post(path, {"idempotency_key": key or f"k{next(_keys)}", **said})
    return answer if status == 302 and answer.status_code == 302 else body(answer, status)


def of(row, page="consignment"):
    return reverse(f"consignments:{page}", args=[row.pk])


def part(balance, many):
    return {f"of_{balance.lot_id}_{balance.place_id}": many}


def test_taken_once_found_and_labelled(tom, said):
    for _ in range(2):
        send(
            tom, NEW, key="one", **said,
            sku_2="TB-ROAD", quantity_2=1, price_2="70", date_code_2="2423",
        )  # fmt: skip
    row = Consignment.objects.get()
    assert [(one.quantity, one.price) for one in row.lots.all()] == [(4, Decimal(80)), (1, 70)]
    page = body(tom.get(of(row)))
    assert "Thornwick Race Service, their paper THW 77" in page
    assert f"{row.number}.1%0A{row.number}.2" in page
    assert "Nobody is promised these tyres" in page
    assert row.number in body(tom.get(f"{LIST}?q=thornwick"))
    assert row.number in body(tom.get(f"{LIST}?q={row.number}"))
    assert row.number not in body(tom.get(f"{LIST}?q=elsewhere"))
    other, _ = consigned(1)
    page = body(tom.get(f"{LIST}?q=]d110{row.number}.2"))
    assert (row.number in page, other.number in page) == (True, False)


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"quantity_1": 0}, "0 tyres cannot be booked"),
        ({"quantity_1": -1}, "-1 tyres cannot be booked"),
        ({"quantity_1": 10**9}, "more than this shop can book at once"),
        ({"quantity_1": "2.5"}, "Enter a whole number"),
        ({"price_1": 0}, "above nought"),
        ({"date_code_1": "9999"}, "no week 99"),
        ({"due_on": "2020-01-01"}, "2020-01-01 is past"),
        ({"place": "nowhere"}, "nowhere"),
        ({"quantity_2": 4}, "Say of which SKU."),
        ({"sku_2": "TB-ROAD"}, "Say the price agreed for one."),
        ({"currency": "gbp"}, "three capital letters"),
    ],
)
def test_what_is_not_taken(tom, said, wrong, words):
    answer = tom.post(NEW, {"idempotency_key": "k", **said, **wrong})
    assert answer.status_code in (400, 409, 422)
    assert words in answer.content.decode()
    assert not Consignment.objects.exists()


def test_what_is_overdue_leads_and_is_told(tom):
    late, _ = consigned(4)
    soon, _ = consigned(4)
    over = ConsignmentFactory()
    Consignment.objects.filter(pk=late.pk).update(due_on=TODAY() - timedelta(days=2))
    Consignment.objects.exclude(pk=late.pk).update(due_on=TODAY())
    page = body(tom.get(LIST))
    assert "! overdue, 2 days" in page
    assert page.index(late.number) < page.index(soon.number)
    assert over.number not in page
    page = body(tom.get(f"{LIST}?state=overdue"))
    assert (late.number in page, soon.number in page) == (True, False)
    assert over.number in body(tom.get(f"{LIST}?state=over"))
    assert "1</span> overdue" in body(tom.get(reverse("goods_in:home")))


def test_bought_in_by_the_buyer_once(bea, tom):
    row, balance = consigned(4)
    assert of(row, "buy-in") not in body(tom.get(of(row)))
    send(tom, of(row, "buy-in"), 403, **part(balance, 1))
    for _ in range(2):
        send(bea, of(row, "buy-in"), key="b", **part(balance, 3), unit_cost="75.50")
    page = body(bea.get(of(row)))
    (house,) = Lot.objects.promised()
    assert (house.unit_cost, f"lot {house.code} now: label them anew" in page) == (
        *(Decimal("75.50"), True),
    )
    assert "bought in, 75.50 GBP each" in page
    assert house.code not in body(tom.get(reverse("counts:work")))


@pytest.mark.parametrize("step", ["buy-in", "give-back"])
@pytest.mark.parametrize(
    ("many", "words"),
    [
        (0, "0 tyres cannot be booked"), (-1, "-1 tyres cannot"), (10**9, "more than this shop"),
        ("2.5", "Enter a whole number"), (5, "4 of lot"), ("", "Say which tyres"),
    ],
)  # fmt: skip
def test_not_so_many(bea, step, many, words):
    row, balance = consigned(4)
    answer = bea.post(of(row, step), {"idempotency_key": "k", **part(balance, many)})
    assert answer.status_code in (400, 409)
    assert words in answer.content.decode()
    assert not ConsignmentStep.objects.exists()


def test_what_was_moved_meanwhile_is_not_passed_over(bea):
    row, balance = consigned(4)
    there = PlaceFactory(site=balance.place.site)
    by = UserFactory()
    told = {"lot": balance.lot, "source": balance.place, "target": there, "at": timezone.now()}
    moving.move(quantity=4, by=by, **told)
    page = send(bea, of(row, "buy-in"), 400, **part(balance, 2))
    assert "have been moved since this page was opened" in page
    assert there.code in page


def test_given_back_with_a_paper(tom):
    row, balance = consigned(4, reference="THW 77")
    send(tom, of(row, "give-back"), **part(balance, 4), note="By their lorry.")
    step = ConsignmentStep.objects.get()
    page = body(tom.get(of(row)))
    assert "all bought or given back" in page
    assert "None is left." in page
    path = reverse("consignments:paper", args=[row.pk, step.posting_id])
    assert path in page
    paper = text_of(b"".join(tom.get(path)))
    for words in (row.number, "THW 77", "By their lorry.", balance.lot.code, "4 tyres in all."):
        assert words in paper
    at = timezone.now()
    correcting.take_back(posting=step.posting, why="They came back.", by=UserFactory(), at=at)
    assert "taken back since" in body(tom.get(of(row)))
    body(tom.get(path), 404)


def test_what_lies_here_and_was_never_agreed(tom):
    balance = stock_in(on_hand=2, consigned=True)
    path = reverse("consignments:unagreed")
    assert balance.lot.code in body(tom.get(path))
    assert balance.lot.code not in body(tom.get(f"{path}?q=elsewhere"))
    asked = f"{reverse('consignments:agree')}?lot={balance.lot.code}"
    assert f'value="{balance.lot.code}"' in body(tom.get(asked))
    told = {"supplier": balance.lot.owner_supplier_id, "due_on": TODAY(), "currency": "GBP"}
    told |= {"lot_1": balance.lot.code, "price_1": "70"}
    assert "is not" in send(tom, asked, 400, **{**told, "supplier": SupplierFactory().pk})
    send(tom, asked, **told)
    assert balance.lot.code not in body(tom.get(path))
    assert Balance.objects.get().on_hand == 2


def test_each_by_whoever_may(signed_in):
    row, balance = consigned(4)
    eve = signed_in("counter")
    for path in (LIST, of(row), reverse("consignments:unagreed"), NEW):
        body(eve.get(path), 403)
    send(eve, of(row, "give-back"), 403, **part(balance, 1))
    assert "On consignment" not in eve.get("/").content.decode()


def test_the_list_costs_as_much_for_twice_the_rows(tom, same_queries):
    consigned(2)
    same_queries(lambda: tom.get(LIST), lambda: [consigned(2) for _ in range(3)])


def test_a_page_costs_as_much_for_twice_the_steps(tom, same_queries):
    row, balance = consigned(9)

    def given():
        parts, at = [Part(balance.lot, balance.place, 1)], timezone.now()
        consigning.give_back(consignment=row, parts=parts, by=UserFactory(), at=at)

    given()
    same_queries(lambda: tom.get(of(row)), lambda: [given() for _ in range(3)])
