"""Spreadsheets on the pages: which one may load, what is wrong row by row, all or nothing."""

from __future__ import annotations

import csv
import io
import re

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from openpyxl import load_workbook

from fitments.models.evidence import Evidence
from inventory.ground.models import SheetLoad
from inventory.ground.sheets import limits
from inventory.ground.sheets.registry import every_sheet
from inventory.models.maker import TyreMaker
from inventory.models.place import Place
from inventory.models.supplier import Supplier
from inventory.pages import forms
from stockist.roles import ROLES
from tests.factories.approvals import EvidenceFactory
from tests.factories.catalogue import TyreMakerFactory
from tests.factories.places import SiteFactory
from tests.ground.sheet_files import csv_file, xlsx_file

pytestmark = pytest.mark.django_db
PATH = "/sheets/"
MAKERS = PATH + "tyre-makers/"
HEAD = ("code", "name", "country")
GOOD = csv_file(HEAD, ("ORR", "Orrel", "Norland"), ("TRN", "Tarnbeck", ""))
# What each role may load, written out by hand.
MAY = {
    "counter": {"customers", "customer-cars", "identified-cars"},
    "warehouse": {"places", "opening-stock"},
}


@pytest.fixture
def buyer(signed_in):
    return signed_in("buyer")


def send(client, data: bytes, path=MAKERS, do="load", name="makers.csv", key="one key"):
    file = SimpleUploadedFile(name, data)
    return client.post(path, {"file": file, "do": do, "idempotency_key": key})


def text_of(answer) -> str:
    """What a page says, without its tags."""
    return " ".join(re.sub(r"<[^>]+>", " ", answer.content.decode()).split())


def rows_of(answer) -> list[list[str]]:
    """The cells of the table of what is wrong."""
    page = answer.content.decode()
    body = page.split("What is wrong, row by row</caption>")[1].split("</table>")[0]
    return [
        [re.sub(r"<[^>]+>", "", cell).strip() for cell in re.findall(r"<td.*?</td>", row, re.S)]
        for row in re.findall(r"<tr>.*?</tr>", body.split("<tbody>")[1], re.S)
    ]


class TestWhoMayLoad:
    """By what the role may do with the rows."""

    @pytest.mark.parametrize("role", sorted(MAY))
    def test_only_ones_own_sheets_are_listed_in_loading_order(self, role, signed_in):
        page = signed_in(role).get(PATH).content.decode()
        names = re.findall(r'href="/sheets/([a-z-]+)/"', page)
        assert set(names) == MAY[role]
        assert names == [name for name in every_sheet() if name in MAY[role]]

    def test_the_owner_may_load_every_sheet_of_the_catalogue_and_of_cars(self, signed_in):
        names = set(
            re.findall(r'href="/sheets/([a-z-]+)/"', signed_in("owner").get(PATH).content.decode())
        )
        assert {"skus", "sites", "opening-stock", "approvals", "evidence", "classes"} <= names

    @pytest.mark.parametrize("role", ROLES)
    def test_the_page_of_a_sheet_follows_the_list(self, role, signed_in):
        client = signed_in(role)
        listed = set(re.findall(r'href="/sheets/([a-z-]+)/"', client.get(PATH).content.decode()))
        for name in every_sheet():
            wanted = 200 if name in listed else 403
            assert client.get(f"{PATH}{name}/").status_code == wanted
            assert client.get(f"{PATH}{name}/template.csv").status_code == wanted

    def test_nothing_is_loaded_by_who_may_not(self, signed_in):
        assert send(signed_in("counter"), GOOD).status_code == 403
        assert TyreMaker.objects.count() == 0

    def test_strangers_are_sent_to_sign_in(self, client):
        for path in (PATH, MAKERS, f"{MAKERS}template.csv", f"{MAKERS}loaded/1/"):
            assert client.get(path).status_code == 302
        assert send(client, GOOD).status_code == 302
        assert TyreMaker.objects.count() == 0

    def test_somebody_without_a_role_may_load_nothing(self, signed_in, django_user_model):
        assert signed_in(django_user_model.objects.create_user("x")).get(PATH).status_code == 403

    def test_only_who_may_check_evidence_loads_the_sheet_that_says_who_did(self, buyer, signed_in):
        head = ("code", "kind", "reference", "issued by", "checked on", "checked by")
        row = ("EV-1", "letter", "HC/208", "Hallmere Cars", "2026-01-05", "owner")
        path = PATH + "evidence/"
        assert send(buyer, csv_file(head, row), path).status_code == 403
        owner = signed_in("owner")
        assert send(owner, csv_file(head, row), path).status_code == 302
        assert Evidence.objects.get().checked_by.username == "owner"


