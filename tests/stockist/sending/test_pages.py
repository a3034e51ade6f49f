"""What has left, came back, and is complained of, on pages."""

from __future__ import annotations

import io
from decimal import Decimal
from html import unescape

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from inventory.models.complaint import ComplaintPicture, CustomerComplaint
from inventory.models.despatch import Despatch
from inventory.models.returned import Return
from tests.factories.people import SupplierFactory, UserFactory
from tests.factories.sending import Shop, held_pieces, held_set, sent

pytestmark = pytest.mark.django_db


def body(answer, status=200):
    assert answer.status_code == status, answer.content.decode()[:3000]
    return unescape(answer.content.decode())


def do(client, path, key="k", **said):
    return client.post(path, {"idempotency_key": key, **said})


@pytest.fixture
def warehouse(signed_in):
    return signed_in("warehouse")


@pytest.fixture
def counter(signed_in):
    return signed_in("counter")


@pytest.fixture
def gone():
    """Three pieces of one lot that left; their shop."""
    shop, order, _, _ = held_pieces()
    return sent(order, shop, UserFactory()), shop


def came(line, quantity, condition="new", **more):
    key = line.pk
    told = {f"quantity_{key}": quantity, f"condition_{key}": condition}
    return told | {f"{name}_{key}": value for name, value in more.items()}


def test_what_left_is_told_as_it_was_known(warehouse, gone):
    one, _ = gone
    page = body(warehouse.get(f"/despatches/{one.pk}/"))
    assert one.order.number in page
    assert "3 × " in page
    assert "What was known on the day" in page
    assert "Before it is fitted" in page
    answer = warehouse.get(f"/papers/delivery-notes/{one.pk}/")
    assert answer["Content-Type"] == "application/pdf"


def test_some_of_it_came_back(warehouse, gone):
    one, shop = gone
    line = one.lines.get()
    at = f"/despatches/{one.pk}/return/"
    assert "How many of 3" in body(warehouse.get(at))
    told = {"reason": "not_wanted", "place": shop.racks[1].code, "note": "changed his mind"}
    answer = do(warehouse, at, **told, **came(line, 1, "fitted", note="one mile"))
    made = Return.objects.get()
    page = body(warehouse.get(answer["Location"]))
    assert f"made from lot {line.lot}" in page
    assert "one mile" in page
    assert "changed his mind" in page
    assert do(warehouse, at, **told, **came(line, 1, "fitted", note="one mile")).status_code == 302
    assert Return.objects.count() == 1
    page = body(warehouse.get(f"/despatches/{one.pk}/"))
    assert "1 came back" in page
    assert made.number in page
    assert made.number in body(warehouse.get("/returns/", {"state": "not_wanted"}))
    assert "Nothing like that came back." in body(warehouse.get("/returns/", {"state": "faulty"}))


@pytest.mark.parametrize(
    ("quantity", "condition", "more", "status", "words"),
    [
        ("", "new", {}, 400, "Nothing was changed"),
        (0, "new", {}, 400, "0 tyres cannot be booked"),
        (-1, "new", {}, 400, "-1 tyres cannot be booked"),
        ("2.5", "new", {}, 400, "Enter a whole number."),
        (10**9, "new", {}, 400, "more than this shop can book"),
        (4, "new", {}, 409, "3 of lot"),
        (1, "golden", {}, 400, "Select a valid choice"),
        (1, "new", {"place": "NOWHERE"}, 400, "the label of a place is wanted"),
        (1, "new", {"reason": "rain"}, 400, "Select a valid choice"),
        (1, "new", {"reason": "faulty"}, 400, "quarantine"),
    ],
)
def test_what_cannot_have_come_back(quantity, condition, more, status, words, warehouse, gone):
    one, shop = gone
    told = {"reason": "not_wanted", "place": shop.racks[0].code, **more}
    answer = do(
        warehouse, f"/despatches/{one.pk}/return/", **told,
        **came(one.lines.get(), quantity, condition),
    )  # fmt: skip
    assert words in body(answer, answer.status_code)
    assert answer.status_code in (status, 400, 409)
    assert not Return.objects.exists()


def test_a_complaint_is_taken_to_the_maker_and_answered(counter, signed_in, gone):
    line = gone[0].lines.get()
    at = f"/despatches/lines/{line.pk}/complaint/"
    body(do(counter, at, says=""), 400)
    body(do(counter, at, "1", says="bulge", quantity=4), 400)
    body(do(counter, at, "2", says="bulge", quantity=1, tread_left_mm="-1"), 422)
    answer = do(counter, at, "3", says="A bulge in the wall.", quantity=2, tread_left_mm="6.5")
    one = CustomerComplaint.objects.get()
    assert one.tread_left_mm == Decimal("6.5")
    page = body(counter.get(answer["Location"]))
    assert "A bulge in the wall." in page
    assert "6.5 mm" in page
    assert one.number in body(counter.get("/complaints/", {"customer": one.customer_id}))
    here = answer["Location"]
    buyer = signed_in("buyer")
    body(do(buyer, f"{here}maker/", "m"), 400)
    supplier = SupplierFactory()
    do(buyer, f"{here}maker/", "m2", supplier=supplier.pk, maker_reference="R-4")
    assert "their reference R-4" in body(buyer.get(here))
    body(do(buyer, f"{here}close/", "c", outcome="replaced", answer=""), 400)
    do(buyer, f"{here}close/", "c2", outcome="replaced", answer="Two new ones.")
    page = body(buyer.get(here))
    assert "✓ closed: replaced" in page
    assert "Two new ones." in page
    body(do(buyer, f"{here}close/", "c3", outcome="replaced", answer="again"), 409)
    assert "No complaint like that." in body(counter.get("/complaints/"))


def picture() -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (40, 30), "grey").save(out, "JPEG")
    return out.getvalue()


def test_pictures_are_kept_and_handed_out_as_files(counter, gone):
    line = gone[0].lines.get()
    here = do(counter, f"/despatches/lines/{line.pk}/complaint/", says="Cut.", quantity=1)[
        "Location"
    ]
    file = SimpleUploadedFile("wall.jpg", picture(), "image/jpeg")
    assert do(counter, f"{here}pictures/", "p", file=file).status_code == 302
    one = ComplaintPicture.objects.get()
    assert "wall.jpg" in body(counter.get(here))
    answer = counter.get(f"/complaints/pictures/{one.pk}/")
    assert answer["Content-Disposition"].startswith("attachment")
    again = SimpleUploadedFile("wall.jpg", picture(), "image/jpeg")
    assert "there already" in body(do(counter, f"{here}pictures/", "p2", file=again), 409)
    text = SimpleUploadedFile("wall.jpg", b"no picture", "image/jpeg")
    answer = do(counter, f"{here}pictures/", "p3", file=text)
    assert answer.status_code in (415, 422)
    body(do(counter, f"{here}pictures/", "p4"), 400)
    assert ComplaintPicture.objects.count() == 1


def test_lists_ask_no_more_with_more_rows(signed_in, same_queries):
    owner, by, shop = signed_in("owner"), UserFactory(), Shop()

    def more():
        for _ in range(2):
            _, order, _, _ = held_set(shop)
            sent(order, shop, by)

    more()
    assert same_queries(lambda: body(owner.get("/despatches/")), more) <= 9
    one = Despatch.objects.order_by("pk").first()
    page = body(owner.get("/despatches/", {"q": one.number}))
    assert one.number in page
    lot = one.lines.order_by("pk").first().lot
    assert one.number in body(owner.get("/despatches/", {"q": lot.code}))
    assert "Nothing like that has left." in body(owner.get("/despatches/", {"q": "zzz"}))
