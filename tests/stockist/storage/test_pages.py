"""The pages of customers' tyres: taken in, found, kept longer, handed back."""

from __future__ import annotations

import itertools
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from inventory.models.balance import Balance
from inventory.models.customer import Customer
from inventory.models.storage import Storage
from tests.factories.catalogue import SkuFactory
from tests.factories.people import CustomerCarFactory, CustomerFactory
from tests.factories.places import PlaceFactory
from tests.factories.storing import StoredLotFactory, kept

pytestmark = pytest.mark.django_db
_keys = itertools.count()
LIST, NEW = reverse("storage:list"), reverse("storage:take-in")
TODAY = timezone.localdate


@pytest.fixture
def ann(signed_in, warehouse_person):
    return signed_in(warehouse_person)


@pytest.fixture
def said():
    """Four tyres of a customer's, off their car."""
    car = CustomerCarFactory(customer__name="Ada Quill", description="Coupé", plate="AQ 1")
    SkuFactory(code="TB-ROAD")
    PlaceFactory(code="A-01")
    return {
        "name": car.customer.name, "due_on": TODAY() + timedelta(days=90), "place": "a-01",
        "sku_1": "TB-ROAD", "quantity_1": 4, "condition_1": "fitted", "car": "aq 1",
    }  # fmt: skip


@pytest.fixture
def row():
    return kept(at=timezone.now(), due_on=TODAY() + timedelta(days=9))


def body(answer, status=200):
    assert answer.status_code == status, answer.content.decode()[-4000:]
    return answer.content.decode()


def send(client, path, status=302, key="", **said):
    told = {"idempotency_key": key or f"k{next(_keys)}", **said}
    answer = client.post(path, told)
    return answer if status == 302 and answer.status_code == 302 else body(answer, status)


def of(row, step=""):
    return reverse(f"storage:{step or 'storage'}", args=[row.pk])


def test_taken_in_once_and_found(ann, said):
    for _ in range(2):
        send(ann, NEW, key="once", **said, sku_2="TB-ROAD", quantity_2=1, date_code_2="2423")
    row = Storage.objects.get()
    assert (row.car.plate, row.customer.name) == ("AQ 1", "Ada Quill")
    assert [one.quantity for one in row.lots.all()] == [4, 1]
    page = body(ann.get(of(row)))
    assert "Ada Quill" in page
    assert "A-01" in page
    assert f"{row.number}.1%0A{row.number}.2" in page
    assert f"{row.number}.2" in body(ann.get(f"/labels/?scans={row.number}.1%0A{row.number}.2"))


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"name": "Nobody"}, "your role does not enter customers"),
        ({"name": ""}, "Say for whom it is"),
        ({"car": "ZZ 9"}, "none of Ada Quill&#x27;s cars. Say which: Coupé, AQ 1."),
        ({"due_on": "2020-01-01"}, "is past"),
        ({"due_on": "3020-01-01"}, "look at the year again"),
        ({"place": "Z-99"}, "the label of a place is wanted"),
        ({"sku_1": "NO-SUCH"}, "the code of a SKU is wanted"),
        ({"quantity_1": 0}, "say one or more"),
        ({"quantity_1": -1}, "say one or more"),
        ({"quantity_1": 10**9}, "look at the number again"),
        ({"quantity_1": ""}, "This field is required"),
        ({"date_code_1": "9923"}, "no week 99"),
        ({"quantity_2": 1}, "Say of which SKU"),
        ({"sku_2": "TB-ROAD"}, "Say how many of them"),
    ],
)
def test_what_is_not_taken_in(ann, said, wrong, words):
    status = 422 if "date_code_1" in wrong else 400
    page = send(ann, NEW, status, **said | wrong)
    assert words in page
    assert "Not taken in" in page
    assert not Storage.objects.exists()


def test_which_of_two_is_meant(ann, signed_in, said):
    other = CustomerFactory(name="Ada Quill", telephone="01632 960123")
    told = said | {"car": ""}
    assert "01632" in send(signed_in("counter"), NEW, 400, **told)
    page = send(ann, NEW, 400, **told)
    assert f"Ada Quill (customer {other.pk})" in page
    assert "01632" not in page  # how a customer is reached is not the warehouse's business
    send(ann, NEW, **told, who=other.pk)
    assert Storage.objects.get().customer == other


