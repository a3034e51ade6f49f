"""SKUs over the API: read from the size, written by the activity, found by any column."""

from __future__ import annotations

import pytest

from inventory.models.sku import Gtin, Sku
from tests.factories.catalogue import (
    GtinFactory,
    PatternFactory,
    SkuFactory,
    TyreMakerFactory,
)
from tests.support.calling import ROOT, every_row, read, refused, write

pytestmark = pytest.mark.django_db
GTIN = "09521234567899"  # GS1 keeps prefix 952 for examples


@pytest.fixture
def pattern():
    return PatternFactory()


@pytest.fixture
def tyre(pattern) -> dict:
    return {
        "code": "FR-185-V",
        "maker": pattern.maker.pk,
        "pattern": pattern.pk,
        "size_text": "185/70 VR 15",
        "price": "189.00",
    }


@pytest.fixture
def buyer(api):
    return api("buyer")


def found(client, **query) -> set[str]:
    return {row["code"] for row in every_row(client, "skus/", **query)}


def test_a_tyre_is_entered_with_everything_its_size_says(buyer, tyre):
    answer = write(buyer, "post", "skus/", tyre)
    assert answer.status_code == 201, answer.content
    row = answer.json()
    assert answer["Location"].endswith(f"/api/v1/skus/{row['id']}/")
    assert row["size"] == "185/70 VR 15"
    assert (row["rim_mm"], row["width_mm"], row["aspect"]) == (381, 185, 70)
    assert row["speed_in_size"] == "V"
    # 15 in x 25.4 + 2 x 185 x 0.70 = 640 mm, by the definition of the series
    assert row["overall_mm"] == 640.0
    assert Sku.objects.get().size_keys


def test_it_is_read_back_with_the_version_in_the_tag(buyer, tyre):
    made = write(buyer, "post", "skus/", tyre)
    again = buyer.get(ROOT + f"skus/{made.json()['id']}/")
    assert again.json() == made.json()
    assert again["ETag"] == made["ETag"]


def test_measured_values_take_their_units(buyer, tyre):
    measured = {
        "max_load_kg": "1150 lb",
        "load_pressure_kpa": "2.4 bar",
        "maker_top_speed_kmh": "150 mph",
        "weight_kg": 9.4,
        "rim_width_min_in": "4.5",
        "rim_width_max_in": "152.4 mm",
        "stated_overall_mm": "25 in",
    }
    row = write(buyer, "post", "skus/", tyre | measured).json()
    # 1 lb = 0.45359237 kg, 1 mile = 1.609344 km, 1 in = 25.4 mm (NIST Special Publication 811, B.8)
    assert row["max_load_kg"] == pytest.approx(521.6, abs=0.05)
    assert row["load_pressure_kpa"] == 240
    assert row["maker_top_speed_kmh"] == 241
    assert row["weight_kg"] == 9.4
    assert (row["rim_width_min_in"], row["rim_width_max_in"]) == (4.5, 6.0)
    assert row["stated_overall_mm"] == row["overall_mm"] == 635.0


@pytest.mark.parametrize(
    ("sent", "words"),
    [("24 in", "a length"), ("heavy", "not a mass"), ([9], "not a measurement"), (-3, "cannot")],
)  # fmt: skip
def test_a_measured_value_that_is_none_is_refused(buyer, tyre, sent, words):
    answer = write(buyer, "post", "skus/", tyre | {"max_load_kg": sent})
    refused(answer, 400, words, "/max_load_kg")


def test_numbers_belong_to_it(buyer, tyre):
    approvals = [{"scheme": "UN R30", "number": "0212345"}]
    sent = tyre | {"gtins": ["9521234567899"], "type_approvals": approvals}
    row = write(buyer, "post", "skus/", sent).json()
    assert row["gtins"] == [GTIN]
    assert row["type_approvals"] == approvals


def test_a_size_that_cannot_be_read_is_told_with_the_nearest_that_can(buyer, tyre):
    answer = write(buyer, "post", "skus/", tyre | {"size_text": "185/70 QR 1"})
    problem = refused(answer, 422, "cannot be read", "/size_text")
    assert problem["code"] == "faulty"
    assert Sku.objects.count() == 0


def test_every_fault_of_a_row_is_told_at_once(buyer, tyre):
    wrong = tyre | {"size_text": "nonsense", "gtins": ["9521234567891"]}
    problem = refused(write(buyer, "post", "skus/", wrong), 422)
    assert {error["pointer"] for error in problem["errors"]} == {"/size_text", "/gtins"}


