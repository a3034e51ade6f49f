"""Open the demo shop: set up, load, ask the three questions, then serve it on this machine."""

from __future__ import annotations

import socket
from argparse import ArgumentParser
from typing import Any

from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from inventory.ground.sheets.problems import SheetRefused
from stockist.demo import (
    buying,
    consigning,
    counting,
    goods_in,
    proof,
    selling,
    storing,
    vans,
    working,
)
from stockist.demo.questions import answers
from stockist.demo.scenario import PASSWORD, PEOPLE, NotADemo, Told, load_sheets, people

HOST = "127.0.0.1"


class Command(BaseCommand):
    """The first command of the README; running it twice is harmless."""

    help = "Sets up the demo shop, answers the three questions of the trade, and serves it."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--no-serve", action="store_true", help="end after the answers")
        parser.add_argument("--port", type=int, default=8000, help="the port to serve on (8000)")

    def handle(self, *args: Any, **options: Any) -> None:
        at = timezone.now()
        if not options["no_serve"]:
            self._is_free(options["port"])
        self.stdout.write("Setting up the database ...")
        call_command("migrate", verbosity=0, skip_checks=False)
        self.stdout.write("Loading the shop from fixtures/demo ...")
        try:
            people()
            load_sheets(at=at, tell=self._tell)
            self._tell(Told("deliveries", goods_in.deliveries(at=at)))
            self._tell(Told("documents", proof.documents(at=at)))
            self._tell(Told("promises", selling.promises(at=at)))
            self._tell(Told("storage", storing.storage(at=at)))
            self._tell(Told("consignments", consigning.consignments(at=at)))
            self._tell(Told("work", working.worked(at=at)))
            self._tell(Told("meetings", vans.meetings(at=at)))
            self._tell(Told("counts", counting.counts(at=at)))
            self._tell(Told("reckoned", buying.reckoned(at=at)))
        except NotADemo as refusal:
            raise CommandError(str(refusal)) from None
        except SheetRefused as refusal:
            raise CommandError("\n".join([str(refusal), *map(str, refusal.shown)])) from None
        for line in answers(at):
            self.stdout.write(line)
        self._say_who(options["port"], serving=not options["no_serve"])
        if not options["no_serve"]:
            call_command("runserver", f"{HOST}:{options['port']}", use_reloader=False)

    def _tell(self, told: Told) -> None:
        self.stdout.write(f"  {told.sheet:18} {told.words}")

    def _is_free(self, port: int) -> None:
        with socket.socket() as probe:
            if probe.connect_ex((HOST, port)) == 0:
                raise CommandError(
                    f"Something else answers on {HOST}:{port}: end it, or give another --port."
                )

    def _say_who(self, port: int, *, serving: bool) -> None:
        self.stdout.write("")
        if serving:
            self.stdout.write(f"The shop is open: http://{HOST}:{port}/  (Ctrl+C closes it)")
        names = ", ".join(name for name, _, _ in PEOPLE)
        self.stdout.write(f"Sign in as {names}; the password of each is {PASSWORD}")
