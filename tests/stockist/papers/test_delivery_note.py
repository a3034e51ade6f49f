"""The delivery note, read back from the PDF: what left, and what was known of it on that day."""

from __future__ import annotations

import pytest

from inventory.activities import despatching
from inventory.models.customer import Axle, Customer, CustomerCar
from inventory.models.sku import Sku
from stockist.papers.delivery_note import drawn
from stockist.papers.note import note_of
from stockist.papers.sheet import spelt
from tests.factories.approvals import ApprovalFactory, EvidenceFactory
from tests.factories.cars import FitmentFactory, IdentifiedCarFactory, VariantFactory
from tests.factories.people import CustomerCarFactory, CustomerFactory, UserFactory
from tests.factories.sending import held_pieces, held_set, packed, sent
from tests.factories.when import AT
from tests.support.counting import queries_of
from tests.support.pdf_text import pages_of, text_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def tom():
    return UserFactory(username="tom")


@pytest.fixture
def gone(tom):
    """A set approved by the car's maker, sold for a car that is known, and sent."""
    variant = VariantFactory(with_wheels=True)
    letter = EvidenceFactory(code="EV-LETTER", reference="HC/77", checked=True)
    for axle in Axle.values:
        FitmentFactory(variant=variant, axle=axle)
        ApprovalFactory(
            vehicle_line=variant.vehicle_line,
            axle=axle,
            code=f"AP-{axle}",
            version__evidence=[letter],
        )
    customer = CustomerFactory(name="Orrin Tásker", address="4 Mill Row\nWendle")
    car = CustomerCarFactory(customer=customer)
    IdentifiedCarFactory(customer_car=car, variant=variant)
    marked = {"mark": "HLM", "mark_issue": "2", "country": "Freedonia"}
    shop, order, *_ = held_set(lot=marked, customer=customer, car=car, reference="barn <find> & Co")
    return sent(order, shop, tom)


def read(despatch):
    return text_of(drawn(note_of(despatch)))


class TestWhatItSays:
    """Every fact that the customer is owed."""

    def test_what_left_for_whom(self, gone):
        said, lot = read(gone), gone.lines.first().lot
        for words in (
            f"Delivery note {gone.number}",
            "Orrin Tásker 4 Mill Row Wendle",
            "left on 2026-11-23",
            "yours: barn < find > & Co",
            "1 parcel",
            "four tyres",
            lot.code,
            lot.sku.code,
            "1425",
            "HLM 2",
            "made in Freedonia",
            "front",
            "rear",
            "page 1 of 1",
        ):
            assert words in said

    def test_the_verdict_the_approvals_and_what_they_rest_on(self, gone):
        said = read(gone)
        assert "Suits with a caution: Hallmere" in said or "Cannot tell: Hallmere" in said
        assert "AP-front: approved by the car's maker Hallmere" in said
        assert "front axle" in said
        assert "mark HLM issue 2, from 2019-05-02" in said
        assert "Rests on evidence checked by a second person: EV-LETTER (letter, HC/77" in said

    def test_the_cautions(self, gone):
        said = read(gone)
        assert "Before they are fitted" in said
        assert "for a qualified fitter" in said
        assert "Nothing is said here of roadworthiness" in said

    def test_what_was_sent_against_advice_says_so(self, tom):
        shop, order, *_ = held_set(date_code="1217")
        listed = packed(order, shop, tom)
        despatching.give_word(pick_list=listed, why="for a museum's trailer", by=tom, at=AT)
        said = read(despatching.despatch(pick_list=listed, by=tom, at=AT))
        assert "It was sent against advice, with the owner's word." in said
        assert "older than the house's limit" in said
        assert "Why it was sent all the same for a museum's trailer" in said

    def test_what_is_not_known_is_said_to_be(self, tom):
        shop, order, *_ = held_pieces(quantity=3)
        said = read(sent(order, shop, tom))
        assert "Not sold for a car that is known here" in said
        assert "none on record" in said


class TestTheSameForEver:
    """It is read from what was frozen."""

    def test_the_same_bytes_whatever_has_changed_since(self, gone):
        before = drawn(note_of(gone))
        Sku.objects.update(code="OTHER", size_text="165 R 14")
        CustomerCar.objects.update(description="sold", plate="", chassis="")
        assert drawn(note_of(gone)) == before

    def test_a_name_that_is_forgotten_is_gone_from_it(self, gone):
        Customer.objects.update(name="forgotten", address="")
        said = read(gone)
        assert "Tásker" not in said
        assert "forgotten" in said

    def test_two_queries_however_many_lines(self, gone):
        assert queries_of(lambda: note_of(gone)) == 2


class TestOnPaper:
    """Long ones go on, and every letter is printed."""

    def test_each_page_says_of_how_many_it_is_one(self, tom):
        shop, order, *_ = held_pieces(quantity=1)
        despatch = sent(order, shop, tom)
        note = note_of(despatch)
        (only,) = note.sets
        longer = type(only)(only.what, only.said, (), only.lines * 60, only.approvals)
        many = type(note)(
            **{name: getattr(note, name) for name in note.__slots__ if name != "sets"},
            sets=(longer,),
        )
        pages = pages_of(drawn(many))
        assert len(pages) > 2
        for number, page in enumerate(pages, start=1):
            assert f"page {number} of {len(pages)}" in page
            assert f"delivery note {note.number}" in page
            assert "Date code" in page or number == len(pages)

    def test_a_letter_that_the_type_has_not(self):
        assert spelt("Łódź, Ørsted, naïve") == "Łódz, Ørsted, naïve"
        assert spelt("山") == "?"


class TestHandedOut:
    """As a file, to whoever may see what left."""

    def test_as_an_attachment(self, signed_in, gone):
        answer = signed_in("warehouse").get(f"/papers/delivery-notes/{gone.pk}/")
        assert answer["Content-Type"] == "application/pdf"
        assert answer["Content-Disposition"] == f'attachment; filename="{gone.number}.pdf"'
        assert gone.number in text_of(answer.content)

    def test_one_that_is_not_there(self, signed_in, gone):
        assert signed_in("counter").get("/papers/delivery-notes/99999/").status_code == 404

    def test_nobody(self, client, gone):
        assert client.get(f"/papers/delivery-notes/{gone.pk}/").status_code == 302
