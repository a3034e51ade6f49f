"""The saloon of June 1964: the answer that the demo opens with."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
from django.utils import timezone

from fitments.lookup.span import Span
from fitments.models.car import Variant
from fitments.rules.values import Outcome
from inventory.markings import read_date_code
from inventory.models.customer import CarWheel
from stockist.counter.answer import Question, which_tyre
from stockist.counter.wishes import AnchorWish, Wishes

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("shop")]

SETS = {
    "OKE-CWY-155SR13": 1,  # approved by list: six tyres, of which two stand alone
    "COR-SIL-155R13-MBY2": 2,  # approved by mark, the current issue
    "COR-SIL-155R13-MBY1": 0,  # the issue before: three tyres
    "OKE-CWS-155HR13": 2,  # approved on a claim only
    "ORS-FIL-155HR13": 0,  # approved on nothing, and none on the shelf
    "OKE-BWE-56013": 1,  # cross-ply, with a stated load
    "BRA-TOL-56013": 5,  # cross-ply, without
    "STZ-KAM-15580R13": 0,  # the same size written otherwise: five tyres, no four alike
}
REFUSED = {"BRA-PAK-56013C", "HVA-AHM-155R13", "HVA-LUM-155R13"}


@pytest.fixture
def ask(as_of):
    """A function that asks for a variant, built in a span, on the day of the demo."""

    def which(code: str, built: Span, **wishes: object):
        question = Question(
            variant=Variant.objects.get(code=code),
            built=built,
            # What is known of approvals is dated by the database's own clock.
            known_on=timezone.now() + timedelta(days=1),
            wishes=Wishes(**wishes),
        )
        return which_tyre(question, at=datetime(as_of.year, as_of.month, as_of.day, 10, tzinfo=UTC))

    return which


def by_code(offers):
    return {offer.skus[0].code: offer for offer in offers}


@pytest.fixture
def june(ask):
    answer = ask("LIN-14-SAL", Span(date(1964, 6, 1), date(1964, 6, 30)))
    assert len(answer.parts) == 1
    return answer.parts[0]


def test_complete_sets_of_each_tyre(june):
    offers = by_code(june.offers)

    assert {code: offers[code].in_stock for code in SETS} == SETS


def test_five_pieces_and_no_set_says_why(june):
    offer = by_code(june.offers)["STZ-KAM-15580R13"]

    assert sum(figures.to_sell for figures in offer.figures) == 5
    assert "26 weeks" in offer.sets.reason


def test_first_come_the_approved_ones_on_checked_evidence(june):
    first = [offer for offer in june.offers if offer.verdict.outcome is Outcome.SUITS]

    assert june.offers[: len(first)] == tuple(first)
    assert {"OKE-CWY-155SR13", "COR-SIL-155R13-MBY2"} <= set(by_code(first))
    assert not {"OKE-CWS-155HR13", "ORS-FIL-155HR13"} & set(by_code(first))


def test_what_does_not_suit_is_told_apart(june):
    assert set(by_code(june.refused)) >= REFUSED
    assert not REFUSED & set(by_code(june.offers))


def test_reasons_of_every_outcome(june):
    findings = [f for offer in (*june.offers, *june.refused) for f in offer.verdict.findings]

    assert {finding.outcome for finding in findings} == set(Outcome)
    assert {offer.verdict.outcome for offer in (*june.offers, *june.refused)} == set(Outcome)


def test_the_year_alone_is_two_answers(ask):
    answer = ask("LIN-14-SAL", Span(date(1964, 1, 1), date(1964, 12, 31)))

    assert answer.dividing_days == (date(1964, 3, 15),)


def test_one_more_like_week_14_of_2023(ask, as_of):
    on_it = CarWheel.objects.filter(date_code="1423", axle="front").get()
    week = read_date_code(on_it.date_code, as_of).week_index
    answer = ask(
        "SPI-22-RDS",
        Span(date(1965, 3, 19), date(1965, 3, 19)),
        front=1,
        rear=0,
        anchor=AnchorWish("front", week, on_it.date_code),
    )

    assert by_code(answer.parts[0].offers)["OKE-CWY-165SR15"].in_stock == 2
    assert on_it.tyre.code == "OKE-CWY-165SR15"
