"""The pages of goods in: a delivery opened, read tyre by tyre, taken up, booked, given up."""

from __future__ import annotations

import pytest

from inventory.activities import purchasing, receiving
from inventory.models.delivery import Delivery
from inventory.models.lot import Lot
from inventory.models.purchase import PurchaseOrder
from inventory.models.supplier_complaint import SupplierComplaint
from tests.factories.buying import (
    PurchaseOrderFactory,
    SupplierTermsFactory,
    delivery_of,
    goods_in_at,
    sent_order,
)
from tests.factories.catalogue import GtinFactory, SkuFactory
from tests.factories.people import SupplierFactory
from tests.factories.when import AT

pytestmark = pytest.mark.django_db


@pytest.fixture
def warehouse(signed_in, warehouse_person):
    return signed_in(warehouse_person)


@pytest.fixture
def delivery(warehouse_person):
    skus = [SkuFactory(code="TB-MARKED", marked=True), SkuFactory(code="TB-PLAIN")]
    return delivery_of(sent_order(4, 6, skus=skus), by=warehouse_person)


def body(answer, status=200):
    assert answer.status_code == status, answer.content.decode()[:3000]
    return answer.content.decode()


def of(delivery, more=""):
    return f"/goods-in/deliveries/{delivery.pk}/{more}"


def enter(client, delivery, sku="TB-PLAIN", key="k", **said):
    told = {"sku": sku, "quantity": 1, "date_code": "3026", "idempotency_key": key, **said}
    return client.post(of(delivery, "lines/"), told)


def test_the_first_page_says_what_is_in_hand_and_what_is_coming(warehouse, delivery):
    page = body(warehouse.get("/goods-in/"))
    assert delivery.number in page
    assert "TB-MARKED" in page
    assert f"PO-{delivery.order_id:05}" in page


def test_a_delivery_is_opened_against_its_order(warehouse):
    order, place = sent_order(4), goods_in_at()
    page = body(warehouse.get(f"/goods-in/open/?order={order.pk}"))
    assert f'<option value="{order.pk}" selected>' in page
    said = {
        "order": order.pk, "note_number": "DN 7", "arrived_on": "2026-11-20", "place": place.pk,
        "idempotency_key": "one",
    }  # fmt: skip
    answer = warehouse.post("/goods-in/open/", said)
    made = Delivery.objects.get()
    assert (made.supplier, answer["Location"]) == (order.supplier, of(made))
    again = warehouse.post("/goods-in/open/", said, follow=True)
    assert "it was not done twice" in body(again)
    page = body(warehouse.post("/goods-in/open/", {**said, "idempotency_key": "two"}), 400)
    assert f"there already as {made.number}" in page


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"order": ""}, "Name the order, or the supplier if there is none."),
        ({"note_number": ""}, "This field is required."),
        ({"arrived_on": "2036-01-01"}, "2036-01-01 is still to come."),
    ],
)
def test_what_is_wrong_with_the_head_is_told(wrong, words, warehouse):
    said = {
        "order": sent_order(4).pk, "note_number": "DN 7", "arrived_on": "2026-11-20",
        "place": goods_in_at().pk, "idempotency_key": "one", **wrong,
    }  # fmt: skip
    assert words in body(warehouse.post("/goods-in/open/", said), 400)
    assert not Delivery.objects.exists()


def test_the_first_scan_names_the_sku(warehouse, delivery):
    assert "scan the SKU or GTIN" in body(warehouse.get(of(delivery)))
    page = body(warehouse.get(of(delivery), {"sku": "tb-marked"}))
    assert "<dd>HLM issue 2</dd>" in page
    assert "What should be read, and where to look" in page
    assert 'name="date_code"' in page
    gtin = GtinFactory(skus=[SkuFactory(code="TB-BY-GTIN")])
    assert "TB-BY-GTIN" in body(warehouse.get(of(delivery), {"sku": gtin.number}))


def test_a_wrong_scan_says_what_was_read_and_what_was_wanted(warehouse, delivery):
    page = body(warehouse.get(of(delivery), {"sku": "A-01-2"}))
    assert "“A-01-2” was read, and the code of a SKU or its GTIN is wanted." in page
    assert 'data-sound="wrong"' in page


def test_a_gtin_of_several_is_asked_about(warehouse, delivery):
    skus = [SkuFactory(code="TB-ONE", mark="HLM", mark_issue="1"), SkuFactory(code="TB-TWO")]
    number = GtinFactory(skus=skus).number
    page = body(warehouse.get(of(delivery), {"sku": number}))
    assert "This GTIN stands for several" in page
    assert "?sku=TB-ONE" in page
    assert "?sku=TB-TWO" in page


