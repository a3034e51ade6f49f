"""What holds for every table in the back office, whichever app it is of."""

from __future__ import annotations

import csv
import io
import random

from django.contrib import admin
from openpyxl import load_workbook

from inventory.ground.backoffice.looking import Looked
from stockist.roles import ROLES, permissions_of
from tests.support.backoffice import add_to, list_of, page_of, staff
from tests.support.counting import queries_of
from tests.support.direct import Direct


def is_a_table(model, make, subtests) -> int:
    """All that holds for a table, on the same few rows. Returns how many questions its list asks.

    Its list asks as often at twice the rows; searched, ordered and taken as files; every row has
    its page; and each role sees, and adds, what its permissions say.
    """
    make(3)
    with subtests.test("its pages open"):
        pages_open(model)
    with subtests.test("the chosen rows come as files"):
        whole_list_as_files(model)
    for role in ROLES:
        with subtests.test("the role decides", role=role):
            role_decides(model, role)
    return lists_are_bounded(model, make)


def lists_are_bounded(model, make) -> int:
    """A list asks as often at twice the rows; searched and filtered too. Returns how often."""
    client, address = Direct(staff("anybody")), list_of(model)
    few = _counted(client, address)
    make(3)
    assert _counted(client, address) == few
    assert client.get(address, {"q": "tarn 1"}).status_code == 200
    assert client.get(address, {"o": "-1"}).status_code == 200
    return few


def pages_open(model) -> None:
    """The page of every row, and the form for a new one."""
    client = Direct(staff("anybody"))
    for row in model._default_manager.order_by("pk")[:3]:
        answer = client.get(page_of(row))
        assert answer.status_code == 200
    back = admin.site._registry[model]
    wanted = 403 if isinstance(back, Looked) else 200
    assert client.get(add_to(model)).status_code == wanted


def whole_list_as_files(model) -> None:
    """All rows as CSV and as a workbook, with the headings of the list."""
    client = Direct(staff("anybody"))
    pks = list(model._default_manager.order_by("pk").values_list("pk", flat=True))
    chosen = {"_selected_action": pks, "select_across": "0", "index": "0"}
    answer = client.post(list_of(model), {**chosen, "action": "as_csv"})
    assert answer["Content-Disposition"] == f'attachment; filename="{model._meta.model_name}.csv"'
    text = answer.content.decode("utf-8-sig")
    lines = list(csv.reader(io.StringIO(text, newline="")))
    assert len(lines) == len(pks) + 1
    answer = client.post(list_of(model), {**chosen, "action": "as_xlsx"})
    sheet = load_workbook(io.BytesIO(answer.content), read_only=True).worksheets[0]
    rows = list(sheet.iter_rows(values_only=True))
    assert len(rows) == len(pks) + 1
    assert list(rows[0]) == lines[0]


def is_never_written(model, make) -> None:
    """Even somebody who may everything neither adds, nor changes, nor deletes."""
    client = Direct(staff("anybody"))
    make(1)
    row = random.choice(list(model._default_manager.order_by("pk")))
    before = model._default_manager.count()
    assert client.post(add_to(model), {}).status_code == 403
    assert client.post(page_of(row), {}).status_code == 403
    gone = page_of(row).replace("/change/", "/delete/")
    assert client.post(gone, {"post": "yes"}).status_code == 403
    chosen = {"_selected_action": [row.pk], "action": "delete_selected", "post": "yes"}
    client.post(list_of(model), chosen)
    assert model._default_manager.count() == before
    page = client.get(page_of(row)).content.decode()
    assert 'name="_save"' not in page


def role_decides(model, role: str) -> None:
    """The list, the page and the form for a new row, as the role's permissions say."""
    client, may = Direct(staff(role)), permissions_of(role)
    row = model._default_manager.order_by("pk").first()
    app, name = model._meta.app_label, model._meta.model_name
    sees = f"{app}.view_{name}" in may
    assert client.status(list_of(model)) == (200 if sees else 403)
    assert client.get(page_of(row)).status_code == (200 if sees else 403)
    back = admin.site._registry[model]
    adds = f"{app}.add_{name}" in may and not isinstance(back, Looked)
    assert client.status(add_to(model)) == (200 if adds else 403)


def _counted(client, address: str) -> int:
    answers = []
    asked = queries_of(lambda: answers.append(client.get(address)))
    assert answers[0].status_code == 200
    return asked
