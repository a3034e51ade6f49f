"""SKUs made and changed, with every reason why not."""

from __future__ import annotations

from decimal import Decimal

import pytest

from inventory.activities.cataloguing import change_sku, make_sku
from inventory.ground.entries.faults import Faulty
from inventory.ground.entries.writing import version_of
from inventory.ground.refusal import StaleVersion
from inventory.models.sku import Gtin, Sku, SkuKind, TubeType, TypeApproval
from tests.factories.catalogue import CompoundFactory, PatternFactory, TyreMakerFactory
from tests.factories.people import UserFactory
from tests.factories.when import AT

pytestmark = pytest.mark.django_db

# GTIN-13 with a right check digit (worked example of the check digit rule, gs1.org)
GTIN, GTIN_AS_KEPT = "6291041500213", "06291041500213"
OTHER = "4006381333931"


@pytest.fixture
def by():
    return UserFactory()


@pytest.fixture
def tyre(by):
    """Makes a tyre of a pattern of its own; what is given goes before."""
    pattern = PatternFactory(name="Cairnway")

    def make(**values):
        told = {"code": "T1", "maker": pattern.maker, "pattern": pattern,
                "size_text": "185/70 R 15 89V"}  # fmt: skip
        return make_sku(by=by, at=AT, **(told | values))

    return make


def faults(call, **values):
    with pytest.raises(Faulty) as refusal:
        call(**values)
    return {fault.field: fault.words for fault in refusal.value.faults}


def test_a_tyre_has_its_size_as_typed_and_as_read(tyre):
    sku = tyre(size_text="185/70r15 89v", price=Decimal("214.00"))
    sku.refresh_from_db()
    assert (sku.size_text, sku.size) == ("185/70r15 89v", "185/70 R 15 89V")
    assert (sku.rim_mm, sku.load_index, sku.speed, sku.top_speed_kmh) == (381, 89, "V", 240)
    assert "185/70-15 R" in sku.size_keys
    assert Sku.objects.of_size(sku.size_keys).get() == sku
    assert sku.price == Decimal("214.00")


def test_the_history_says_who_and_when(tyre, by):
    row = tyre().history.get()
    assert (row.history_user, row.history_date, row.history_type) == (by, AT, "+")
    assert row.size == "185/70 R 15 89V"


def test_a_size_that_cannot_be_read_is_told_with_the_nearest(tyre):
    told = faults(tyre, size_text="185/70 R 15 89VV")
    assert list(told) == ["size_text"]
    assert "cannot be read" in told["size_text"]
    told = faults(tyre, size_text="165 R 51")
    assert "cannot be read" in told["size_text"]


def test_a_tyre_needs_its_size_and_its_pattern(by):
    maker = TyreMakerFactory()
    told = faults(lambda: make_sku(code="T1", maker=maker, by=by, at=AT))
    assert told == {
        "size_text": "A tyre needs its size.",
        "pattern": "A tyre needs its pattern.",
    }


def test_a_tube_needs_neither(by):
    maker = TyreMakerFactory()
    tube = make_sku(code="TB", kind=SkuKind.TUBE, maker=maker, name="Tube 15", by=by, at=AT)
    assert (tube.size, tube.size_keys) == ("", [])


def test_the_size_of_a_tube_is_read_where_it_can_be_and_kept_where_not(by):
    maker = TyreMakerFactory()
    one = make_sku(code="A", kind=SkuKind.TUBE, maker=maker, size_text="5.60-15", by=by, at=AT)
    other = make_sku(code="B", kind=SkuKind.TUBE, maker=maker, size_text="E 15 low", by=by, at=AT)
    assert (one.size, one.rim_mm) == ("5.60-15", 381)
    assert (other.size_text, other.size, other.rim_mm) == ("E 15 low", "", None)


def test_pattern_and_compound_are_of_the_same_maker(tyre):
    told = faults(tyre, pattern=PatternFactory(name="Fell"), compound=CompoundFactory(code="q9"))
    assert "Fell is not a pattern of" in told["pattern"]
    assert "q9 is not a compound of" in told["compound"]