def test_a_line_is_entered_and_the_next_of_the_same_sku_is_ready(warehouse, delivery):
    answer = enter(warehouse, delivery, country="Norland")
    assert answer["Location"] == f"{of(delivery)}?sku=TB-PLAIN"
    page = body(warehouse.get(answer["Location"]))
    assert "✓ 1 x TB-PLAIN, 3026, made in Norland: as ordered" in page
    assert 'value="Norland"' in page
    assert enter(warehouse, delivery, country="Norland")["Location"] == answer["Location"]
    assert delivery.lines.count() == 1


@pytest.mark.parametrize(
    ("mark", "kept", "disagrees"),
    [
        ("HLM 2", ("HLM", "2"), ""),
        ("hlm issue 2", ("HLM", "2"), ""),
        ("HLM 1", ("HLM", "1"), "wrong_mark"),
        ("HLM", ("HLM", ""), "wrong_mark"),
        ("XYZ 3", ("XYZ", "3"), "wrong_mark"),
        ("green dot", ("green dot", ""), "wrong_mark"),
        ("none", ("", ""), "wrong_mark"),
        ("=", ("HLM", "2"), ""),
    ],
)
def test_a_mark_and_its_issue_are_read_in_one(mark, kept, disagrees, warehouse, delivery):
    enter(warehouse, delivery, "TB-MARKED", mark=mark)
    line = delivery.lines.get()
    assert (line.mark, line.mark_issue, line.disagrees) == (*kept, disagrees)


def test_what_disagrees_is_told_at_once(warehouse, delivery):
    page = body(warehouse.get(enter(warehouse, delivery, found="damaged")["Location"]))
    assert "✕ 1 x TB-PLAIN, 3026: to quarantine: Damaged." in page
    assert "✕ 1 to quarantine" in page


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({"date_code": "5426"}, "54"),
        ({"quantity": "0"}, "greater than or equal to 1"),
        ({"quantity": "2.5"}, "Enter a whole number."),
        ({"size_read": "round"}, "round"),
        ({"date_code": "30\x1d26"}, "control character"),
    ],
)
def test_what_cannot_be_read_is_told_beside_its_field(said, words, warehouse, delivery):
    page = body(enter(warehouse, delivery, **said), 400)
    assert words in page
    assert "Not entered" in page
    assert not delivery.lines.exists()


def test_a_mark_that_was_not_looked_for_is_asked_for(warehouse, delivery):
    page = body(enter(warehouse, delivery, "TB-MARKED"), 400)
    assert "Read the approval mark: HLM issue 2 is wanted." in page
    assert 'value="3026"' in page


def test_a_sku_scanned_in_place_of_a_date_code_is_the_next_tyre(warehouse, delivery):
    answer = enter(warehouse, delivery, date_code="TB-MARKED")
    assert answer["Location"] == f"{of(delivery)}?sku=TB-MARKED"
    assert not delivery.lines.exists()


def test_the_note_and_what_is_short_of_it(warehouse, delivery):
    sku = delivery.order.lines.get(sku__code="TB-PLAIN").sku
    said = {"sku": sku.pk, "quantity": 5, "idempotency_key": "n"}
    assert warehouse.post(of(delivery, "note/"), said).status_code == 302
    assert "! 5 short of the note" in body(warehouse.get(of(delivery)))
    wrong = {**said, "quantity": "-1", "idempotency_key": "m"}
    assert "greater than or equal to 0" in body(warehouse.post(of(delivery, "note/"), wrong), 400)


def test_a_line_is_taken_out(warehouse, delivery):
    enter(warehouse, delivery)
    path = of(delivery, f"lines/{delivery.lines.get().pk}/strike/")
    assert warehouse.post(path, {"idempotency_key": "s"}).status_code == 302
    page = body(warehouse.post(path, {"idempotency_key": "t"}), 404)
    assert "taken out already" in page


def test_it_is_looked_at_and_booked(warehouse, delivery):
    enter(warehouse, delivery, quantity=7)
    page = body(warehouse.get(of(delivery, "finish/")))
    assert "✕ 1 over" in page
    order = PurchaseOrder.objects.get()
    said = {"seen": order.version, "idempotency_key": "f"}
    answer = warehouse.post(of(delivery, "finish/"), said)
    page = body(warehouse.get(answer["Location"]))
    words = f"{delivery.number} is booked in: 6 to goods in, 1 to quarantine; 1 complaint to"
    assert words in page
    assert "Booked in by warehouse" in page
    assert "Take out" not in page
    page = body(warehouse.post(of(delivery, "finish/"), {"idempotency_key": "g"}), 409)
    assert f"{delivery.number} was booked in by warehouse" in page
    assert Lot.objects.count() == 2


