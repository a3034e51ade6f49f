"""A set is held from the counter's answer in one step; listed, extended, released."""

from __future__ import annotations

import pytest
from django.utils import timezone

from inventory.activities.blocking import block
from inventory.models.balance import Balance
from inventory.models.customer import Customer
from inventory.models.hold import Hold
from tests.factories.cars import IdentifiedCarFactory
from tests.factories.people import CustomerCarFactory, CustomerFactory, UserFactory
from tests.factories.sending import held_set
from tests.stockist.selling.conftest import ANSWER, body, day, hidden

pytestmark = pytest.mark.django_db
NEW = "/holds/new/"


def hold(client, said, key="k", **more):
    return client.post(NEW, {"idempotency_key": key, "until": day(3), **said, **more})


def test_held_in_one_step_for_somebody_new(counter, said, shelf):
    answer = hold(counter, said, name="Orrin Tasker", telephone="01632 960123")
    one = Hold.objects.get()
    assert answer["Location"] == f"/holds/{one.pk}/"
    assert one.customer.telephone == "01632 960123"
    page = body(counter.get(answer["Location"]))
    assert f"{one.number}: held for Orrin Tasker until" in page
    assert "4 × " in page
    assert "1425" in page
    assert "on a " in page
    assert {line.for_place for line in one.lines.all()} == {"front", "rear"}
    shelf.refresh_from_db()
    assert shelf.held == 4
    assert one.answer["use"] == "road"
    assert one.answer["reasons"]
    # Sent twice, done once.
    again = hold(counter, said, name="Orrin Tasker", telephone="01632 960123")
    assert again["Location"] == answer["Location"]
    assert (Hold.objects.count(), Customer.objects.count()) == (1, 1)
    assert "1 set" in body(counter.get(ANSWER))


@pytest.mark.parametrize("where", [f"{ANSWER}&limit=3", "/counter/tyres/TB-CAIRN/?limit=3"])
def test_the_age_that_was_asked_for_is_kept_and_said(counter, car, shelf, where):
    page = body(counter.get(where))
    told = {name: hidden(page, name) for name in ("asked", "shown")}
    if "cars" in where:
        told["offer"] = hidden(page, "offer")
    page = body(counter.get(hold(counter, told, name="Orrin Tasker")["Location"]))
    one = Hold.objects.get()
    assert one.answer["age_limit_months"] == 36
    assert one.recipe["oldest_week"]
    assert "not older than 3 years" in page


def test_the_customer_whose_car_was_asked_for_needs_no_naming(counter, car, shelf):
    mine = CustomerCarFactory(customer__name="Winifred Astbourne")
    IdentifiedCarFactory(customer_car=mine, variant=car)
    page = body(counter.get(f"{ANSWER}&for_car={mine.pk}"))
    assert "for Winifred Astbourne" in page
    told = {name: hidden(page, name) for name in ("asked", "offer", "shown", "car")}
    assert hold(counter, told).status_code == 302
    one = Hold.objects.get()
    assert (one.customer, one.car) == (mine.customer, mine)


def test_one_who_is_called_exactly_so_is_meant_and_several_are_asked_about(counter, said):
    exact = CustomerFactory(name="Orrin Tasker")
    CustomerFactory(name="Orrin Tasker and Sons")
    assert hold(counter, said, name="orrin  tasker").status_code == 302
    assert Hold.objects.get().customer == exact
    page = body(hold(counter, said, "k2", name="Tasker"), 400)
    assert "Which “Tasker” is meant" in page
    assert 'type="radio"' in page
    assert hold(counter, said, "k3", name="Tasker", who=exact.pk).status_code == 302
    said["shown"] = ""
    page = body(hold(counter, said, "k4", name="Tasker", who="new"), 409)
    assert "No complete set can be had" in page
    assert not Customer.objects.filter(name="Tasker").exists()


def test_another_name_typed_over_the_chosen_one_is_another_customer(counter, said):
    CustomerFactory(name="Orrin Tasker")
    chosen = CustomerFactory(name="Greta Sandholm")
    hold(counter, said, name="Orrin Tasker", who=chosen.pk)
    assert Hold.objects.get().customer.name == "Orrin Tasker"


