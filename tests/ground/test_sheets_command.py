"""load_sheet from the command line."""

from __future__ import annotations

import io

import pytest
from django.core.management import CommandError, call_command

from inventory.ground.models import SheetLoad
from inventory.ground.sheets.registry import every_sheet
from inventory.models.supplier import Supplier
from tests.factories.people import SupplierFactory, UserFactory
from tests.ground.sheet_files import csv_file

pytestmark = pytest.mark.django_db


@pytest.fixture
def sheet(tmp_path):
    """A function that writes rows into a file and gives its path."""

    def write(*rows, name="suppliers.csv"):
        path = tmp_path / name
        path.write_bytes(csv_file(*rows))
        return path

    return write


def run(*arguments):
    out = io.StringIO()
    call_command("load_sheet", *map(str, arguments), stdout=out)
    return out.getvalue()


ROWS = (["code", "name"], ["OST", "Ostrey"], ["TID", "Tidemill"])


def test_without_arguments_it_lists_the_sheets():
    lines = run().splitlines()
    assert len(lines) == len(every_sheet()) > 25
    assert lines[0].split(maxsplit=1) == ["tyre-makers", "Tyre makers"]


def test_a_file_is_loaded_in_somebody_s_name(sheet):
    by = UserFactory(username="edda")
    SupplierFactory(code="OST", name="Old")
    told = run("suppliers", sheet(*ROWS), "--by", "edda")
    assert told.splitlines() == [
        "suppliers: 1 new, 1 changed, 0 as before.",
        "row 2, Ostrey: name “Old” → “Ostrey”",
    ]
    load = SheetLoad.objects.get()
    assert (load.loaded_by, load.file_name) == (by, "suppliers.csv")


def test_a_file_can_only_be_checked(sheet):
    told = run("suppliers", sheet(*ROWS), "--check")
    assert told.splitlines()[0] == "Checked, nothing was loaded. It would come to:"
    assert "2 new" in told
    assert not Supplier.objects.exists()


def test_everything_that_is_wrong_is_told(sheet):
    UserFactory(username="edda")
    with pytest.raises(CommandError) as refusal:
        run("suppliers", sheet(["code", "name"], ["", "a"], ["B", ""]), "--by", "edda")
    assert str(refusal.value).splitlines() == [
        "2 things are wrong with this spreadsheet; nothing of it was loaded.",
        "row 2, code: this cell is empty, and is needed.",
        "row 3, name: this cell is empty, and is needed.",
    ]


def test_a_long_list_is_cut_and_the_rest_counted(sheet):
    rows = [["", str(number)] for number in range(510)]
    with pytest.raises(CommandError, match=r"and 10 more$"):
        run("suppliers", sheet(["code", "name"], *rows), "--check")


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["supplier", "x.csv", "--check"], "no sheet called “supplier”. Did you mean suppliers?"),
        (["suppliers", "/nowhere/x.csv", "--check"], "/nowhere/x.csv: No such file or directory"),
        (["suppliers"], "Name the file to load, or ask for a --template"),
        (["suppliers", "/dev/null"], "Say who loads it: --by NAME"),
        (["suppliers", "/dev/null", "--by", "nobody"], "Nobody signs in as “nobody”"),
        (["suppliers", "/dev/null", "--check"], "This spreadsheet is empty"),
        (["suppliers", "--template", "x.ods"], "x.ods must end in .csv or .xlsx"),
    ],
)
def test_what_cannot_be_done_is_said_in_a_sentence(arguments, words):
    with pytest.raises(CommandError) as refusal:
        run(*arguments)
    assert words in str(refusal.value)


def test_somebody_who_left_loads_nothing(sheet):
    UserFactory(username="gone", is_active=False)
    with pytest.raises(CommandError, match="Nobody signs in as “gone”"):
        run("suppliers", sheet(*ROWS), "--by", "gone")


@pytest.mark.parametrize("kind", ["csv", "xlsx"])
def test_a_template_is_written_and_can_be_checked(tmp_path, kind):
    path = tmp_path / f"new.{kind}"
    assert "is ready to fill in" in run("suppliers", "--template", path)
    assert "1 new" in run("suppliers", path, "--check")
