"""A long spreadsheet: checked in chunks, loaded all at once, or not at all."""

from __future__ import annotations

import pytest
from django.contrib.auth.models import Permission

from inventory.ground.jobs import load_sheet
from inventory.ground.jobs.asking import File, ask, cancel, resume
from inventory.ground.jobs.load_sheet import ask_to_load
from inventory.ground.jobs.running import run
from inventory.ground.jobs.words import rows_of, title_of
from inventory.ground.models import JobFile, SheetLoad
from inventory.ground.sheets.registry import sheet_named
from inventory.models.supplier import Supplier
from tests.factories.people import UserFactory
from tests.factories.when import AT
from tests.support.counting import queries_of

pytestmark = pytest.mark.django_db
SUPPLIERS = sheet_named("suppliers")


@pytest.fixture(autouse=True)
def _small_chunks(monkeypatch):
    monkeypatch.setattr(load_sheet, "CHUNK", 10)


@pytest.fixture
def person(buyer_person):
    return buyer_person


@pytest.fixture
def sent_in(person):
    """A function that sends a file in: its lines are `code,name`."""

    def send(*lines, at=AT, sheet=SUPPLIERS, heading="code,name", by=person, **more):
        data = "\n".join([heading, *lines]).encode()
        return ask_to_load(sheet=sheet, data=data, file_name="spring.csv", by=by, at=at, **more)

    return send


def good(count):
    return [f"S{n},Supplier {n}" for n in range(count)]


def ran(job):
    run(job.pk)
    job.refresh_from_db()
    return job


def test_it_is_checked_in_chunks_and_loaded_at_once(sent_in, person):
    job = sent_in(*good(25))
    seen = []

    def tell(number):
        job.refresh_from_db()
        seen.append((rows_of(job), job.doing, Supplier.objects.count()))

    run(job.pk, tell=tell)
    assert seen == [
        ("0 of 25 rows", "checking the rows", 0),
        ("10 of 25 rows", "checking the rows", 0),
        ("20 of 25 rows", "checking the rows", 0),
        ("25 of 25 rows", "loading all rows at once", 0),
        ("25 of 25 rows", "", 25),
    ]
    assert (job.state, job.result) == ("done", "suppliers: 25 new, 0 changed, 0 as before.")
    mark = SheetLoad.objects.get()
    assert (mark.file_name, mark.rows, mark.loaded_by, mark.loaded_at) == (
        "spring.csv", 25, person, AT,
    )  # fmt: skip
    assert title_of(job) == "Load a spreadsheet: suppliers from spring.csv"


def test_its_file_goes_once_it_is_loaded(sent_in):
    job = sent_in(*good(2))
    assert JobFile.objects.filter(job=job).exists()
    ran(job)
    assert not JobFile.objects.exists()


def test_one_bad_row_and_nothing_is_loaded(sent_in):
    lines = good(25)
    lines[12] = ",No code"
    lines[20] = "S1,Twice"
    job = ran(sent_in(*lines))
    assert job.state == "failed"
    assert job.last_error == "2 things are wrong with this spreadsheet; nothing of it was loaded."
    assert [(f.row, f.column) for f in job.row_failures.all()] == [(14, "code"), (22, "code")]
    assert rows_of(job) == "2 rows failed"
    assert not Supplier.objects.exists()
    assert not SheetLoad.objects.exists()


def test_what_is_wrong_shows_while_it_is_checked(sent_in):
    lines = good(25)
    lines[3] = ",No code"
    job = sent_in(*lines)
    seen = []

    def tell(number):
        job.refresh_from_db()
        seen.append((rows_of(job), job.row_failures.count()))

    run(job.pk, tell=tell)
    assert seen[1] == ("10 of 25 rows, 1 failed", 1)
    assert seen[-1] == ("1 row failed", 1)


def test_a_refused_file_can_be_judged_again_from_its_beginning(sent_in, person):
    lines = [f"{line},XX" for line in good(3)]
    job = ran(sent_in(*lines, sheet=sheet_named("patterns"), heading="maker,name,tread"))
    assert job.state == "failed"
    assert (job.rows_failed, JobFile.objects.count()) == (3, 1)
    resume(job_id=job.pk, by=person, at=AT)
    again = ran(job)
    assert (again.state, again.rows_failed, again.attempt) == ("failed", 3, 2)
    listed = again.row_failures.count()
    assert listed == len(set(again.row_failures.values_list("row", "column")))


@pytest.mark.parametrize(
    ("lines", "heading", "words"),
    [
        ([], "code,name", "no row under them"),
        (["S1,One"], "code,nome", "wrong with this spreadsheet"),
        (["S1,One"], "%PDF", "This is a PDF"),
    ],
)
def test_what_is_no_such_sheet_is_refused_in_words(sent_in, lines, heading, words):
    job = ran(sent_in(*lines, heading=heading))
    assert job.state == "failed"
    assert words in job.last_error