class TestTemplates:
    """An empty sheet to fill in."""

    @pytest.mark.parametrize("name", list(every_sheet()))
    def test_every_template_can_be_had_in_both_kinds(self, name, signed_in, django_user_model):
        client = signed_in(django_user_model.objects.create_superuser("anybody"))
        headings = [column.heading for column in every_sheet()[name].columns]
        answer = client.get(f"{PATH}{name}/template.csv")
        assert answer["Content-Disposition"] == f'attachment; filename="{name}.csv"'
        first = next(csv.reader(io.StringIO(answer.content.decode("utf-8-sig"))))
        assert first == headings
        book = load_workbook(io.BytesIO(client.get(f"{PATH}{name}/template.xlsx").content))
        assert [cell.value for cell in book.worksheets[0][1]] == headings

    def test_the_template_passes_its_own_check(self, buyer):
        answer = send(buyer, buyer.get(f"{MAKERS}template.csv").content, do="check")
        assert answer.status_code == 200
        assert "Nothing is wrong with it" in text_of(answer)

    def test_there_are_no_others(self, buyer):
        assert buyer.get(f"{MAKERS}template.pdf").status_code == 404
        assert buyer.get(f"{PATH}no-such-sheet/").status_code == 404
        assert buyer.get(f"{PATH}no-such-sheet/template.csv").status_code == 404


class TestChecking:
    """What loading would do; nothing is done."""

    def test_what_is_right_is_said_and_not_loaded(self, buyer):
        answer = send(buyer, GOOD, do="check")
        assert answer.status_code == 200
        assert "enter 2 new, change 0 and leave 0 as before" in text_of(answer)
        assert "Nothing is loaded yet" in text_of(answer)
        assert TyreMaker.objects.count() == SheetLoad.objects.count() == 0

    def test_changes_are_shown_before_they_are_made(self, buyer):
        TyreMakerFactory(code="ORR", name="Orell")
        answer = send(buyer, GOOD, do="check")
        assert "Orell Orrel" in text_of(answer)
        assert TyreMaker.objects.get().name == "Orell"

    def test_a_checked_file_can_be_loaded_at_once(self, buyer):
        page = send(buyer, GOOD, do="check").content.decode()
        key = re.search(r'name="idempotency_key" value="([^"]+)"', page)[1]
        assert send(buyer, GOOD, key=key).status_code == 302
        assert TyreMaker.objects.count() == 2

    @pytest.mark.parametrize("do", ["check", "load"])
    def test_everything_wrong_is_told_by_row_and_column(self, buyer, do):
        data = csv_file(HEAD, ("ORR", "Orrel", ""), ("", "Nameless", ""), ("ORR", "Again", ""))
        answer = send(buyer, data, do=do)
        assert answer.status_code == 422
        rows = rows_of(answer)
        assert ["3", "code", "this cell is empty, and is needed."] in rows
        assert any(row[:2] == ["4", "code"] and "row 2" in row[2] for row in rows)
        assert "nothing of it was loaded" in text_of(answer)
        assert TyreMaker.objects.count() == 0

    def test_a_size_that_cannot_be_read_is_told_in_its_own_words(self, buyer):
        TyreMakerFactory(code="ORR", name="Orrel")
        head = ("code", "maker", "pattern", "size", "currency")
        answer = send(buyer, csv_file(head, ("A", "ORR", "", "round", "GBP")), PATH + "skus/")
        assert any(
            row[:2] == ["2", "size"] and "cannot be read" in row[2] for row in rows_of(answer)
        )

    def test_many_problems_are_told_in_part_and_counted(self, buyer, monkeypatch):
        monkeypatch.setattr("inventory.ground.sheets.problems.MOST_SHOWN", 3)
        data = csv_file(HEAD, *(("", f"Maker {number}", "") for number in range(10)))
        answer = send(buyer, data, do="check")
        assert len(rows_of(answer)) == 3
        assert "And 7 more" in text_of(answer)