@pytest.mark.parametrize(
    ("values", "field", "words"),
    [
        ({"price": Decimal(-1)}, "price", "A price cannot be below nought."),
        ({"price": Decimal("1.234")}, "price", "no more than 2 decimal places"),
        ({"currency": "EURO"}, "currency", "at most 3 characters"),
        ({"currency": "eur"}, "currency", "three capital letters"),
        ({"mark_issue": "2"}, "mark_issue", "needs the mark"),
        ({"band_mm": 40}, "band_mm", "Only a banded sidewall"),
        ({"stated_overall_mm": Decimal(5)}, "stated_overall_mm", "not a dimension"),
        ({"kind": "wheel"}, "kind", "not a valid choice"),
        ({"code": "x" * 41}, "code", "at most 40 characters"),
        ({"code": "a\x07b"}, "code", "control character"),
        ({"note": "x" * 4001}, "note", "at most 4000 characters"),
        ({"rim_width_min_in": Decimal(7), "rim_width_max_in": Decimal(5)}, "rim_width_max_in",
         "narrower one first"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_told_by_its_field(tyre, values, field, words):
    told = faults(tyre, **values)
    assert list(told) == [field]
    assert words in told[field]


def test_a_code_that_is_there_already_whatever_the_capitals(tyre):
    tyre(code="T1")
    assert faults(tyre, code="t1") == {"code": "A SKU of this code is there already."}


class TestMoulded:
    def test_ply_and_tube_are_taken_from_the_size(self, tyre):
        sku = tyre(size_text="5.60-15 4PR TT")
        assert (sku.ply, sku.tube) == (4, TubeType.TUBE_TYPE)

    def test_what_is_said_beside_may_not_gainsay_the_size(self, tyre):
        told = faults(tyre, size_text="5.60-15 4PR TT", ply=6, tube=TubeType.TUBELESS)
        assert told["ply"] == "The size says 4 ply, this column 6."
        assert told["tube"].startswith("The size says “tube-type: a tube always”, this column")

    def test_a_tubeless_tyre_that_refuses_a_tube_is_tubeless(self, tyre):
        assert tyre(size_text="165 R 15 TL", tube=TubeType.NO_TUBE).tube == TubeType.NO_TUBE
        assert tyre(code="T2", size_text="165 R 15 TL").tube == TubeType.TUBELESS


class TestNumbers:
    def test_article_numbers_are_kept_with_fourteen_figures(self, tyre):
        sku = tyre(gtins=[GTIN, "40 06381-333931"])
        assert {gtin.number for gtin in sku.gtins.all()} == {GTIN_AS_KEPT, "0" + OTHER}

    def test_a_wrong_check_digit_is_told_with_the_right_one(self, tyre):
        told = faults(tyre, gtins=["6291041500214"])
        assert "the last figure is 3, not 4" in told["gtins"]
        assert not Sku.objects.exists()

    def test_one_number_may_stand_for_several_skus(self, tyre):
        one, other = tyre(gtins=[GTIN]), tyre(code="T2", gtins=[GTIN])
        assert set(Gtin.objects.get().skus.all()) == {one, other}

    def test_numbers_are_given_anew_or_left_alone(self, tyre, by):
        sku = tyre(gtins=[GTIN], type_approvals=[("R30", "E4 0212345")])
        change_sku(sku=sku, price=Decimal(9), by=by, at=AT)
        assert sku.gtins.count() == 1
        change_sku(sku=sku, gtins=[OTHER], type_approvals=[("R30", "E11 1")], by=by, at=AT)
        assert [gtin.number for gtin in sku.gtins.all()] == ["0" + OTHER]
        assert [str(one) for one in sku.type_approvals.all()] == ["R30 E11 1"]
        change_sku(sku=sku, gtins=[], type_approvals=[], by=by, at=AT)
        assert not sku.gtins.exists()
        assert not TypeApproval.objects.exists()

    def test_the_numbers_of_others_stay(self, tyre, by):
        one, other = tyre(gtins=[GTIN]), tyre(code="T2", gtins=[GTIN, OTHER])
        change_sku(sku=one, gtins=[], by=by, at=AT)
        assert other.gtins.count() == 2


class TestChange:
    def test_a_new_size_fills_every_column_anew(self, tyre, by):
        sku = tyre()
        change_sku(sku=sku, size_text="5.60-15", by=by, at=AT)
        sku.refresh_from_db()
        assert (sku.size, sku.load_index, sku.speed, sku.top_speed_kmh) == (
            "5.60-15",
            None,
            "",
            None,
        )
        assert sku.construction == "bias"
        assert sku.history.count() == 2

    def test_a_change_of_the_price_leaves_the_size(self, tyre, by):
        sku = change_sku(sku=tyre(), price=Decimal("9.50"), by=by, at=AT)
        assert sku.size == "185/70 R 15 89V"
        before, after = sku.history.order_by("history_id")
        assert (before.price, after.price) == (None, Decimal("9.50"))

    def test_a_stale_version_is_refused(self, tyre, by):
        sku = tyre()
        seen = version_of(sku)
        change_sku(sku=sku, seen=seen, price=Decimal(1), by=by, at=AT)
        with pytest.raises(StaleVersion):
            change_sku(sku=sku, seen=seen, price=Decimal(2), by=by, at=AT)
        assert Sku.objects.get().price == 1

    def test_a_refused_change_leaves_everything(self, tyre, by):
        sku = tyre()
        with pytest.raises(Faulty):
            change_sku(sku=sku, size_text="nonsense", price=Decimal(1), by=by, at=AT)
        row = Sku.objects.get()
        assert (row.size, row.price) == ("185/70 R 15 89V", None)
