"""What approvals say, read for ranges and classes together as for each of them alone."""

from __future__ import annotations

import pytest

from fitments.lookup.approvals import approvals_for
from fitments.rules.values import Basis, IssuerKind
from tests.factories.approvals import ApprovalFactory, EvidenceFactory
from tests.factories.when import AT, TODAY

pytestmark = pytest.mark.django_db


def asked(lines=(), classes=()):
    return approvals_for(vehicle_lines=lines, classes=classes, in_force_on=TODAY, known_on=AT)


def test_a_range_and_a_class_together_say_what_each_says_alone():
    paper = EvidenceFactory(checked=True)
    makers = ApprovalFactory(version__evidence=[paper])
    listed = ApprovalFactory(organisers=True)
    lines, classes = [makers.vehicle_line_id], [listed.competition_class_id]
    both = asked(lines, classes)
    assert both == asked(lines) | asked(classes=classes)
    (of_range,), (of_class,) = both["range", *lines], both["class", *classes]
    assert (of_range.issuer_kind, of_range.issuer) == (
        IssuerKind.CAR_MAKER,
        makers.car_maker.name,
    )
    assert of_range.basis is Basis.CHECKED
    assert of_range.evidence == (f"{paper.reference}, {paper.issuer}",)
    ran = listed.competition_class
    told = (of_class.issuer, of_class.scope, of_class.season, of_class.basis)
    assert told == (ran.organiser.name, ran.name, ran.season, Basis.NONE)


def test_nothing_asked_is_nothing_said():
    ApprovalFactory()
    assert asked() == {}