class TestLoading:
    """All of it, or nothing, once."""

    def test_all_rows_and_a_page_that_says_so(self, buyer):
        answer = send(buyer, GOOD)
        load = SheetLoad.objects.get()
        assert answer.status_code == 302
        assert answer["Location"] == f"{MAKERS}loaded/{load.pk}/"
        page = text_of(buyer.get(answer["Location"]))
        assert "File makers.csv Rows 2 New 2 Changed 0 As before 0" in page
        assert {row.code for row in TyreMaker.objects.all()} == {"ORR", "TRN"}
        assert load.loaded_by.username == "buyer"
        assert "makers.csv: 2 new, 0 changed, 0 as before" in text_of(buyer.get(MAKERS))

    def test_a_workbook_as_well(self, buyer):
        data = xlsx_file(HEAD, ("ORR", "Orrel", "Norland"))
        assert send(buyer, data, name="makers.xlsx").status_code == 302
        assert TyreMaker.objects.get().name == "Orrel"

    def test_what_was_changed_is_shown_value_by_value(self, buyer):
        TyreMakerFactory(code="ORR", name="Orell", country="")
        page = text_of(buyer.get(send(buyer, GOOD)["Location"]))
        assert "2 Orrel name Orell Orrel" in page
        assert "2 Orrel country nothing Norland" in page

    def test_the_same_form_sent_twice_loads_once(self, buyer):
        first, again = send(buyer, GOOD), send(buyer, GOOD)
        assert first["Location"] == again["Location"]
        assert SheetLoad.objects.count() == 1
        assert "not done twice" in text_of(buyer.get(again["Location"]))

    def test_another_file_under_the_same_key_is_refused(self, buyer):
        send(buyer, GOOD)
        answer = send(buyer, csv_file(HEAD, ("XYZ", "Xylo", "")))
        assert answer.status_code == 422
        assert "already sent once with other contents" in text_of(answer)
        assert TyreMaker.objects.count() == 2

    def test_a_form_without_a_key_is_refused(self, buyer):
        answer = send(buyer, GOOD, key="")
        assert answer.status_code == 400
        assert TyreMaker.objects.count() == 0

    def test_the_same_file_again_changes_nothing(self, buyer):
        send(buyer, GOOD)
        page = text_of(buyer.get(send(buyer, GOOD, key="another")["Location"]))
        assert "New 0 Changed 0 As before 2" in page

    def test_opening_stock_is_posted_once_per_file(self, signed_in):
        owner, sku = signed_in("owner"), _tyre()
        place = Place.objects.create(site=SiteFactory(), code="A1")
        head = ("lot", "SKU", "quantity", "place", "received on")
        data = csv_file(head, ("L1", sku.code, "4", place.code, "2026-01-05"))
        path = PATH + "opening-stock/"
        assert send(owner, data, path).status_code == 302
        page = text_of(owner.get(send(owner, data, path, key="another")["Location"]))
        assert "This very file was loaded already" in page
        assert sku.lots.get().balances.get().on_hand == 4

    def test_one_row_wrong_and_nothing_is_loaded(self, buyer):
        data = csv_file(HEAD, ("ORR", "Orrel", ""), ("T" * 21, "Tarn", ""))
        assert send(buyer, data).status_code == 422
        assert TyreMaker.objects.count() == SheetLoad.objects.count() == 0

    def test_who_may_only_add_changes_nothing_by_a_sheet(self, buyer, monkeypatch):
        sheet = type(every_sheet()["suppliers"])
        monkeypatch.setattr(sheet, "needs_to_change", ("delete",))
        Supplier.objects.create(code="OST", name="Ostrey")
        data = csv_file(("code", "name"), ("OST", "Ostrey Rubber"), ("NEW", "New Rubber"))
        for do in ("check", "load"):
            answer = send(buyer, data, PATH + "suppliers/", do=do)
            assert answer.status_code == 403
            assert "may add suppliers, but not change them" in text_of(answer)
        assert [row.name for row in Supplier.objects.all()] == ["Ostrey"]

    def test_what_another_person_loaded_is_told_without_the_changes(self, buyer, signed_in):
        TyreMakerFactory(code="ORR", name="Orell")
        where = send(buyer, GOOD)["Location"]
        page = text_of(signed_in("owner").get(where))
        assert "Changed 1" in page
        assert "Orell" not in page

    def test_a_load_of_another_sheet_is_not_found_here(self, buyer):
        send(buyer, GOOD)
        pk = SheetLoad.objects.get().pk
        assert buyer.get(f"{PATH}suppliers/loaded/{pk}/").status_code == 404
        assert buyer.get(f"{MAKERS}loaded/{pk + 1}/").status_code == 404


