"""Organisers and their classes."""

from __future__ import annotations

import pytest

from fitments.activities import organisers
from inventory.ground.entries.faults import Faulty
from tests.factories.cars import VariantFactory
from tests.factories.people import UserFactory
from tests.factories.when import AT


@pytest.fixture
def who(db):
    return {"by": UserFactory(), "at": AT}


@pytest.fixture
def fellside(who):
    return organisers.make_organiser(code="FHR", name="Fellside", **who)


def test_a_class_admits_cars(who, fellside):
    one, other = VariantFactory(), VariantFactory()
    row = organisers.make_class(
        organiser=fellside, code="T2", season=2026, name="saloons", age_limit_months=60,
        variants=[one, other], **who,
    )  # fmt: skip
    assert set(row.variants.all()) == {one, other}
    organisers.change_class(competition_class=row, buffing_allowed=True, **who)
    assert row.variants.count() == 2
    changed = organisers.change_class(competition_class=row, variants=[one], **who)
    assert list(changed.variants.all()) == [one]
    assert changed.buffing_allowed is True


def test_editions_of_one_class(who, fellside):
    values = {"organiser": fellside, "season": 2026, "name": "saloons"}
    organisers.make_class(code="T2", **values, **who)
    organisers.make_class(code="T2b", edition="2", **values, **who)
    with pytest.raises(Faulty, match="This class is there already in this edition"):
        organisers.make_class(code="T2c", edition="2", **values, **who)


@pytest.mark.parametrize(
    ("values", "words"),
    [({"season": 26}, "a year of four figures"), ({"name": ""}, "cannot be blank"),
     ({"age_limit_months": -1}, "greater than or equal to 0")],
)  # fmt: skip
def test_what_cannot_be(who, fellside, values, words):
    told = {"organiser": fellside, "code": "T2", "season": 2026, "name": "saloons"}
    with pytest.raises(Faulty, match=words):
        organisers.make_class(**(told | values), **who)


def test_an_organiser_is_changed(who, fellside):
    assert organisers.change_organiser(organiser=fellside, name="Fellside HR", **who).name == (
        "Fellside HR"
    )
    with pytest.raises(Faulty, match="An organiser of this code is there already"):
        organisers.make_organiser(code="FHR", name="x", **who)
