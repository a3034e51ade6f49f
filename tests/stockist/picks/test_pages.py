"""Picking by scanner and by hand, another lot, short, packed, and whether it may leave."""

from __future__ import annotations

from html import unescape

import pytest

from inventory.models.despatch import Despatch
from inventory.models.pick import PickList
from inventory.release import May, Reason, Release
from tests.factories.sending import Shop, an_order, held_pieces, held_set, lines_of

pytestmark = pytest.mark.django_db


def body(answer, status=200):
    assert answer.status_code == status, answer.content.decode()[:3000]
    return unescape(answer.content.decode())


@pytest.fixture
def warehouse(signed_in):
    return signed_in("warehouse")


def do(client, path, key="k", **said):
    return client.post(path, {"idempotency_key": key, **said})


def made(client, order, shop) -> PickList:
    do(client, "/picks/make/", f"make-{order.pk}", order=order.pk, to_place=shop.gather.pk)
    return PickList.objects.get(order=order)


@pytest.fixture
def listed(warehouse):
    """An order for a set of four of one lot, on a list: the list, the shop and the lot."""
    shop, order, lot, _ = held_set(on_hand=6)
    return made(warehouse, order, shop), shop, lot


def test_an_order_that_waits_gets_its_list(warehouse):
    shop, order, _, _ = held_set()
    page = body(warehouse.get("/picks/"))
    assert order.number in page
    assert str(order.customer) in page
    answer = do(warehouse, "/picks/make/", order=order.pk, to_place=shop.gather.pk)
    one = PickList.objects.get()
    assert answer["Location"] == f"/picks/{one.pk}/"
    page = body(warehouse.get("/picks/"))
    assert "No order waits." in page
    assert "0 of 4" in page
    body(do(warehouse, "/picks/make/", "2", order=order.pk, to_place=shop.gather.pk), 409)
    body(do(warehouse, "/picks/make/", "3", order=order.pk, to_place=shop.racks[0].pk), 400)
    body(do(warehouse, "/picks/make/", "4", order="x"), 400)
    empty = an_order()
    body(do(warehouse, "/picks/make/", "5", order=empty.pk, to_place=shop.gather.pk), 409)


def scan(client, one, text, key, line=None):
    line = line or one.lines.filter(state="open").order_by("pk").first()
    return do(client, f"/picks/{one.pk}/scan/", key, scanned=text, line=line.pk if line else 0)


def test_scanned_packed_and_gone(warehouse, listed):
    one, shop, lot = listed
    page = body(warehouse.get(f"/picks/{one.pk}/"))
    assert shop.racks[0].code in page
    assert "1425" in page
    assert "made in" in page
    assert "autofocus" in page
    page = body(warehouse.get(scan(warehouse, one, lot.code.lower(), "1")["Location"]))
    assert f"✓ 2 of {lot.code} from {shop.racks[0].code}." in page
    # The same scan, sent again with its key, takes nothing more.
    assert scan(warehouse, one, lot.code.lower(), "1", lines_of(one)[0]).status_code == 302
    page = body(warehouse.get(scan(warehouse, one, lot.sku.code, "2")["Location"]))
    assert "All of it is picked" in page
    page = body(do(warehouse, f"/picks/{one.pk}/pack/", "p0", parcels=0), 400)
    assert "0 is no number of parcels" in page
    body(do(warehouse, f"/picks/{one.pk}/pack/", "p1", parcels="2.5"), 400)
    body(do(warehouse, f"/picks/{one.pk}/pack/", "p2", parcels=10**9), 400)
    answer = do(warehouse, f"/picks/{one.pk}/pack/", "p3", parcels=2)
    page = body(warehouse.get(answer["Location"]))
    assert "May it leave?" in page
    assert "✓</span> may leave" in page
    assert "2 parcels" in page
    answer = do(warehouse, f"/picks/{one.pk}/send/", "s", carrier="Wendle Vans")
    sent = Despatch.objects.get()
    page = body(warehouse.get(answer["Location"]))
    assert f"{sent.number} has left." in page
    assert "with Wendle Vans" in page
    assert f"/papers/delivery-notes/{sent.pk}/" in page
    assert do(warehouse, f"/picks/{one.pk}/send/", "s", carrier="Wendle Vans").status_code == 302
    body(do(warehouse, f"/picks/{one.pk}/send/", "s2"), 409)
    assert Despatch.objects.count() == 1
    assert "✓ sent" in body(warehouse.get(f"/picks/{one.pk}/"))


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "This field is required."),
        ("A-NOWHERE", "is wanted"),
        ("5012345678900", "is wanted"),
        ("x" * 600, "at most 500"),
    ],
)
def test_what_was_scanned_and_what_was_wanted(text, words, warehouse, listed):
    page = body(scan(warehouse, listed[0], text, "1"), 400)
    assert words in page
    assert 'data-sound="wrong"' in page
    assert not listed[0].lines.exclude(state="open").exists()