def test_an_order_changed_meanwhile_is_told_and_looked_at_again(warehouse, delivery):
    enter(warehouse, delivery)
    order, sku = delivery.order, SkuFactory()
    purchasing.set_line(order=order, sku=sku, quantity=2, by=order.made_by, at=AT)
    said = {"seen": order.version, "idempotency_key": "f"}
    page = body(warehouse.post(of(delivery, "finish/"), said), 412)
    assert f"{order.number} has been changed while" in page
    order.refresh_from_db()
    assert f'name="seen" value="{order.version}"' in page


def test_a_half_finished_booking_is_taken_up(signed_in, delivery, warehouse):
    enter(warehouse, delivery)
    owner = signed_in("owner")
    page = body(owner.get(of(delivery)))
    assert "warehouse has it in hand" in page
    assert "take it up first" in body(enter(owner, delivery), 409)
    assert owner.post(of(delivery, "take-up/"), {"idempotency_key": "u"}).status_code == 302
    assert enter(owner, delivery, key="v").status_code == 302
    assert delivery.lines.count() == 2


def test_it_is_given_up_with_a_reason(warehouse, delivery):
    body(warehouse.get(of(delivery, "give-up/")))
    body(warehouse.post(of(delivery, "give-up/"), {"why": "", "idempotency_key": "a"}), 400)
    said = {"why": "not for us", "idempotency_key": "b"}
    page = body(warehouse.post(of(delivery, "give-up/"), said, follow=True))
    assert "is given up; nothing of it was booked." in page
    assert "not for us" in body(warehouse.get(of(delivery)))


def test_deliveries_are_listed_filtered_and_paged(warehouse, delivery, warehouse_person):
    other = SupplierFactory(name="Quarnford")
    for _ in range(26):
        delivery_of(supplier=other, by=warehouse_person)
    page = body(warehouse.get("/goods-in/deliveries/"))
    assert "Earlier ones" in page
    assert delivery.number not in page
    asked = {"supplier": delivery.supplier_id, "state": "in_progress"}
    page = body(warehouse.get("/goods-in/deliveries/", asked))
    assert delivery.number in page
    assert "None like that" in body(warehouse.get("/goods-in/deliveries/", {"state": "booked"}))


def test_the_page_asks_no_more_with_more_lines(warehouse, delivery, same_queries):
    def more():
        for number in range(4):
            sku = SkuFactory(code=f"TB-{delivery.lines.count()}-{number}")
            receiving.enter_line(
                delivery=delivery, sku=sku, date_code="3026", by=delivery.at_work_by, at=AT
            )

    more()
    assert same_queries(lambda: body(warehouse.get(of(delivery))), more) <= 14


PATHS = ["/goods-in/", "/goods-in/deliveries/", "/goods-in/complaints/", "/purchasing/"]


@pytest.mark.parametrize("path", PATHS)
def test_the_counter_has_no_business_there(path, signed_in):
    assert signed_in("counter").get(path).status_code == 403


def test_the_buyer_looks_on(signed_in, delivery):
    buyer = signed_in("buyer")
    assert "Take it up" not in body(buyer.get(of(delivery)))
    assert enter(buyer, delivery).status_code == 403
    assert buyer.get("/goods-in/open/").status_code == 403


def test_a_delivery_that_is_not_there(warehouse):
    assert warehouse.get("/goods-in/deliveries/999/").status_code == 404


def test_a_draft_is_not_offered(warehouse):
    order = PurchaseOrderFactory()
    goods_in_at()
    assert f"PO-{order.pk:05}" not in body(warehouse.get("/goods-in/open/"))


def test_where_it_is_made_and_its_pattern_issue_are_read_where_they_are_agreed(warehouse, delivery):
    sku = delivery.order.lines.get(sku__code="TB-PLAIN").sku
    SupplierTermsFactory(supplier=delivery.supplier, sku=sku, country="Norland", pattern_issue="B")
    page = body(warehouse.get(of(delivery, "?sku=TB-PLAIN")))
    assert "Norland is agreed" in page
    assert "B is agreed" in page
    page = body(enter(warehouse, delivery), 400)
    assert "Read where it was made: Norland is agreed." in page
    assert "Read the pattern issue: B is agreed." in page
    enter(warehouse, delivery, key="2", country="norland", pattern_issue="b")
    enter(warehouse, delivery, key="3", country="Sudland", pattern_issue="B")
    enter(warehouse, delivery, key="4", country="Norland", pattern_issue="A")
    receiving.finish(delivery=delivery, by=delivery.opened_by, at=AT)
    found = SupplierComplaint.objects.order_by("reason").values_list("reason", "quantity", "says")
    assert list(found) == [
        ("wrong_country", 1, "Made in Sudland; Norland is agreed."),
        ("wrong_issue", 1, "Pattern issue A was read; B is agreed."),
    ]
    assert "made in another country than agreed" in body(warehouse.get("/goods-in/complaints/"))
