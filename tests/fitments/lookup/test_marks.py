"""What the issuer says of its mark reaches the rules: mixing issues, words for old stock."""

from __future__ import annotations

from datetime import timedelta

import pytest

from fitments.activities import marks
from fitments.lookup.approvals import approvals_for
from fitments.rules.values import MarkPolicy
from tests.factories.approvals import ApprovalFactory, IssuerMarkFactory
from tests.factories.people import UserFactory
from tests.factories.when import AT, EARLIER, TODAY

pytestmark = pytest.mark.django_db


def fact_of(approval, known_on):
    found = approvals_for(
        vehicle_lines=[approval.vehicle_line_id], in_force_on=TODAY, known_on=known_on
    )
    (fact,) = found["range", approval.vehicle_line_id]
    return fact


def test_as_it_was_known_then():
    approval = ApprovalFactory(mark="HLM")
    mark = IssuerMarkFactory(car_maker=approval.car_maker, mark="hlm", old_stock="Sell them on.")
    assert fact_of(approval, AT).mark_policy is MarkPolicy.FREE
    marks.change_mark(
        issuer_mark=mark, mixing="same", old_stock="", why="bulletin", by=UserFactory(), at=AT
    )
    changed = mark.versions.get(known__upper_inf=True).known.lower
    assert fact_of(approval, changed).mark_policy is MarkPolicy.SAME
    before = fact_of(approval, changed - timedelta(microseconds=1))
    assert (before.mark_policy, before.old_stock) == (MarkPolicy.FREE, "Sell them on.")
    assert fact_of(approval, EARLIER).mark_policy is MarkPolicy.FREE


def test_another_maker_s_mark_of_the_same_letters_says_nothing():
    approval = ApprovalFactory(mark="HLM")
    IssuerMarkFactory(mark="HLM")
    assert fact_of(approval, AT).mark_policy is None
