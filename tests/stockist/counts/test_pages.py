"""The pages of counts and write-offs."""

from __future__ import annotations

import itertools
import re

import pytest

from inventory.models.balance import Balance
from inventory.models.count import Count
from inventory.models.write_off import WriteOff
from tests.factories.catalogue import SkuFactory
from tests.factories.places import PlaceFactory
from tests.factories.stock import LotFactory, stock_in

pytestmark = pytest.mark.django_db


@pytest.fixture
def balance():
    """Seventeen of a lot in a place: a number that stands nowhere else on a page."""
    lot = LotFactory(code="LOT-A", sku=SkuFactory(code="TB-ROAD"))
    return stock_in(on_hand=17, lot=lot, place=PlaceFactory(code="A-01"))


@pytest.fixture
def ann(signed_in, warehouse_person):
    return signed_in(warehouse_person)


def body(answer, status=200):
    assert answer.status_code == status, answer.content.decode()[:3000]
    return answer.content.decode()


_keys = itertools.count()


def do(client, path, status=302, **said):
    told = {"idempotency_key": f"k{next(_keys)}", **said}
    answer = client.post(f"/counts/{path}", told)
    assert answer.status_code == status, answer.content.decode()[:3000]
    return answer


def tells_the_ledger(page):
    """Whether the number stands in what is read; keys within the tags are no matter."""
    return re.search(r"\b17\b", re.sub(r"<[^>]*>", " ", page)) is not None


def words_of(answer):
    return answer.content.decode()


def begun(client, **said):
    do(client, "begin/", **{"scan": "A-01", **said})
    return Count.objects.get()


def test_counted_blind_again_and_posted_by_another(ann, balance, signed_in):
    count = begun(ann)
    of = f"{count.pk}/"
    page = body(ann.get(f"/counts/{of}"))
    assert "What is in A-01?" in page
    assert not tells_the_ledger(page)
    answer = do(ann, f"{of}enter/", lot="]d291LOT-A", quantity=1)
    do(ann, f"{of}enter/", lot="tb-road", quantity=1)
    page = body(ann.get(answer["Location"]))
    assert "✓ LOT-A: 2 counted." in page
    page = body(ann.get(do(ann, f"{of}hand-in/")["Location"]))
    assert "Count again what is listed" in page
    assert "LOT-A (TB-ROAD)" in page
    assert not tells_the_ledger(page)
    do(ann, f"{of}enter/", lot="LOT-A", quantity=2)
    page = body(ann.get(do(ann, f"{of}hand-in/")["Location"]))
    assert "another person looks at it" in page
    page = words_of(do(ann, f"{of}post/", status=409))
    assert "let another look at it" in page
    owner = signed_in("owner")
    page = body(owner.get(f"/counts/{of}"))
    assert tells_the_ledger(page)
    page = body(owner.get(do(owner, f"{of}post/")["Location"]))
    assert "✓ Posted." in page
    assert Balance.objects.get().on_hand == 2
    assert "✓ posted by owner" in body(ann.get("/counts/", {"state": "posted"}))
    assert "None like that" in body(ann.get("/counts/", {"state": "again"}))


def test_a_mistake_is_taken_out_and_a_count_given_up(ann, balance):
    count = begun(ann)
    do(ann, f"{count.pk}/enter/", lot="LOT-A", quantity=3)
    line = count.lines.get()
    do(ann, f"{count.pk}/lines/{line.pk}/strike/")
    assert not count.lines.exists()
    assert "Say why" in words_of(do(ann, f"{count.pk}/give-up/", status=422))
    do(ann, f"{count.pk}/give-up/", why="a fire drill")
    assert "given up" in body(ann.get(f"/counts/{count.pk}/")).lower()
    assert "nothing more can be counted" in words_of(do(ann, f"{count.pk}/hand-in/", status=409))


