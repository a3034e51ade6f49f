"""Sizes and date codes read over the API. Published figures are checked in tests/standards."""

from __future__ import annotations

from datetime import date

import pytest

from inventory.api import markings
from tests.support.calling import ROOT, read, refused

pytestmark = pytest.mark.django_db


@pytest.fixture
def client(api):
    return api("counter")


class TestSizes:
    """A size in any form."""

    def test_everything_that_follows_from_it(self, client):
        row = read(client, "sizes/read/", text="185/70 r15 89v")
        assert (row["canonical"], row["construction"]) == ("185/70 R 15 89V", "radial")
        assert row["rim"] == {"diameter_mm": 381, "nominal": "15", "bead": "5-degree"}
        # ETRTO and UN R30 annex 4: load index 89 is 580 kg, symbol V is 240 km/h
        assert row["load_kg"] == 580
        assert (row["top_speed"]["kmh"], row["top_speed"]["open_ended"]) == (240, False)
        assert row["overall_diameter"]["value_mm"] == pytest.approx(640, abs=2)
        assert row["notes"] == []

    def test_open_ended_speeds_have_no_top(self, client):
        row = read(client, "sizes/read/", text="205/70 VR 14")
        assert row["top_speed"]["kmh"] is None
        assert row["top_speed"]["open_ended"] is True

    def test_what_does_not_follow_is_said(self, client):
        row = read(client, "sizes/read/", text="4.50/11.60-15")
        assert row["overall_diameter"] is None
        assert row["notes"]

    def test_several_readings_are_all_told(self, client):
        assert len(read(client, "sizes/read/", text="155-15")["candidates"]) > 1

    @pytest.mark.parametrize(
        ("text", "words"),
        [("", "blank"), ("grand prix", "cannot be read"), ("x" * 10_000, "200"),
         ("185/70 R", "was expected"), ("шина", "cannot be read"), ("185\x00", "Null")],
    )  # fmt: skip
    def test_what_cannot_be_read(self, client, text, words):
        refused(client.get(f"{ROOT}sizes/read/", {"text": text}), 400, words, "/text")

    def test_nothing_asked_and_too_much(self, client):
        refused(client.get(f"{ROOT}sizes/read/"), 400, "required", "/text")
        answer = client.get(f"{ROOT}sizes/read/", {"text": "165 R 15", "tekst": "x"})
        refused(answer, 400, "Did you mean “text”?", "/tekst")
        refused(client.get(f"{ROOT}sizes/read/?text=a&text=b"), 400, "2 times", "/text")


class TestDateCodes:
    """The calendar of 49 CFR 574.5: weeks from Sunday to Saturday."""

    @pytest.fixture(autouse=True)
    def _today(self, monkeypatch):
        monkeypatch.setattr(markings.timezone, "localdate", lambda: date(2026, 11, 23))

    def test_a_week_with_its_days_and_age(self, client):
        row = read(client, "date-codes/read/", text="1425")
        assert (row["week"], row["year"]) == (14, 2025)
        assert (row["first_day"], row["last_day"]) == ("2025-04-06", "2025-04-12")
        assert row["earliest"] == "2025-03-30"
        assert row["age"] == "1 year 7 months"

    def test_age_on_another_day(self, client):
        row = read(client, "date-codes/read/", text="1425", on="2035-04-12")
        assert row["age"] == "10 years"

    def test_three_figures_leave_the_decade_open(self, client):
        row = read(client, "date-codes/read/", text="148")
        assert row["decade_known"] is False
        assert row["age"] is None
        assert len(row["candidates"]) > 1

    @pytest.mark.parametrize(
        ("text", "words"), [("5426", "54"), ("0127", "2027"), ("week one", "cannot be read")]
    )
    def test_impossible_and_future_codes(self, client, text, words):
        refused(client.get(f"{ROOT}date-codes/read/", {"text": text}), 400, words, "/text")

    def test_a_day_that_is_none(self, client):
        answer = client.get(f"{ROOT}date-codes/read/", {"text": "1425", "on": "soon"})
        refused(answer, 400, pointer="/on")


class TestComparison:
    """Two sizes side by side."""

    def test_what_changes(self, client):
        row = read(client, "sizes/compare/", old="165 R 15", new="185/70 R 15", shown="62 mph")
        assert row["diameter_mm"] == pytest.approx(
            row["new_diameter"]["value_mm"] - row["old_diameter"]["value_mm"]
        )
        assert row["shown_kmh"] == pytest.approx(99.8, abs=0.05)
        assert row["words"]
        assert "handbook" in row["caution"]

    def test_a_size_without_a_diameter_takes_a_stated_one(self, client):
        query = {"old": "4.50/11.60-15", "new": "185/70 R 15"}
        refused(client.get(f"{ROOT}sizes/compare/", query), 400, "state")
        row = read(client, "sizes/compare/", **query, old_overall="25.2 in")
        assert row["old_diameter"]["basis"] == "stated"

    @pytest.mark.parametrize(
        ("query", "pointer"),
        [({"old": "?"}, "/old"), ({"shown": "9000"}, "/shown"), ({"shown": "1 kg"}, "/shown"),
         ({"over_read": "9"}, "/over_read"), ({"rule": "mine"}, "/rule"),
         ({"new_overall": "3 bar"}, "/new_overall")],
    )  # fmt: skip
    def test_what_cannot_be_compared(self, client, query, pointer):
        asked = {"old": "165 R 15", "new": "185/70 R 15"} | query
        refused(client.get(f"{ROOT}sizes/compare/", asked), 400, pointer=pointer)

    def test_a_stated_diameter_that_is_no_tyre(self, client):
        asked = {"old": "165 R 15", "new": "185/70 R 15", "old_overall": "9 m"}
        refused(client.get(f"{ROOT}sizes/compare/", asked), 400, "not a dimension of a car tyre")


def test_no_row_of_ours_is_looked_at(client, same_queries):
    asked = same_queries(lambda: read(client, "sizes/read/", text="165 R 15"), lambda: None)
    assert asked == 0
