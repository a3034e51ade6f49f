"""Makers, patterns, compounds, suppliers, sites, places and companions."""

from __future__ import annotations

import pytest

from inventory.activities import cataloguing
from inventory.ground.entries.faults import Faulty
from inventory.models.companion import Need
from inventory.models.maker import AxleOnly
from inventory.models.place import PlaceKind
from tests.factories.catalogue import (
    CompoundFactory,
    PatternFactory,
    SkuFactory,
    TyreMakerFactory,
)
from tests.factories.people import SupplierFactory, UserFactory
from tests.factories.places import PlaceFactory, SiteFactory
from tests.factories.when import AT

pytestmark = pytest.mark.django_db


@pytest.fixture
def who():
    return {"by": UserFactory(), "at": AT}


def test_the_public_list_is_what_there_is():
    assert all(callable(getattr(cataloguing, name)) for name in cataloguing.__all__)
    assert {name.partition("_")[0] for name in cataloguing.__all__} == {"make", "change"}


def test_a_maker_and_its_patterns(who):
    maker = cataloguing.make_tyre_maker(code="TARN", name="Tarnbeck", **who)
    pattern = cataloguing.make_pattern(maker=maker, name="Cairnway", introduced=1961, **who)
    cataloguing.change_pattern(pattern=pattern, withdrawn=1974, **who)
    cataloguing.change_tyre_maker(maker=maker, country="Portugal", **who)
    pattern.refresh_from_db()
    assert (str(pattern), pattern.withdrawn) == ("Tarnbeck Cairnway", 1974)
    assert pattern.history.count() == maker.history.count() == 2


@pytest.mark.parametrize(
    ("years", "words"),
    [
        ({"introduced": 1970, "remade_since": 1960}, "cannot be remade before it was introduced"),
        ({"introduced": 3000}, "less than or equal to 2100"),
    ],
)
def test_years_that_cannot_be(who, years, words):
    with pytest.raises(Faulty, match=words):
        cataloguing.make_pattern(maker=TyreMakerFactory(), name="A", **years, **who)


def test_compounds_follow_one_another_within_one_maker(who):
    old = CompoundFactory(code="q4")
    new = cataloguing.make_compound(maker=old.maker, code="q5", axle_only=AxleOnly.REAR, **who)
    cataloguing.change_compound(compound=old, successor=new, **who)
    old.refresh_from_db()
    assert old.successor == new
    with pytest.raises(Faulty, match=r"q9 is of another maker than q4\."):
        cataloguing.change_compound(
            compound=old, successor=CompoundFactory(maker__name="Okebury", code="q9"), **who
        )
    with pytest.raises(Faulty, match="cannot be its own successor"):
        cataloguing.change_compound(compound=old, successor=old, **who)


def test_temperatures_run_upwards(who):
    with pytest.raises(Faulty, match="the lower one first"):
        cataloguing.make_compound(
            maker=TyreMakerFactory(), code="a", temperature_from_c=95, temperature_to_c=60, **who
        )


def test_suppliers(who):
    row = cataloguing.make_supplier(code="OST", name="Ostrey", email="a@ostrey.example", **who)
    cataloguing.change_supplier(supplier=row, telephone="01632 960123", **who)
    row.refresh_from_db()
    assert (row.name, row.telephone) == ("Ostrey", "01632 960123")
    with pytest.raises(Faulty, match="valid email address"):
        cataloguing.change_supplier(supplier=row, email="nowhere", **who)
    with pytest.raises(Faulty, match="A supplier of this code is there already"):
        cataloguing.make_supplier(code="OST", name="Other", **who)


def test_sites_and_places(who):
    site = cataloguing.make_site(code="MAIN", name="Main", **who)
    place = cataloguing.make_place(site=site, code="A-01", kind=PlaceKind.QUARANTINE, **who)
    cataloguing.change_place(place=place, walk=30, room=24, **who)
    cataloguing.change_site(site=site, name="Mill Lane", **who)
    place.refresh_from_db()
    assert (place.walk, place.room, place.site.name) == (30, 24, "Mill Lane")


def test_a_place_of_a_code_is_one_in_the_whole_house(who):
    PlaceFactory(code="A-01")
    with pytest.raises(Faulty, match="A place of this code is there already"):
        cataloguing.make_place(site=SiteFactory(), code="a-01", **who)


@pytest.mark.parametrize(
    ("values", "words"),
    [({"room": 0}, "one tyre or more"), ({"room": -1}, "0"), ({"walk": -1}, "0"),
     ({"kind": "loft"}, "not a valid choice")],
)  # fmt: skip
def test_places_that_cannot_be(who, values, words):
    with pytest.raises(Faulty, match=words):
        cataloguing.make_place(site=SiteFactory(), code="X", **values, **who)


class TestCompanions:
    @pytest.fixture
    def tube(self):
        return SkuFactory(kind="tube", size_text="")

    def test_for_a_size_however_it_is_written(self, who, tube):
        row = cataloguing.make_companion(size_text="560x15", companion=tube, need=Need.MUST, **who)
        assert (row.size_text, row.size_key) == ("560x15", "5.60-15 D")
        with pytest.raises(Faulty, match="This companion is there already"):
            cataloguing.make_companion(size_text="5.60-15", companion=tube, **who)

    def test_for_one_tyre(self, who, tube):
        tyre = SkuFactory()
        row = cataloguing.make_companion(tyre=tyre, companion=tube, **who)
        assert (row.tyre, row.size_key) == (tyre, "")
        cataloguing.change_companion(companion_rule=row, need=Need.MUST_NOT, per_tyre=2, **who)
        row.refresh_from_db()
        assert (row.need, row.per_tyre) == (Need.MUST_NOT, 2)

    def test_a_tyre_is_no_companion_and_a_tube_is_no_tyre(self, who, tube):
        with pytest.raises(Faulty, match="is a tyre, not what goes with one"):
            cataloguing.make_companion(size_text="5.60-15", companion=SkuFactory(), **who)
        with pytest.raises(Faulty, match="is no tyre"):
            cataloguing.make_companion(tyre=tube, companion=tube, **who)

    def test_neither_both_nor_none(self, who, tube):
        with pytest.raises(Faulty, match="either one tyre or one size, not both"):
            cataloguing.make_companion(
                tyre=SkuFactory(), size_text="5.60-15", companion=tube, **who
            )
        with pytest.raises(Faulty, match="either one tyre or one size, not both"):
            cataloguing.make_companion(companion=tube, **who)

    def test_a_size_that_cannot_be_read(self, who, tube):
        with pytest.raises(Faulty, match="cannot be read"):
            cataloguing.make_companion(size_text="round", companion=tube, **who)


def test_what_is_changed_of_one_pattern_leaves_the_others(who):
    one, other = PatternFactory(), PatternFactory()
    cataloguing.change_pattern(pattern=one, note="x", **who)
    other.refresh_from_db()
    assert other.note == ""


def test_a_changed_code_may_not_be_anothers(who):
    SupplierFactory(code="A")
    with pytest.raises(Faulty, match="there already"):
        cataloguing.change_supplier(supplier=SupplierFactory(code="B"), code="A", **who)