def test_another_lot_is_asked_about_and_taken_for_a_reason_where_the_set_matches(warehouse):
    shop = Shop()
    _, order, lot, _ = held_set(shop)
    near = shop.stock(4, sku=lot.sku, rack=1, date_code="1525")
    far = shop.stock(4, sku=lot.sku, rack=2, date_code="1421")
    one = made(warehouse, order, shop)
    page = body(scan(warehouse, one, near.code, "1"), 409)
    assert f"{near.code} was scanned, 1525; {lot.code} is wanted, 1425." in page
    assert f'value="{near.code}"' in page
    assert far.code in page
    first = lines_of(one)[0]
    at = f"/picks/{one.pk}/lines/{first.pk}/"
    assert "Say why another lot is taken." in body(do(warehouse, f"{at}other/", lot=near.code), 400)
    page = body(do(warehouse, f"{at}other/", "2", lot=far.code, why="x", quantity=1), 409)
    assert "it is no matched set" in page
    told = {"lot": near.code, "why": "wet wrapping", "confirmed": "scan"}
    page = body(warehouse.get(do(warehouse, f"{at}other/", "3", **told)["Location"]))
    assert f"lot {near.code} instead: wet wrapping (scanned by warehouse)" in page


def test_by_hand_in_part_and_short(warehouse, listed):
    one, _, _ = listed
    at = f"/picks/{one.pk}/lines/{lines_of(one)[0].pk}/"
    for number, quantity in enumerate(("0", "-1", "3", "2.5", "1000000000")):
        body(do(warehouse, f"{at}pick/", f"b{number}", quantity=quantity), 400)
    page = body(warehouse.get(do(warehouse, f"{at}pick/", "1", quantity=1)["Location"]))
    assert "by hand." in page
    assert "1 of 4" in page
    line = one.lines.filter(state="open").order_by("pk").first()
    at = f"/picks/{one.pk}/lines/{line.pk}/"
    body(do(warehouse, f"{at}short/", "2", found=0), 400)
    body(do(warehouse, f"{at}short/", "3", found=99, why="gone"), 400)
    page = body(warehouse.get(do(warehouse, f"{at}short/", "4", found=0, why="not there")[
        "Location"]))  # fmt: skip
    assert "were not in" in page
    assert "! 0 of " in page


def test_a_set_that_cannot_be_had_is_left_out(warehouse):
    shop, order, _, hold = held_set()
    one = made(warehouse, order, shop)
    first = lines_of(one)[0]
    do(warehouse, f"/picks/{one.pk}/lines/{first.pk}/short/", found=0, why="not there")
    page = body(warehouse.get(f"/picks/{one.pk}/"))
    assert "Missing" in page
    body(do(warehouse, f"/picks/{one.pk}/leave-out/", "1", hold=hold.pk, why=""), 400)
    body(do(warehouse, f"/picks/{one.pk}/leave-out/", "2", hold=999, why="gone"), 404)
    answer = do(warehouse, f"/picks/{one.pk}/leave-out/", "3", hold=hold.pk, why="gone")
    assert "– cancelled" in body(warehouse.get(answer["Location"]))