def test_the_counter_takes_in_of_somebody_new(signed_in, said):
    told = said | {"name": "Bo Fenn", "car": "", "telephone": "01632 960124"}
    send(signed_in("counter"), NEW, **told)
    assert Storage.objects.get().customer == Customer.objects.get(telephone="01632 960124")


def test_from_a_customers_own_page(signed_in, row):
    counter = signed_in("counter")
    page = body(counter.get(reverse("customers:customer", args=[row.customer.pk])))
    assert f"{LIST}?customer={row.customer.pk}" in page
    assert f"{NEW}?who={row.customer.pk}" in page
    assert row.customer.name in body(counter.get(f"{NEW}?who={row.customer.pk}"))
    assert "autofocus" in body(counter.get(f"{NEW}?who=nobody"))


def numbers(client, query=""):
    """The storages that are listed, as they stand on the page."""
    page = body(client.get(f"{LIST}{query}"))
    every = {one.number: page.find(f">{one.number}<") for one in Storage.objects.all()}
    return sorted((number for number, at in every.items() if at > 0), key=every.__getitem__)


def test_the_overdue_first_and_filtered(ann, row):
    long_ago = timezone.now() - timedelta(days=400)
    late = kept(at=long_ago, due_on=TODAY() - timedelta(days=1))
    gone = kept(at=long_ago, due_on=TODAY() - timedelta(days=90))
    send(ann, of(gone, "hand-back"), handed_to="Her son")
    later = kept(at=timezone.now(), due_on=TODAY() + timedelta(days=3))
    assert numbers(ann) == [late.number, later.number, row.number]
    assert numbers(ann, "?order=-pk") == [later.number, late.number, row.number]
    assert numbers(ann, "?state=overdue") == [late.number]
    assert numbers(ann, "?state=ended") == [gone.number]
    assert len(numbers(ann, "?state=any")) == 4
    assert numbers(ann, f"?q={late.number}") == [late.number]
    assert numbers(ann, f"?q={row.number}.1") == [row.number]  # the label on one of the tyres
    assert numbers(ann, f"?customer={row.customer.pk}") == [row.number]
    assert numbers(ann, "?q=nobody") == []
    assert "overdue, 1 day" in body(ann.get(LIST))
    home = body(ann.get(reverse("goods_in:home")))
    assert f'{LIST}?state=overdue"><span class="number">1</span> overdue' in home


def test_as_many_queries_however_many_are_kept(ann, row, same_queries):
    assert same_queries(lambda: body(ann.get(LIST)), lambda: StoredLotFactory.create_batch(5)) <= 9


def test_kept_longer(ann, row):
    until = TODAY() + timedelta(days=40)
    for _ in range(2):
        send(ann, of(row, "keep-longer"), key="once", due_on=until, why="The engine is out.")
    page = body(ann.get(of(row)))
    assert page.count("The engine is out.") == 1
    assert f"{row.due_on:%-d %b %Y} to {until:%-d %b %Y}" in page
    assert "as it is: say a later day" in send(
        ann, of(row, "keep-longer"), 400, due_on=until, why="Again."
    )
    assert "required" in send(ann, of(row, "keep-longer"), 400, due_on=until)


def test_handed_back(ann, row):
    assert "required" in send(ann, of(row, "hand-back"), 400)
    for _ in range(2):
        send(ann, of(row, "hand-back"), key="once", handed_to="Her son")
    assert "was handed to Her son" in send(ann, of(row, "hand-back"), 409, handed_to="Another")
    page = body(ann.get(of(row)))
    assert "to Her son" in page
    assert "<form" not in page.split("<main")[1]
    assert Balance.objects.get().on_hand == 0


def test_who_may(signed_in, client, row):
    buyer = signed_in("buyer")
    assert "Hand them all back" not in body(buyer.get(of(row)))
    assert NEW not in body(buyer.get(LIST))
    for path in (NEW, of(row, "hand-back"), of(row, "keep-longer")):
        send(buyer, path, 403)
    assert body(buyer.get(reverse("storage:storage", args=[row.pk + 1])), 404)
    client.logout()
    assert client.get(LIST).status_code == 302


def test_the_room_is_marked(ann, row):
    for path in (LIST, NEW, of(row)):
        assert f'<a href="{LIST}" aria-current="page">Storage</a>' in body(ann.get(path))