def test_many_problems_are_counted_and_the_first_listed(sent_in, monkeypatch):
    monkeypatch.setattr("inventory.ground.sheets.problems.MOST_SHOWN", 5)
    job = ran(sent_in(*[",No code"] * 25))
    assert (job.rows_failed, job.row_failures.count()) == (25, 5)
    assert job.last_error.endswith("The first 5 are listed.")


def test_a_false_alarm_of_a_chunk_does_not_stop_the_load(sent_in):
    job = sent_in(*good(25))
    type(job).objects.filter(pk=job.pk).update(cursor={"wrong": True})
    assert ran(job).state == "done"
    assert Supplier.objects.count() == 25


def test_cancelled_while_it_is_checked_and_resumed(sent_in, person):
    job = sent_in(*good(25))
    run(job.pk, tell=lambda number: cancel(job_id=number, by=person, at=AT))
    assert not Supplier.objects.exists()
    resume(job_id=job.pk, by=person, at=AT)
    assert ran(job).state == "done"
    assert Supplier.objects.count() == 25


def test_a_job_without_its_file_says_so(sent_in):
    job = sent_in(*good(2))
    JobFile.objects.all().delete()
    assert "send the spreadsheet again" in ran(job).last_error


def test_nobody_s_spreadsheet_is_not_loaded():
    arguments = {"sheet": "suppliers", "file": "a.csv"}
    file = File("a.csv", b"code,name\nS1,One\n")
    job = ask(kind="load-sheet", slot="x", arguments=arguments, by=None, at=AT, file=file)
    assert "Nobody is named" in ran(job).last_error
    assert not Supplier.objects.exists()


def test_the_file_is_read_once_for_all_its_chunks(sent_in, monkeypatch):
    reads = []
    plain = load_sheet.read_rows
    monkeypatch.setattr(
        load_sheet, "read_rows", lambda *arguments: reads.append(1) or plain(*arguments)
    )
    ran(sent_in(*good(25)))
    assert len(reads) == 1


def test_a_chunk_asks_as_often_for_few_rows_as_for_many(sent_in, monkeypatch):
    few = queries_of(lambda: ran(sent_in(*good(10))))
    monkeypatch.setattr(load_sheet, "CHUNK", 20)
    many = queries_of(lambda: ran(sent_in(*good(20), at=AT.replace(hour=11))))
    assert few == many


def test_only_checked(sent_in):
    Supplier.objects.create(code="S1", name="Another name")
    job = ran(sent_in(*good(25), only_check=True))
    assert job.state == "done"
    assert job.result.splitlines() == [
        "Checked, nothing was loaded. It would come to: suppliers: 24 new, 1 changed, 0 as before.",
        "row 3, Supplier 1: name “Another name” → “Supplier 1”",
    ]
    assert Supplier.objects.count() == 1
    assert not SheetLoad.objects.exists()
    assert title_of(job) == "Load a spreadsheet: suppliers from spring.csv, check only"


def test_only_checked_and_wrong(sent_in):
    job = ran(sent_in(",No code", *good(25), only_check=True))
    assert (job.state, job.rows_failed) == ("failed", 1)


def test_the_first_changes_are_told(sent_in, monkeypatch):
    monkeypatch.setattr(load_sheet, "MOST_CHANGES", 2)
    ran(sent_in(*good(5)))
    other = [line.replace("Supplier", "House") for line in good(5)]
    job = ran(sent_in(*other, at=AT.replace(hour=11)))
    told = job.result.splitlines()
    assert told[0] == "suppliers: 0 new, 5 changed, 0 as before."
    assert len(told) == 4
    assert told[-1] == "and 3 more changes"


def test_who_may_not_load_is_refused(sent_in, counter_person):
    job = ran(sent_in(*good(25), by=counter_person))
    assert (job.state, job.last_error) == (
        "failed", "Your role may not load suppliers: ask the owner.",
    )  # fmt: skip
    assert not Supplier.objects.exists()


def test_who_may_only_add_changes_nothing(sent_in):
    adder = UserFactory()
    adder.user_permissions.add(Permission.objects.get(codename="add_supplier"))
    assert ran(sent_in(*good(2), by=adder)).state == "done"
    changed = ["S0,Another name", *good(3)[1:]]
    job = ran(sent_in(*changed, by=adder, at=AT.replace(hour=11)))
    assert job.state == "failed"
    assert "Your role may add suppliers, but not change them" in job.last_error
    assert list(Supplier.objects.order_by("code").values_list("name", flat=True)) == [
        "Supplier 0", "Supplier 1",
    ]  # fmt: skip
