"""A quote on paper, read back from the PDF: price, answer, reasons, cautions, until when."""

from __future__ import annotations

from datetime import timedelta

import pytest

from fitments.rules import cautions
from inventory.activities.quoting import withdraw_quote
from inventory.models.customer import Customer
from inventory.models.quote import Quote
from inventory.models.sku import Sku
from stockist.papers.quote import paper_of
from stockist.papers.quote_drawn import drawn
from tests.factories.people import CustomerFactory, UserFactory
from tests.factories.selling import QuoteFactory
from tests.support.counting import queries_of
from tests.support.pdf_text import pages_of, text_of

pytestmark = pytest.mark.django_db
REASONS = [
    {"sign": "✓", "tone": "suits", "words": "Fitted when new.", "source": "handbook, page 12"},
    {"sign": "!", "tone": "caution", "words": "The pressure is not known.", "source": ""},
    "A bare sentence.",
]
ANSWER = {
    "use": "track", "class": "HT-1", "age_limit_months": 36, "car": "Hallmere Sprint 1600",
    "built": "June 1964", "verdict": "suits with a caution", "sign": "!", "tone": "caution",
    "reasons": REASONS,
    "stock": {"chosen": [
        {"quantity": 2, "for_place": "front", "lot": {"code": "LOT-7", "date_code": "1425"}}
    ]},
}  # fmt: skip


@pytest.fixture
def quote():
    customer = CustomerFactory(name="Orrin Tásker", address="4 Mill Row\nWendle")
    return QuoteFactory(customer=customer, answer=ANSWER, sets=2, note="Fitting <not> included.")


def read(quote: Quote) -> str:
    return text_of(drawn(paper_of(quote)))


def test_all_that_was_answered_is_on_it(quote):
    said = read(quote)
    for words in (
        f"Quote {quote.number}",
        "Orrin Tásker 4 Mill Row Wendle",
        "good until the end of 2026-12-07",
        "4 × Tarnbeck Cairnway",
        "for a Hallmere Sprint 1600, built June 1964, track use, HT-1, not older than 3 years",
        "£412.00 the set; 2 sets: £824.00",
        "412.00 by the list",
        "Nothing is held by this quote",
        "Fitting < not > included.",
        "Suits with a caution.",
        "Suits: Fitted when new. (handbook, page 12)",
        "Caution: The pressure is not known.",
        "A bare sentence.",
        "What was in stock for it on that day 2 × 1425, lot LOT-7, front",
        "Before they are fitted",
        "page 1 of 1",
        "· good until 2026-12-07",
    ):
        assert words in said
    for caution in cautions.ALL:
        assert caution.split(". ")[0][:40] in said


def test_what_is_not_known_is_said_to_be():
    said = read(QuoteFactory(price=None, currency="", price_words="", answer={}))
    assert "No price is known of it yet" in said
    assert "asked for without a car: nothing is said of what it suits" in said
    assert "sets:" not in said


def test_one_that_stands_no_more_says_so(quote):
    assert "stands no more" not in read(quote)
    at = quote.made_at + timedelta(days=1)
    withdraw_quote(quote=quote, why="dearer now", by=UserFactory(), at=at)
    assert f"It stands no more: withdrawn on {at.date()}: dearer now." in read(quote)


def test_the_same_bytes_whatever_the_shelf_and_the_catalogue_say_since(quote):
    before = drawn(paper_of(quote))
    Sku.objects.update(code="OTHER", price=1)
    assert drawn(paper_of(quote)) == before
    Customer.objects.update(name="forgotten", address="")
    assert "Tásker" not in read(quote)


def test_one_query(quote):
    assert queries_of(lambda: paper_of(quote)) == 1


def test_a_long_one_goes_on_to_another_page():
    many = {**ANSWER, "reasons": [{**REASONS[0], "words": f"Reason {n}. " * 30} for n in range(40)]}
    found = QuoteFactory(answer=many)
    pages = pages_of(drawn(paper_of(found)))
    assert len(pages) > 1
    for number, page in enumerate(pages, start=1):
        assert f"page {number} of {len(pages)}" in page
        assert f"quote {found.number} · good until" in page


class TestHandedOut:
    """By page and by API, to whoever may see what was quoted."""

    @pytest.mark.parametrize("role", ["counter", "buyer", "owner"])
    def test_as_an_attachment(self, signed_in, quote, role):
        client = signed_in(role)
        page = client.get(f"/quotes/{quote.pk}/").content.decode()
        assert f'href="/papers/quotes/{quote.pk}/"' in page
        answer = client.get(f"/papers/quotes/{quote.pk}/")
        assert answer["Content-Type"] == "application/pdf"
        assert answer["Content-Disposition"] == f'attachment; filename="{quote.number}.pdf"'
        assert quote.number in text_of(answer.content)

    def test_by_api(self, api, quote):
        answer = api("counter").get(f"/api/v1/quotes/{quote.pk}/paper/")
        assert answer.content == drawn(paper_of(quote))
        assert api("counter").get("/api/v1/quotes/99999/paper/").status_code == 404
        assert api("warehouse").get(f"/api/v1/quotes/{quote.pk}/paper/").status_code == 403
        assert api(None).get(f"/api/v1/quotes/{quote.pk}/paper/").status_code == 401

    def test_not_to_others(self, client, signed_in, quote):
        assert client.get(f"/papers/quotes/{quote.pk}/").status_code == 302
        assert signed_in("warehouse").get(f"/papers/quotes/{quote.pk}/").status_code == 403
        assert signed_in("counter").get("/papers/quotes/99999/").status_code == 404
