"""The README's first command: it opens the shop, and running it twice is harmless."""

from __future__ import annotations

import socket
import tomllib
from io import StringIO

import pytest
from django.contrib.auth.models import User
from django.core.management import CommandError, call_command

from inventory.models.despatch import Despatch
from inventory.models.hold import Hold, HoldExtension
from inventory.models.lot import Lot
from inventory.models.posting import Posting
from inventory.models.returned import Return
from stockist.demo.scenario import FOLDER, PASSWORD, PEOPLE
from tests.factories.people import UserFactory

pytestmark = pytest.mark.django_db


def run(*options):
    told = StringIO()
    call_command("demo", *options, stdout=told)
    return told.getvalue()


def test_it_answers_the_three_questions_and_a_second_run_changes_nothing():
    told = run("--no-serve")
    for wanted in ("1. This Marbury Linnet", "2. Which cars does", "3. Have you got four"):
        assert wanted in told
    assert "1 set" in told
    assert "no four within 26 weeks" in told
    assert max(map(len, told.splitlines())) < 160
    assert "2 holds, a quote, 5 orders" in told
    before = (Lot.objects.count(), Posting.objects.count())
    assert (Despatch.objects.count(), Return.objects.count()) == (4, 1)
    aged = Despatch.objects.exclude(word_why="").get()
    assert (aged.word_by.username, "how old they are" in aged.word_why) == ("owner", True)
    assert aged.known["sets"][0]["reasons"][0]["code"] == "age limit"
    assert HoldExtension.objects.get().why == "his mechanic is away until then"
    assert Hold.objects.open().count() == 4
    again = run("--no-serve")
    assert (Lot.objects.count(), Posting.objects.count()) == before
    plan = tomllib.loads((FOLDER / "demo.toml").read_text(encoding="utf-8"))
    assert again.count("nothing was done") == len(plan["sheets"]) > 28
    for name, _, _ in PEOPLE:
        assert User.objects.get(username=name).check_password(PASSWORD)
    call_command("patrol", stdout=StringIO())


def test_a_real_shop_is_left_alone():
    UserFactory(username="somebody")
    with pytest.raises(CommandError, match="this is not a demo"):
        run("--no-serve")
    assert not Lot.objects.exists()


def test_a_port_in_use_is_told_before_anything_is_done():
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        with pytest.raises(CommandError, match="Something else answers"):
            run("--port", str(taken.getsockname()[1]))
    assert not User.objects.exists()