def test_another_takes_it_up(ann, balance, signed_in):
    count = begun(ann)
    owner = signed_in("owner")
    assert "warehouse has it in hand" in body(owner.get(f"/counts/{count.pk}/"))
    words = words_of(do(owner, f"{count.pk}/enter/", lot="LOT-A", quantity=1, status=409))
    assert "take it up first" in words
    do(owner, f"{count.pk}/take-up/")
    do(owner, f"{count.pk}/enter/", lot="LOT-A", quantity=1)
    page = words_of(do(owner, "begin/", scan="A-01", status=400))
    assert "owner is counting the same" in page


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({"scan": "NO"}, "the label of a place or of a SKU is wanted"),
        ({"scan": "TB-ROAD"}, "A SKU is counted at one site: say which."),
        ({"scan": ""}, "This field is required."),
    ],
)
def test_what_cannot_be_counted(said, words, ann, balance):
    assert words in words_of(do(ann, "begin/", status=400, **said))


def test_a_sku_is_counted_at_a_site(ann, balance):
    count = begun(ann, scan="TB-ROAD", site=balance.place.site_id)
    said = {"lot": "LOT-A", "quantity": 17}
    assert "label of a place" in words_of(
        do(ann, f"{count.pk}/enter/", place="LOT-A", status=400, **said)
    )
    do(ann, f"{count.pk}/enter/", place="A-01", **said)
    page = body(ann.get(do(ann, f"{count.pk}/hand-in/")["Location"]))
    assert "✓ It agrees: nothing to post." in page


def test_a_scan_of_something_else_is_told_and_heard(ann, balance):
    count = begun(ann)
    page = words_of(do(ann, f"{count.pk}/enter/", lot="A-01", quantity=1, status=400))
    assert "the label of a lot is wanted. That is place A-01." in page
    assert 'data-sound="wrong"' in page


def test_tyres_are_written_off_at_once_or_by_another(ann, balance, signed_in):
    said = {"lot": "LOT-A", "place": "A-01", "reason": "damaged", "why": "Cut."}
    body(ann.get("/counts/write-offs/new/"))
    answer = do(ann, "write-offs/new/", quantity=2, **said)
    assert "✓ 2 of LOT-A are written off." in body(ann.get(answer["Location"]))
    answer = do(ann, "write-offs/new/", quantity=6, **said)
    assert "another person decides" in body(ann.get(answer["Location"]))
    row = WriteOff.objects.get(state="asked")
    assert "let another look at it" in words_of(do(ann, f"write-offs/{row.pk}/pass/", status=409))
    owner = signed_in("owner")
    assert "Say why it is not" in words_of(do(owner, f"write-offs/{row.pk}/refuse/", status=400))
    do(owner, f"write-offs/{row.pk}/pass/")
    assert Balance.objects.get().on_hand == 9
    assert "was posted by owner" in words_of(
        do(owner, f"write-offs/{row.pk}/refuse/", answer="No.", status=409)
    )
    assert row.number in body(ann.get("/counts/write-offs/", {"state": "posted"}))
    assert "None like that" in body(ann.get("/counts/write-offs/", {"reason": "lost"}))


def test_a_write_off_may_be_refused(ann, balance, signed_in):
    said = {"lot": "LOT-A", "place": "A-01", "reason": "too_old"}
    do(ann, "write-offs/new/", quantity=6, **said)
    row = WriteOff.objects.get()
    owner = signed_in("owner")
    page = body(
        owner.get(do(owner, f"write-offs/{row.pk}/refuse/", answer="Sell them.")["Location"])
    )
    assert "Refused" in page
    assert "Sell them." in page
    assert Balance.objects.get().on_hand == 17


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({"quantity": 18}, "18 were asked for"),
        ({"quantity": 1, "reason": "other"}, "Say what happened"),
        ({"quantity": 0}, "greater than or equal to 1"),
    ],
)
def test_what_cannot_be_written_off(said, words, ann, balance):
    told = {"lot": "LOT-A", "place": "A-01", "reason": "lost", **said}
    assert words in words_of(do(ann, "write-offs/new/", status=400, **told))


@pytest.mark.parametrize("path", ["begin/", "1/enter/", "1/post/", "write-offs/new/"])
def test_the_counter_looks_and_does_not_count(path, signed_in):
    counter = signed_in("counter")
    body(counter.get("/counts/"))
    do(counter, path, status=403)


def test_queries_do_not_grow_with_the_rows(ann, same_queries):
    def more():
        for _ in range(3):
            lies = stock_in()
            do(ann, "begin/", scan=lies.place.code)

    more()
    same_queries(lambda: body(ann.get("/counts/")), more)