@pytest.mark.parametrize(
    ("more", "status", "words"),
    [
        ({"name": ""}, 400, "Say for whom it is."),
        ({"until": ""}, 400, "This field is required."),
        ({"until": "Friday"}, 400, "Enter a valid date."),
        ({"until": "2020-01-01"}, 400, "name a time to come"),
        ({"until": "9000-01-01"}, 400, "name a time to come"),
        ({"sets": "0"}, 400, "0 is no number of sets"),
        ({"sets": "-1"}, 400, "-1 is no number of sets"),
        ({"sets": "2.5"}, 400, "Enter a whole number."),
        ({"sets": "1000000000"}, 400, "1000000000 is no number of sets"),
        ({"sets": "3"}, 409, "2 of 3 complete sets can be had"),
        ({"shown": "front,x,1,2"}, 400, "cannot be read out of what was sent"),
        ({"shown": "front,1,1,0"}, 400, "0"),
        ({"asked": "/jobs/"}, 400, "ask the counter afresh"),
        ({"asked": "https://elsewhere.example/counter/"}, 400, "ask the counter afresh"),
        ({"asked": ""}, 400, "ask the counter afresh"),
        ({"offer": "0|front:1|rear:2"}, 400, "ask the counter afresh"),
        ({"asked": "/counter/cars/HAL-1600/?built=some+day"}, 400, "ask the counter afresh"),
        ({"who": "999"}, 400, "is not there"),
        ({"who": "x"}, 400, "is not there"),
    ],
)
def test_what_cannot_be_held(more, status, words, counter, said, shelf):
    assert words in body(hold(counter, {**said, "name": "Orrin Tasker"} | more), status)
    shelf.refresh_from_db()
    assert (Hold.objects.count(), shelf.held) == (0, 0)
    assert not Customer.objects.exists()


def test_what_was_shown_has_gone_unless_another_choice_will_do(counter, said, shelf):
    hold(counter, said, name="Orrin Tasker", sets=2)
    page = body(hold(counter, said, "k2", name="Greta Sandholm"), 409)
    assert "What was shown cannot be held any more" in page
    assert "are free, not" in page


def test_a_hold_from_the_page_of_a_tyre(counter, shelf):
    page = body(counter.get("/counter/tyres/TB-CAIRN/"))
    told = {name: hidden(page, name) for name in ("asked", "offer", "shown")}
    assert hold(counter, told, name="Orrin Tasker").status_code == 302
    assert Hold.objects.get().what.startswith("4 × ")


def test_extended_and_released_with_a_reason(counter, said, shelf):
    at = hold(counter, said, name="Orrin Tasker")["Location"]
    said = {"why": "the cheque is late", "until": day(2), "idempotency_key": "1"}
    body(counter.post(f"{at}extend/", said), 400)
    body(counter.post(f"{at}extend/", {**said, "idempotency_key": "2", "until": ""}), 400)
    told = {"idempotency_key": "3", "until": day(9), "why": "  "}
    assert "This field is required." in body(counter.post(f"{at}extend/", told), 400)
    assert "and again" not in body(counter.get(at))
    for days, why in ((9, "the cheque is late"), (11, "on holiday")):
        told = {"idempotency_key": why, "until": day(days), "why": why}
        assert counter.post(f"{at}extend/", told).status_code == 302
    page = body(counter.get(at))
    for words in ("Extended", "and again", "the cheque is late", "on holiday"):
        assert words in page
    body(counter.post(f"{at}release/", {"idempotency_key": "4", "why": ""}), 400)
    told = {"idempotency_key": "5", "why": "bought elsewhere"}
    page = body(counter.get(counter.post(f"{at}release/", told)["Location"]))
    assert "– released" in page
    assert "bought elsewhere" in page
    assert Balance.objects.get(pk=shelf.pk).held == 0
    page = body(counter.post(f"{at}release/", {"idempotency_key": "6", "why": "again"}), 409)
    assert "ended" in page


def test_a_lot_that_is_blocked_meanwhile_is_said_to_stay(counter, said, shelf):
    at = hold(counter, said, name="Orrin Tasker")["Location"]
    assert "blocked" not in body(counter.get(at))
    block(lot=shelf.lot, reason="damaged", by=UserFactory(), at=timezone.now())
    assert "✕ blocked, and cannot leave: damaged" in body(counter.get(at))


def test_holds_are_listed_filtered_ordered_and_paged(counter, same_queries):
    def more():
        for _ in range(13):
            held_set()

    more()
    assert same_queries(lambda: body(counter.get("/holds/")), more) <= 9
    one = Hold.objects.order_by("pk").first()
    page = body(counter.get("/holds/"))
    assert "Page 1 of 2" in page
    assert one.number not in page
    assert one.number in body(counter.get("/holds/", {"page": 2}))
    page = body(counter.get("/holds/", {"q": one.number}))
    assert page.count(">HO-") == 1
    assert one.number in body(counter.get("/holds/", {"customer": one.customer_id}))
    assert "Nothing like that" in body(counter.get("/holds/", {"state": "released"}))
    body(counter.get("/holds/", {"order": "until", "state": "any"}))
    assert "Select a valid choice" in body(counter.get("/holds/", {"order": "luck"}))