@pytest.mark.parametrize(
    ("sent", "status", "pointer"),
    [
        ({"price": "-1"}, 422, "/price"),
        ({"price": "dear"}, 400, "/price"),
        ({"currency": "pounds"}, 400, "/currency"),
        ({"maker": 99999}, 400, "/maker"),
        ({"status": "sold out"}, 400, "/status"),
        ({"code": "a\x07b"}, 400, "/code"),
        ({"code": "c" * 41}, 400, "/code"),
        ({"size_text": "1" * 10_000}, 400, "/size_text"),
        ({"colour": "red"}, 400, "/colour"),
        ({"rim_mm": 381}, 400, "/rim_mm"),
        ({"type_approvals": [{"scheme": "UN R30"}]}, 400, "/type_approvals/0/number"),
    ],
)
def test_what_cannot_be_is_refused_where_it_stands(buyer, tyre, sent, status, pointer):
    refused(write(buyer, "post", "skus/", tyre | sent), status, pointer=pointer)
    assert Sku.objects.count() == 0


@pytest.mark.parametrize("sent", [[], "tyre", 7, None])
def test_a_body_that_is_no_object_is_refused(buyer, sent):
    answer = buyer.post(
        f"{ROOT}skus/", sent, format="json", headers={"Idempotency-Key": "no object"}
    )
    assert answer.status_code == 400


def test_a_code_is_given_once_whatever_its_capitals(buyer, tyre):
    write(buyer, "post", "skus/", tyre)
    answer = write(buyer, "post", "skus/", tyre | {"code": "fr-185-v"})
    refused(answer, 422, "is there already", "/code")


def test_the_same_key_and_body_give_the_first_answer(buyer, tyre):
    first = write(buyer, "post", "skus/", tyre, key="one delivery")
    again = write(buyer, "post", "skus/", tyre, key="one delivery")
    assert (again.status_code, again.json()) == (201, first.json())
    assert again["Idempotency-Replayed"] == "true"
    assert Sku.objects.count() == 1
    other = write(buyer, "post", "skus/", tyre | {"code": "FR-2"}, key="one delivery")
    refused(other, 422, "other contents")


def test_a_write_without_a_key_is_refused(buyer, tyre):
    refused(buyer.post(f"{ROOT}skus/", tyre), 400, "Idempotency-Key")


class TestChanging:
    """A change says which version it is a change of."""

    @pytest.fixture
    def sku(self, buyer, tyre):
        return write(buyer, "post", "skus/", tyre)

    def change(self, client, sku, sent, **headers):
        return write(client, "patch", f"skus/{sku.json()['id']}/", sent, **headers)

    def test_only_what_is_sent_is_changed(self, buyer, sku):
        answer = self.change(buyer, sku, {"price": "205.00"}, If_Match=sku["ETag"])
        assert answer.status_code == 200
        assert answer.json() == sku.json() | {"price": "205.00"}
        assert answer["ETag"] != sku["ETag"]

    def test_a_new_size_is_read_anew(self, buyer, sku):
        row = self.change(buyer, sku, {"size_text": "165 SR 13"}, If_Match="*").json()
        assert (row["size"], row["rim_mm"]) == ("165 SR 13", 330)

    def test_an_older_version_is_refused(self, buyer, sku):
        self.change(buyer, sku, {"price": "205.00"}, If_Match=sku["ETag"])
        answer = self.change(buyer, sku, {"price": "195.00"}, If_Match=sku["ETag"])
        refused(answer, 412, "Somebody else has changed this")
        assert str(Sku.objects.get().price) == "205.00"

    def test_whatever_is_there_may_be_changed(self, buyer, sku):
        self.change(buyer, sku, {"price": "205.00"}, If_Match=sku["ETag"])
        assert self.change(buyer, sku, {"price": "195.00"}, If_Match="*").status_code == 200

    def test_a_change_of_no_version_is_refused(self, buyer, sku):
        refused(self.change(buyer, sku, {"price": "1.00"}), 428, "If-Match")

    @pytest.mark.parametrize("tag", ["7", "W/7", '"seven"', '"7', "*7"])
    def test_a_version_that_is_none_is_refused(self, buyer, sku, tag):
        refused(self.change(buyer, sku, {"price": "1.00"}, If_Match=tag), 400, "ETag")

    def test_numbers_are_replaced_and_kept_where_not_sent(self, buyer, sku):
        self.change(buyer, sku, {"gtins": [GTIN]}, If_Match="*")
        assert self.change(buyer, sku, {"note": "x"}, If_Match="*").json()["gtins"] == [GTIN]
        assert self.change(buyer, sku, {"gtins": []}, If_Match="*").json()["gtins"] == []
        assert Gtin.objects.filter(skus__isnull=False).count() == 0

    def test_one_that_is_not_there(self, buyer):
        refused(write(buyer, "patch", "skus/999/", {"note": "x"}, If_Match="*"), 404)