class TestBadInput:
    """A clear sentence, and nothing lost."""

    @pytest.mark.parametrize(
        ("data", "words"),
        [
            (b"", "This file is empty"),
            (b"\n\n\n", "empty"),
            (csv_file(HEAD), "no row under them"),
            (b"%PDF-1.7 not a sheet", "This is a PDF"),
            (b"\x89PNG\r\n", "This is a picture"),
            (b"PK\x03\x04 broken", "damaged"),
            (b"\xd0\xcf\x11\xe0 old", "old kind"),
            (csv_file(("code", "nome"), ("A", "B")), "no column “nome”"),
            (csv_file(("code",), ("A",)), "this column is missing"),
            (xlsx_file(HEAD, ("A", "=1+1", "")), "formula"),
            (csv_file(HEAD, ("A", "B\x07", "")), "control character"),
            (csv_file(HEAD, ("A", "n" * 10_000, "")), "10000"),
        ],
    )
    def test_a_file_that_cannot_be_loaded(self, buyer, data, words):
        answer = send(buyer, data)
        assert answer.status_code == 422
        assert words in text_of(answer)
        assert TyreMaker.objects.count() == SheetLoad.objects.count() == 0

    def test_a_merged_cell(self, buyer):
        data = xlsx_file(HEAD, ("A", "B", ""), change=lambda sheet: sheet.merge_cells("A2:B2"))
        assert "merged" in text_of(send(buyer, data, name="m.xlsx"))

    def test_no_file_at_all(self, buyer):
        answer = buyer.post(MAKERS, {"do": "load", "idempotency_key": "k"})
        assert answer.status_code == 422
        assert "Choose a file first" in text_of(answer)

    def test_a_file_that_is_too_large(self, buyer, monkeypatch):
        monkeypatch.setattr(forms, "MOST_BYTES", 10)
        assert limits.MOST_BYTES == 20 * 1024 * 1024
        answer = send(buyer, GOOD)
        assert answer.status_code == 422
        assert "divide the file" in text_of(answer)

    def test_a_name_that_would_be_markup(self, buyer):
        data = csv_file(HEAD, ("A", "<b>bold</b>", ""))
        answer = send(buyer, data, name="<i>x</i>.csv")
        page = buyer.get(answer["Location"]).content.decode()
        assert "<i>x" not in page
        TyreMakerFactory(code="ZZ", name="<u>z</u>")

    def test_other_methods_are_not_taken(self, buyer):
        assert buyer.post(PATH).status_code == 405
        assert buyer.post(f"{MAKERS}template.csv").status_code == 405


def test_pages_ask_no_more_with_more_loads(buyer, same_queries):
    def more():
        for number in range(4):
            rows = csv_file(HEAD, (f"M{number}-{SheetLoad.objects.count()}", f"n{number}", ""))
            send(buyer, rows, key=f"k{SheetLoad.objects.count()}")

    more()
    assert same_queries(lambda: buyer.get(MAKERS), more) <= 8
    assert same_queries(lambda: buyer.get(PATH), more) <= 6


def test_every_column_is_explained(signed_in):
    EvidenceFactory()
    owner = signed_in("owner")
    for name, sheet in every_sheet().items():
        answer = owner.get(f"{PATH}{name}/")
        if answer.status_code == 200:
            page = answer.content.decode()
            for column in sheet.columns:
                assert f'data-head="Column">{column.heading}</th>'.replace("'", "&#x27;") in page


def _tyre():
    from tests.factories.catalogue import SkuFactory

    return SkuFactory()
