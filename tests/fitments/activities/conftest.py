"""An approval of the Sprint, as the register holds it."""

from __future__ import annotations

from datetime import date

import pytest

from fitments.activities import approvals
from fitments.activities.versions import Said
from tests.factories.approvals import EvidenceFactory
from tests.factories.cars import VehicleLineFactory
from tests.factories.people import UserFactory
from tests.factories.when import AT


@pytest.fixture
def who(db):
    return {"by": UserFactory(), "at": AT}


@pytest.fixture
def letter(db):
    return EvidenceFactory()


@pytest.fixture
def record(who, letter):
    """Records an approval by mark for the front axle, in force since May 2019."""
    line = VehicleLineFactory()

    def make(*, since=date(2019, 5, 2), until=None, **values):
        said = Said(valid_from=since, valid_to=until, evidence=frozenset([letter]))
        told = {
            "code": "HLM-2", "car_maker": line.maker, "vehicle_line": line, "axle": "front",
            "size_text": "185/70 R 15", "mark": "HLM", "mark_issue": "2", "said": said,
        }  # fmt: skip
        return approvals.record(**(told | values), **who)

    return make
