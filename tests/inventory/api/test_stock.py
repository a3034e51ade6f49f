"""Lots, stock and the ledger over the API, and what may be booked there."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from inventory.activities import opening
from inventory.models.balance import Balance
from inventory.models.posting import Posting
from tests.factories.catalogue import SkuFactory
from tests.factories.people import UserFactory
from tests.factories.places import PlaceFactory, SiteFactory
from tests.factories.stock import BlockFactory, EnquiryFactory, LotFactory, stock_in
from tests.factories.when import AT
from tests.support.calling import ROOT, every_row, read, refused, write

pytestmark = pytest.mark.django_db


def codes(client, path, **query) -> set[str]:
    return {row["code"] for row in every_row(client, path, **query)}


@pytest.fixture
def warehouse(api):
    return api("warehouse")


class TestLots:
    """What is read off a tyre, and how many there are."""

    def test_counted_over_every_place_with_the_blocks_that_stand(self, warehouse):
        lot = LotFactory()
        stock_in(lot=lot, on_hand=4, held=1)
        stock_in(lot=lot, on_hand=2)
        block = BlockFactory(lot=lot)
        BlockFactory(lot=lot, lifted=True, reason="damaged")
        row = read(warehouse, f"lots/{lot.pk}/")
        assert (row["on_hand"], row["held"]) == (6, 1)
        assert [each["id"] for each in row["blocks"]] == [block.pk]
        assert row["sku_code"] == lot.sku.code

    def test_the_doubt_of_a_date_code_counts(self, warehouse):
        LotFactory(code="NEW", date_code="1425")  # 6 to 12 April, a week of doubt
        LotFactory(code="OLD", date_code="1217")
        LotFactory(code="BLANK", undated=True)
        assert codes(warehouse, "lots/", made_from="2024-01-01") == {"NEW"}
        assert codes(warehouse, "lots/", made_to="2024-01-01") == {"OLD"}
        assert codes(warehouse, "lots/", made_from="2025-03-30") == {"NEW"}
        assert codes(warehouse, "lots/", made_from="2025-03-31") == set()
        assert codes(warehouse, "lots/", undated="true") == {"BLANK"}
        assert codes(warehouse, "lots/", undated="false") == {"NEW", "OLD"}

    def test_by_its_columns(self, warehouse):
        LotFactory(code="A", fitted=True, received_on=date(2026, 2, 1))
        LotFactory(code="B", customers=True, marked=True)
        BlockFactory(lot=LotFactory(code="C", delivery="D-9"))
        BlockFactory(lot=LotFactory(code="D"), lifted=True)
        assert codes(warehouse, "lots/", condition="fitted") == {"A"}
        assert codes(warehouse, "lots/", owner="customer") == {"B"}
        assert codes(warehouse, "lots/", mark="hlm") == {"B"}
        assert codes(warehouse, "lots/", blocked="true") == {"C"}
        assert codes(warehouse, "lots/", blocked="false") == {"A", "B", "D"}
        assert codes(warehouse, "lots/", delivery="d-9") == {"C"}
        assert codes(warehouse, "lots/", received_from="2026-01-01") == {"A"}
        assert codes(warehouse, "lots/", received_to="2026-01-01") == {"B", "C", "D"}
        assert codes(warehouse, "lots/", q="D-9") == {"C"}

    @pytest.mark.parametrize("day", ["01/02/2026", "2026-02-30", "yesterday", "20260201"])
    def test_a_day_is_written_in_one_way(self, warehouse, day):
        refused(warehouse.get(ROOT + "lots/", {"made_from": day}), 400, "2026-03-01", "/made_from")

    def test_by_sku(self, warehouse):
        lot = LotFactory(code="A")
        LotFactory()
        assert codes(warehouse, "lots/", sku=lot.sku_id) == {"A"}
        assert codes(warehouse, "lots/", code="a") == {"A"}


class TestBalances:
    """What lies where."""

    def test_free_is_what_nobody_holds(self, warehouse):
        balance = stock_in(on_hand=5, held=2)
        row = read(warehouse, f"stock/{balance.pk}/")
        assert (row["on_hand"], row["held"], row["free"]) == (5, 2, 3)

    def test_by_lot_sku_place_and_site(self, warehouse):
        balance = stock_in()
        stock_in()
        place, lot = balance.place, balance.lot
        for query in (
            {"lot": lot.pk}, {"sku": lot.sku_id}, {"place": place.pk}, {"site": place.site_id},
        ):  # fmt: skip
            assert [row["id"] for row in every_row(warehouse, "stock/", **query)] == [balance.pk]

    def test_what_is_empty_can_be_left_out(self, warehouse):
        full = stock_in()
        gone = stock_in()
        sent = {"lot": gone.lot_id, "place": gone.place_id, "counted": 0, "why": "all gone"}
        write(warehouse, "post", "corrections/recounts/", sent)
        assert [row["id"] for row in every_row(warehouse, "stock/", empty="false")] == [full.pk]
        assert [row["id"] for row in every_row(warehouse, "stock/", empty="true")] == [gone.pk]


class TestPostings:
    """The ledger, to be read."""

    def test_by_what_stands_in_it(self, warehouse):
        balance = stock_in(at=datetime(2026, 3, 1, 9, tzinfo=UTC))
        stock_in()
        posting = Posting.objects.filter(lines__lot=balance.lot_id).get()
        for query in (
            {"lot": balance.lot_id}, {"place": balance.place_id}, {"sku": balance.lot.sku_id},
            {"from_day": "2026-03-01", "to_day": "2026-03-01"},
        ):  # fmt: skip
            rows = every_row(warehouse, "postings/", **query)
            assert [row["id"] for row in rows] == [posting.pk]
        assert every_row(warehouse, "postings/", to_day="2025-12-31") == []
        assert len(every_row(warehouse, "postings/", kind="opening")) == 2

    def test_a_day_is_a_day_of_the_shop(self, warehouse, settings):
        # London is an hour ahead of UTC in June: half past eleven at night is the next day there.
        stock_in(at=datetime(2026, 6, 1, 23, 30, tzinfo=UTC))
        assert every_row(warehouse, "postings/", to_day="2026-06-01") == []
        assert len(every_row(warehouse, "postings/", from_day="2026-06-02")) == 1

    def test_lines_of_a_long_posting_are_in_their_own_list(self, warehouse):
        places = PlaceFactory.create_batch(60)
        rows = [
            {
                "code": "LONG", "sku": SkuFactory(), "received_on": date(2026, 1, 1),
                "place": place, "quantity": 1,
            }
            for place in places
        ]  # fmt: skip
        for row in rows[1:]:
            row["sku"] = rows[0]["sku"]
        opening.LOTS.enter(rows, by=UserFactory(), at=AT)
        (posting,) = every_row(warehouse, "postings/")
        assert (posting["line_count"], len(posting["lines"])) == (60, 50)
        lines = every_row(warehouse, "ledger-lines/", posting=posting["id"])
        assert len(lines) == 60
        assert {line["on_hand_change"] for line in lines} == {1}


class TestMoves:
    """Free tyres from place to place."""

    @pytest.fixture
    def here(self):
        return stock_in(on_hand=4, held=1)

    @pytest.fixture
    def there(self, here):
        return PlaceFactory(site=here.place.site)

    def step(self, here, there, quantity=2) -> dict:
        place = {"source": here.place_id, "target": there.pk}
        return {"lot": here.lot_id, "quantity": quantity, **place}

    def test_a_move_is_a_posting_of_two_lines(self, warehouse, here, there):
        sent = {"steps": [self.step(here, there)], "document": "put away"}
        answer = write(warehouse, "post", "moves/", sent)
        assert answer.status_code == 201, answer.content
        posting = answer.json()
        assert (posting["kind"], posting["document"]) == ("move", "put away")
        assert sorted(line["on_hand_change"] for line in posting["lines"]) == [-2, 2]
        assert read(warehouse, f"postings/{posting['id']}/") == posting
        assert answer["Location"].endswith(f"/api/v1/postings/{posting['id']}/")
        assert Balance.objects.get(place=there).on_hand == 2

    def test_sent_twice_it_moves_once(self, warehouse, here, there):
        sent = {"steps": [self.step(here, there)]}
        for _ in range(2):
            answer = write(warehouse, "post", "moves/", sent, key="van, 3 May")
            assert answer.status_code == 201
        assert Balance.objects.get(place=there).on_hand == 2

    def test_held_tyres_stay(self, warehouse, here, there):
        answer = write(warehouse, "post", "moves/", {"steps": [self.step(here, there, 4)]})
        refused(answer, 409, "1 of them held, so 3 are free", "/quantity")
        assert Posting.objects.filter(kind="move").count() == 0

    def test_all_of_them_or_none(self, warehouse, here, there):
        steps = [self.step(here, there, 3), {**self.step(here, there, 9), "lot": LotFactory().pk}]
        refused(write(warehouse, "post", "moves/", {"steps": steps}), 409)
        assert Balance.objects.get(pk=here.pk).on_hand == 4

    def test_sites_are_not_jumped(self, warehouse, here):
        far = PlaceFactory(site=SiteFactory())
        answer = write(warehouse, "post", "moves/", {"steps": [self.step(here, far)]})
        refused(answer, 409, "in transit first", "/target")

    @pytest.mark.parametrize(
        ("change", "status"),
        [({"quantity": 0}, 400), ({"quantity": -1}, 400), ({"quantity": 2.5}, 400),
         ({"quantity": 10**9}, 400), ({"quantity": 10**30}, 400), ({"lot": 99999}, 400),
         ({"target": None}, 400), ({"place": 1}, 400)],
    )  # fmt: skip
    def test_what_cannot_be_moved(self, warehouse, here, there, change, status):
        sent = {"steps": [self.step(here, there) | change]}
        refused(write(warehouse, "post", "moves/", sent), status)
        assert Posting.objects.filter(kind="move").count() == 0

    def test_no_steps_are_nothing_to_book(self, warehouse):
        refused(write(warehouse, "post", "moves/", {"steps": []}), 400, pointer="/steps")


class TestCorrections:
    """What was booked wrongly is put right by another posting."""

    def test_a_posting_taken_back_once(self, warehouse):
        stock_in(on_hand=4)
        posting = Posting.objects.get()
        sent = {"posting": posting.pk, "why": "booked for the wrong delivery"}
        answer = write(warehouse, "post", "corrections/taken-back/", sent)
        assert answer.status_code == 201
        assert answer.json()["corrects"] == posting.pk
        assert Balance.objects.get().on_hand == 0
        again = write(warehouse, "post", "corrections/taken-back/", sent)
        refused(again, 409, "was corrected already")
        rows = every_row(warehouse, "postings/", corrects=posting.pk)
        assert [row["note"] for row in rows] == ["booked for the wrong delivery"]

    def test_a_recount(self, warehouse):
        balance = stock_in(on_hand=4)
        sent = {"lot": balance.lot_id, "place": balance.place_id, "counted": 3, "why": "counted"}
        answer = write(warehouse, "post", "corrections/recounts/", sent)
        assert answer.json()["lines"][0]["on_hand_change"] == -1
        refused(
            write(warehouse, "post", "corrections/recounts/", sent), 409, "nothing to correct",
            "/counted",
        )  # fmt: skip

    def test_a_misread_sidewall(self, warehouse):
        balance, right = stock_in(on_hand=4), LotFactory()
        sent = {
            "lot": balance.lot_id, "into": right.pk, "place": balance.place_id, "quantity": 2,
            "why": "the mark is of the second issue",
        }  # fmt: skip
        answer = write(warehouse, "post", "corrections/misreadings/", sent)
        assert answer.status_code == 201
        assert Balance.objects.get(lot=right).on_hand == 2
        same = write(warehouse, "post", "corrections/misreadings/", sent | {"into": balance.lot_id})
        refused(same, 400, "name the lot", "/into")

    @pytest.mark.parametrize("what", ["taken-back", "recounts", "misreadings"])
    def test_a_correction_says_why(self, warehouse, what):
        answer = write(warehouse, "post", f"corrections/{what}/", {"why": "  "})
        refused(answer, 400, pointer="/why")


class TestBlocks:
    """A lot off sale, and back."""

    def test_placed_and_lifted(self, warehouse):
        lot = LotFactory()
        sent = {"lot": lot.pk, "reason": "damaged", "note": "sidewall cut"}
        answer = write(warehouse, "post", "blocks/", sent)
        assert answer.status_code == 201
        block = answer.json()
        assert (block["placed_by"], block["lifted_at"]) == ("warehouse", None)
        refused(write(warehouse, "post", "blocks/", sent), 409, "for this reason already")
        path = f"blocks/{block['id']}/lift/"
        refused(write(warehouse, "post", path, {"why": " "}), 400, pointer="/why")
        lifted = write(warehouse, "post", path, {"why": "looked at: sound"}).json()
        assert (lifted["lifted_by"], lifted["lifted_why"]) == ("warehouse", "looked at: sound")
        refused(write(warehouse, "post", path, {"why": "again"}), 409, "was lifted on")

    def test_only_who_may_change_blocks_lifts_one(self, api):
        path = f"blocks/{BlockFactory().pk}/lift/"
        for role in ("counter", "buyer"):
            refused(write(api(role), "post", path, {"why": "sold already"}), 403)

    def test_by_lot_reason_and_whether_it_stands(self, warehouse):
        stands, lifted = BlockFactory(), BlockFactory(lifted=True, reason="recall")

        def ids(**query):
            return [row["id"] for row in every_row(warehouse, "blocks/", **query)]

        assert ids(standing="true") == ids(lot=stands.lot_id) == [stands.pk]
        assert ids(standing="false") == ids(reason="recall") == [lifted.pk]
        assert ids(sku=lifted.lot.sku_id) == [lifted.pk]

    @pytest.mark.parametrize("change", [{"reason": "ugly"}, {"lot": 0}, {"placed_at": "now"}])
    def test_what_cannot_be_a_block(self, warehouse, change):
        sent = {"lot": LotFactory().pk, "reason": "damaged"} | change
        refused(write(warehouse, "post", "blocks/", sent), 400, pointer=f"/{next(iter(change))}")


class TestEnquiries:
    """What was asked for and not had."""

    def test_of_a_size_kept_in_one_way_of_writing(self, api):
        answer = write(
            api("counter"), "post", "enquiries/", {"size": "165hr400", "car": "a saloon"}
        )
        assert answer.status_code == 201, answer.content
        row = answer.json()
        assert (row["size"], row["pieces"], row["asked_by"]) == ("165 HR 400", 4, "counter")
        assert [each["id"] for each in every_row(api("buyer"), "enquiries/", q="saloon")] == [
            row["id"]
        ]

    def test_of_nothing_is_refused(self, api):
        refused(write(api("counter"), "post", "enquiries/", {}), 422, "a SKU or a size")
        many = {"size": "165 R 15", "pieces": 101}
        refused(write(api("counter"), "post", "enquiries/", many), 422, "1 to 100", "/pieces")

    def test_by_sku_and_day(self, api):
        enquiry = EnquiryFactory()
        EnquiryFactory(asked_at=datetime(2020, 1, 1, tzinfo=UTC))
        buyer = api("buyer")
        assert len(every_row(buyer, "enquiries/", sku=enquiry.sku_id)) == 1
        assert len(every_row(buyer, "enquiries/", from_day="2026-11-23")) == 1
        assert len(every_row(buyer, "enquiries/", to_day="2020-01-01")) == 1