class TestFilters:
    """Each narrows, together or alone."""

    def test_a_size_in_any_form(self, buyer, tyre):
        write(buyer, "post", "skus/", tyre)
        write(buyer, "post", "skus/", tyre | {"code": "OTHER", "size_text": "165 R 15"})
        for text in ("185/70 R 15", "185 70 15", "185/70VR15", "185/70-15 89V", "185/70r15"):
            assert found(buyer, size=text) == {"FR-185-V"}, text
        # 165 R 15 carries no profile and is also written 165/80 R 15: common practice, no source
        assert found(buyer, size="165/80 R 15") == {"OTHER"}

    @pytest.mark.parametrize("text", ["colour", "1" * 90, "185/70 R", "七"])
    def test_a_size_that_cannot_be_read(self, buyer, text):
        refused(buyer.get(ROOT + "skus/", {"size": text}), 400, pointer="/size")

    def test_a_rim_by_diameter_and_seat(self, buyer):
        SkuFactory(code="A", rim_mm=381, bead="5-degree")
        SkuFactory(code="B", rim_mm=406, bead="5-degree")
        SkuFactory(code="C", rim_mm=381, bead="metric")
        assert found(buyer, rim="15") == {"A"}
        assert found(buyer, rim="16") == {"B"}
        refused(buyer.get(ROOT + "skus/?rim=round"), 400, "rim diameter", "/rim")

    def test_columns(self, buyer):
        maker = TyreMakerFactory()
        SkuFactory(code="A", mark="HLM", mark_issue="2", price="100", construction="bias")
        SkuFactory(code="B", maker=maker, last_stock=True, price="250")
        SkuFactory(code="C", tube_kind=True)
        assert found(buyer, mark="hlm") == found(buyer, mark_issue="2") == {"A"}
        assert found(buyer, construction="bias") == {"A"}
        assert found(buyer, maker=maker.pk) == {"B"}
        assert found(buyer, status="last_stock") == {"B"}
        assert found(buyer, kind="tube") == {"C"}
        assert found(buyer, price_from="90", price_to="200") == {"A"}
        assert found(buyer, price_from="90", status="last_stock") == {"B"}
        assert found(buyer, code="c") == {"C"}
        assert found(buyer, pattern=Sku.objects.get(code="B").pattern_id) == {"B"}

    def test_a_diameter_with_its_unit(self, buyer):
        SkuFactory(code="A", overall_mm="600")
        SkuFactory(code="B", overall_mm="650")
        assert found(buyer, overall_from="24 in") == {"B"}
        assert found(buyer, overall_to="62 cm") == {"A"}
        refused(buyer.get(ROOT + "skus/?overall_to=5 kg"), 400, "a mass", "/overall_to")

    def test_a_number_of_any_length(self, buyer):
        sku = SkuFactory(code="A")
        GtinFactory(number=GTIN, skus=[sku])
        SkuFactory(code="B")
        assert found(buyer, gtin="9521234567899") == found(buyer, gtin=GTIN) == {"A"}
        refused(buyer.get(ROOT + "skus/?gtin=9521234567891"), 400, "the last figure is", "/gtin")

    def test_words(self, buyer):
        maker = TyreMakerFactory(name="Orrel")
        pattern = PatternFactory(maker=maker, name="Fellrunner")
        SkuFactory(code="A", maker=maker, pattern=pattern)
        SkuFactory(code="B", maker=maker)
        assert found(buyer, q="orrel fell") == {"A"}
        assert found(buyer, q="orrel") == {"A", "B"}
        assert found(buyer, q="orrel nobody") == set()

    @pytest.mark.parametrize(
        "query",
        [
            {"maker": "999"}, {"maker": "x"}, {"price_from": "dear"}, {"status": "x"},
            {"q": "w" * 201}, {"mark": "m" * 21}, {"q": "\x00"},
        ],
    )  # fmt: skip
    def test_a_value_that_cannot_be(self, buyer, query):
        (name,) = query
        refused(buyer.get(ROOT + "skus/", query), 400, pointer=f"/{name}")


def test_gtins_say_which_skus_they_stand_for(api):
    skus = SkuFactory.create_batch(2)
    GtinFactory(number=GTIN, skus=skus)
    GtinFactory()
    (row,) = every_row(api("counter"), "gtins/", number="9521234567899")
    assert sorted(row["skus"]) == sorted(sku.pk for sku in skus)
    assert read(api("counter"), "gtins/", sku=skus[0].pk)["results"] == [row]
