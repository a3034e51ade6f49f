"""Organisers' lists by edition, and the scrutineer's card of a set."""

from __future__ import annotations

from datetime import date, timedelta
from html import unescape

import pytest
from django.db import connection

from stockist.approvals.card import card_of
from stockist.approvals.card_paper import drawn
from tests.factories.approvals import ApprovalFactory, CompetitionClassFactory, EvidenceFactory
from tests.factories.cars import VariantFactory
from tests.factories.catalogue import CompoundFactory
from tests.factories.sending import held_set
from tests.factories.when import AT

pytestmark = pytest.mark.django_db


@pytest.fixture
def row():
    return CompetitionClassFactory(name="Saloons before 1966", edition="2", age_limit_months=120)


@pytest.fixture
def listed(row):
    """Puts a tyre on the list, on one axle."""

    def put(sku, axle="front", **more):
        return ApprovalFactory(
            organisers=True, competition_class=row, axle=axle, size_text=sku.size_text,
            pattern=sku.pattern, **more,
        )  # fmt: skip

    return put


def body(answer, status=200):
    assert answer.status_code == status
    return unescape(answer.content.decode())


def test_last_season_s_edition_stays_readable(signed_in, row):
    CompetitionClassFactory(organiser=row.organiser, season=2025, name=row.name, edition="1")
    client = signed_in("counter")
    page = body(client.get("/approvals/lists/", {"q": "saloons"}))
    assert page.count("Saloons before 1966") == 2
    assert body(client.get("/approvals/lists/", {"season": "2025"})).count("Saloons before") == 1


def test_a_class_with_its_tyres(signed_in, row, listed):
    _, _, lot, _ = held_set()
    claim = listed(lot.sku, code="FHR-1")
    page = body(signed_in("counter").get(f"/approvals/lists/{row.pk}/"))
    assert "season 2026, edition 2" in page
    assert claim.code in page
    assert "120 months" in page


class TestOnTwoDates:
    """The class changed since the day that is asked about: its terms, its cars, its tyres."""

    @pytest.fixture
    def then(self, row):
        """As if it had all been known since January: the versions of a class are the clock's."""
        car = VariantFactory(code="V-THEN", name="Saloon of then")
        row.variants.set([car])
        with connection.cursor() as cursor:
            cursor.execute("SET LOCAL session_replication_role = replica")
            first, last = row.versions.order_by("pk").values_list("pk", flat=True)
            for pk, known in ((first, "[2026-01-04,2026-01-05)"), (last, "[2026-01-05,)")):
                cursor.execute(
                    "UPDATE fitments_competitionclassversion SET known = %s WHERE id = %s",
                    [known, pk],
                )
            cursor.execute("SET LOCAL session_replication_role = origin")
        row.variants.set([VariantFactory(code="V-NOW", name="Coupé of now")])
        type(row).objects.filter(pk=row.pk).update(age_limit_months=60)

    def test_as_known_then_and_now(self, signed_in, row, then):
        client, address = signed_in("counter"), f"/approvals/lists/{row.pk}/"
        now = body(client.get(address))
        assert "60 months" in now
        assert "Coupé of now" in now
        assert "Saloon of then" not in now
        page = body(client.get(address, {"known_on": "2026-06-01"}))
        assert "as it was known when 2026-06-01 was over, for any day." in page
        assert "120 months" in page
        assert "Saloon of then" in page
        assert "Coupé of now" not in page

    def test_its_tyres_on_both_days(self, signed_in, row):
        claim = ApprovalFactory(
            organisers=True, competition_class=row, code="FHR-1",
            version__withdrawn_on=date(2026, 7, 1),
        )  # fmt: skip
        client, address = signed_in("counter"), f"/approvals/lists/{row.pk}/"
        assert claim.code in body(client.get(address, {"in_force_on": "2026-06-01"}))
        assert claim.code not in body(client.get(address, {"in_force_on": "2026-08-01"}))
        page = body(client.get(address, {"known_on": "2020-01-01"}))
        assert claim.code not in page
        assert "Nothing was on record of this class then" in page


class TestCard:
    def test_pattern_compound_edition_date_codes(self, row, listed):
        _, _, lot, hold = held_set(date_code="1425")
        listed(lot.sku, code="FHR-1")
        card = card_of(hold, row, at=AT)
        front, rear = card.lines
        assert (front.place, front.quantity, front.date_code) == ("front", 2, "1425")
        assert front.list_says == "on the list: FHR-1, by nothing on file"
        assert rear.list_says == "not on the list as it is on record"
        assert front.age_says == "within 120 months"
        assert (card.edition, card.season) == ("2", 2026)
        assert lot.sku.pattern.name in front.tyre

    def test_too_old_and_without_a_date(self, row):
        _, _, _, old = held_set(date_code="1410")
        assert card_of(old, row, at=AT).lines[0].age_says == "over 120 months"
        _, _, _, undated = held_set(date_code="")
        assert "cannot be told" in card_of(undated, row, at=AT).lines[0].age_says

    def test_another_compound_is_not_on_the_list(self, row, listed):
        _, _, lot, hold = held_set()
        listed(lot.sku, compound=CompoundFactory(maker=lot.sku.maker))
        assert "not on the list" in card_of(hold, row, at=AT).lines[0].list_says

    @pytest.mark.parametrize(
        ("how", "words"),
        [
            ({"checked": True}, "evidence checked by a second person"),
            ({"self_checked": True}, "evidence checked only by the person who recorded it"),
            ({}, "a claim whose evidence nobody has checked"),
        ],
    )
    def test_what_the_list_rests_on(self, row, listed, how, words):
        _, _, lot, hold = held_set()
        paper = EvidenceFactory(**how)
        listed(lot.sku, code="FHR-1", version__evidence=[paper])
        # Checked on the day of the tests, and the card is of the day after.
        card = card_of(hold, row, at=AT + timedelta(days=1))
        assert card.lines[0].list_says == f"on the list: FHR-1, by {words}"

    def test_withdrawn_from_the_list(self, row, listed):
        _, _, lot, hold = held_set()
        listed(lot.sku, code="FHR-9", withdrawn=True)
        assert card_of(hold, row, at=AT).lines[0].list_says == "not in force on this day: FHR-9"

    def test_drawn_alike_each_time(self, row):
        _, _, _, hold = held_set()
        card = card_of(hold, row, at=AT)
        assert drawn(card) == drawn(card)
        assert drawn(card).startswith(b"%PDF-")

    def test_printed_from_the_page_of_the_class(self, signed_in, row):
        _, _, _, hold = held_set()
        client, address = signed_in("counter"), f"/approvals/lists/{row.pk}/card/"
        answer = client.get(address, {"hold": hold.number.lower()})
        assert answer.content.startswith(b"%PDF-")
        assert hold.number in answer["Content-Disposition"]
        for number in ("HO-99999", "none", "", "HO-" + "9" * 15):
            assert client.get(address, {"hold": number}).status_code == 400