def test_a_list_is_given_up(warehouse, listed):
    one, _, lot = listed
    scan(warehouse, one, lot.code, "1")
    body(do(warehouse, f"/picks/{one.pk}/cancel/", "2", why=""), 400)
    page = body(warehouse.get(do(warehouse, f"/picks/{one.pk}/cancel/", "3", why="wrong day")[
        "Location"]))  # fmt: skip
    assert "– cancelled" in page
    assert "wrong day" in page
    body(scan(warehouse, one, lot.code, "4"), 409)
    assert listed[0].number in body(warehouse.get("/picks/", {"state": "cancelled"}))
    assert "None like that." in body(warehouse.get("/picks/"))


def against(may: May):
    """A release that speaks against every set."""

    def answers(sets, *, at):
        reason = Reason("age", "Seven years old, and the house's limit is six.")
        return [Release(one.key, may, reasons=(reason,)) for one in sets]

    return answers


def with_a_word(sets, *, at):
    return against(May.WITH_A_WORD)(sets, at=at)


def to_stay(sets, *, at):
    return against(May.STAY)(sets, at=at)


def packed_by(client, one, lot):
    for number in (1, 2):
        scan(client, one, lot.code, f"{number}")
    do(client, f"/picks/{one.pk}/pack/", "p", parcels=1)


def test_against_advice_it_leaves_with_the_owners_word_only(warehouse, listed, signed_in, settings):
    settings.RELEASE = f"{__name__}.with_a_word"
    one, _, lot = listed
    packed_by(warehouse, one, lot)
    at = f"/picks/{one.pk}/"
    page = body(warehouse.get(f"{at}leave/"))
    assert "only with the owner's word" in page
    assert "Seven years old" in page
    assert "It leaves" not in page.replace("It leaves only", "")
    assert do(warehouse, f"{at}word/", why="he knows").status_code == 403
    assert "with the owner's word only" in body(do(warehouse, f"{at}send/", "s"), 409)
    owner = signed_in("owner")
    body(do(owner, f"{at}word/", why=""), 400)
    page = body(owner.get(do(owner, f"{at}word/", "w", why="for show only")["Location"]))
    assert "owner lets it leave" in page
    answer = do(warehouse, f"{at}send/", "s2")
    page = body(warehouse.get(answer["Location"]))
    assert "for show only" in page
    listing = body(warehouse.get("/despatches/", {"state": "word"}))
    assert "owner's word" in listing


def test_what_must_stay_stays(warehouse, listed, settings, signed_in):
    settings.RELEASE = f"{__name__}.to_stay"
    one, _, lot = listed
    packed_by(warehouse, one, lot)
    page = body(signed_in("owner").get(f"/picks/{one.pk}/leave/"))
    assert "must stay" in page
    assert "Let it leave" not in page
    body(do(warehouse, f"/picks/{one.pk}/send/", "s"), 409)


def test_nobody_is_named_who_releases(warehouse, listed, settings):
    settings.RELEASE = ""
    one, _, lot = listed
    packed_by(warehouse, one, lot)
    assert "Nobody is named" in body(warehouse.get(f"/picks/{one.pk}/leave/"))


def test_lists_and_a_list_ask_no_more_with_more_rows(warehouse, same_queries):
    shop = Shop()
    firsts = []

    def more():
        for _ in range(4):
            _, order, _, _ = held_pieces(shop)
            firsts.append(made(warehouse, order, shop))
            held_pieces(shop)

    more()
    assert same_queries(lambda: body(warehouse.get("/picks/")), more) <= 14
    one = firsts[0]

    def more_lines():
        _, _, _, hold = held_pieces(shop)
        held = hold.lines.get()
        one.lines.create(hold=hold, lot=held.lot, place=held.place, quantity=1)

    more_lines()
    assert same_queries(lambda: body(warehouse.get(f"/picks/{one.pk}/")), more_lines) <= 12
    number = one.order.number
    assert one.number in body(warehouse.get("/picks/", {"q": number}))
