"""What was asked for and not had."""

from __future__ import annotations

import pytest

from inventory.activities.enquiring import record
from inventory.ground.entries.faults import Faulty
from inventory.ledger.moves import NotWhole, TooMany
from inventory.models.enquiry import Enquiry
from tests.factories.catalogue import SkuFactory
from tests.factories.people import CustomerFactory, UserFactory
from tests.factories.when import AT

pytestmark = pytest.mark.django_db


@pytest.fixture
def ask():
    by = UserFactory()
    return lambda **asked: record(by=by, at=AT, **asked)


def test_for_a_sku(ask):
    sku, customer = SkuFactory(), CustomerFactory()
    made = ask(sku=sku, pieces=5, car="Hallmere Sprint", customer=customer, note="by Friday")
    stored = Enquiry.objects.get()
    assert stored == made
    assert (stored.sku, stored.pieces, stored.customer) == (sku, 5, customer)
    assert (stored.car, stored.note, stored.asked_at) == ("Hallmere Sprint", "by Friday", AT)


@pytest.mark.parametrize(
    ("typed", "kept"),
    [("185 70 15", "185/70-15"), ("165hr15", "165 HR 15"), ("  eleven by nine ", "eleven by nine")],
)
def test_for_a_size_in_its_one_way_of_writing(ask, typed, kept):
    assert ask(size=typed).size == kept


@pytest.mark.parametrize(
    ("asked", "field"),
    [
        ({}, "pieces"),
        ({"size": " "}, "pieces"),
        ({"size": "165 R 15", "pieces": 0}, "pieces"),
        ({"size": "165 R 15", "pieces": -1}, "pieces"),
        ({"size": "165 R 15", "pieces": 101}, "pieces"),
        ({"size": "x" * 61}, "size"),
        ({"size": "q" * 10_000}, "size"),
        ({"size": "165 R 15", "car": "a\x00b"}, "car"),
        ({"size": "165 R 15", "note": "n" * 501}, "note"),
    ],
)
def test_refused_in_words(ask, asked, field):
    with pytest.raises(Faulty) as caught:
        ask(**asked)
    assert caught.value.sentence
    assert "{" not in caught.value.sentence
    assert not Enquiry.objects.exists()
    if asked.get("size", "").strip():
        assert field in {fault.field for fault in caught.value.faults}


@pytest.mark.parametrize(
    ("pieces", "refusal"), [(2.5, NotWhole), ("four", NotWhole), (None, NotWhole), (10**9, TooMany)]
)
def test_pieces_that_nobody_can_mean(ask, pieces, refusal):
    with pytest.raises(refusal):
        ask(size="165 R 15", pieces=pieces)
    assert not Enquiry.objects.exists()
