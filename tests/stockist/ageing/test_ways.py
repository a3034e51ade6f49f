"""What may be done about a lot that grows old: made ready by the page, done by a person."""

from __future__ import annotations

from html import unescape
from urllib.parse import parse_qs, unquote, urlsplit

import pytest
from django.utils import timezone

from inventory.models.balance import Balance
from inventory.models.pricing import AgeStep
from inventory.models.transfer import Transfer
from stockist.ageing.ways import months_old, on_offer, to_suppliers, ways_away
from tests.factories.buying import SupplierTermsFactory
from tests.factories.people import SupplierFactory
from tests.factories.places import PlaceFactory, SiteFactory
from tests.factories.planning import AgeingAlertFactory
from tests.factories.selling import AgeStepFactory
from tests.factories.stock import LotFactory, stock_in

pytestmark = pytest.mark.django_db
AGED = {"older": 0, "expected_sold": 1.0, "limit_months": 72, "busier": "", "sites": {"FEN": 4}}


@pytest.fixture
def alert():
    """Four of a lot of 2020, at 100 a tyre."""
    found = AgeingAlertFactory(
        lot=LotFactory(code="L-OLD", date_code="1420", sku__price=100), told=AGED
    )
    stock_in(lot=found.lot, on_hand=4, held=1)
    return found


def body(answer, status=200):
    assert answer.status_code == status, answer.content.decode()[:3000]
    return unescape(answer.content.decode())


class TestOffer:
    def test_the_price_now_and_whom_a_step_would_touch(self, alert):
        stock_in(lot=LotFactory(date_code="1019"), on_hand=3)
        stock_in(lot=LotFactory(date_code="1425"), on_hand=9)
        stock_in(lot=LotFactory(date_code="1019", customers=True), on_hand=7)
        AgeStepFactory(from_months=24, percent_off=10)
        found = on_offer(alert.lot, timezone.localdate())
        assert found.now.amount == 90
        assert (found.lots, found.tyres) == (2, 7)
        assert found.months == months_old(alert.lot, timezone.localdate())

    def test_the_owner_says_how_much_and_the_price_follows(self, signed_in, alert):
        owner, at = signed_in("owner"), f"/ageing/lots/{alert.pk}/"
        months = months_old(alert.lot, timezone.localdate())
        assert f'value="{months}"' in body(owner.get(at))
        said = {"from_months": months, "percent_off": "30", "idempotency_key": "1"}
        for _ in range(2):
            assert owner.post(f"{at}offer/", said).status_code == 302
        assert "A tyre costs 70.00 GBP now" in body(owner.get(at))
        # A step that begins there already is changed, not doubled.
        again = {**said, "percent_off": "40", "idempotency_key": "2"}
        assert owner.post(f"{at}offer/", again).status_code == 302
        step = AgeStep.objects.get()
        assert (step.from_months, step.percent_off) == (months, 40)

    def test_what_is_no_step_is_told_beside_its_field(self, signed_in, alert):
        owner, at = signed_in("owner"), f"/ageing/lots/{alert.pk}/offer/"
        said = {"from_months": 70, "percent_off": "95", "idempotency_key": "1"}
        assert "less than or equal to 90" in body(owner.post(at, said), 400)
        assert not AgeStep.objects.exists()

    def test_the_buyer_looks_and_does_not_set_prices(self, signed_in, alert):
        buyer, at = signed_in("buyer"), f"/ageing/lots/{alert.pk}/"
        assert "The owner enters such a step." in body(buyer.get(at))
        said = {"from_months": 70, "percent_off": "5", "idempotency_key": "1"}
        assert buyer.post(f"{at}offer/", said).status_code == 403

    def test_of_unknown_age(self, signed_in):
        alert = AgeingAlertFactory(lot=LotFactory(undated=True), told=AGED)
        assert "Its age is not known" in body(signed_in("owner").get(f"/ageing/lots/{alert.pk}/"))


class TestMove:
    def test_a_transfer_is_filled_in_and_sent_by_a_person(self, signed_in, alert):
        here, there = PlaceFactory(site=SiteFactory(code="AAA")), SiteFactory(code="BUSY")
        PlaceFactory(site=here.site, kind="in_transit")
        stock_in(lot=alert.lot, place=here, on_hand=3, held=1)
        Balance.objects.exclude(place=here).update(held=4)
        alert.told = {**AGED, "busier": "BUSY"}
        alert.save()
        (away,) = ways_away(alert)
        assert (away.site, away.to, away.tyres) == ("AAA", "BUSY", 2)
        owner = signed_in("owner")
        assert "Fill in a transfer to BUSY" in body(owner.get(f"/ageing/lots/{alert.pk}/"))
        form = body(owner.get(away.address))
        filled = {name: one[0] for name, one in parse_qs(urlsplit(away.address).query).items()}
        assert filled["loads"] == f"L-OLD {here.code} 2"
        assert filled["loads"] in form
        assert f'<option value="{there.pk}" selected>' in form
        assert not Transfer.objects.exists()
        sent = owner.post("/goods-in/transfers/send/", {**filled, "idempotency_key": "1"})
        assert sent.status_code == 302
        assert Transfer.objects.get().to_site == there

    def test_no_busier_site(self, signed_in, alert):
        assert ways_away(alert) == []
        assert "No other site sold more" in body(
            signed_in("owner").get(f"/ageing/lots/{alert.pk}/")
        )


class TestSupplier:
    def test_a_text_for_each_with_terms_and_a_mail_where_an_address_is_known(self, alert):
        known = SupplierFactory(name="Anders", email="sales@anders.example")
        for supplier in (known, SupplierFactory(name="Berk", email="")):
            SupplierTermsFactory(supplier=supplier, sku=alert.lot.sku)
        first, second = to_suppliers(alert, "Fen Tyres")
        assert (first.supplier, second.supplier, second.mail) == ("Anders", "Berk", "")
        assert "date code 1420" in first.text
        assert first.text.endswith("Fen Tyres")
        assert first.mail.startswith("mailto:sales@anders.example?subject=")
        assert unquote(first.mail.partition("&body=")[2]) == first.text

    def test_nobody_has_terms(self, signed_in, alert):
        assert "No supplier has terms" in body(signed_in("buyer").get(f"/ageing/lots/{alert.pk}/"))
