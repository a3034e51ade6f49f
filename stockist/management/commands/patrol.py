"""Look over the whole house and say what is out of order."""

from __future__ import annotations

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from stockist.patrol import CHECKS, Check, Looked


class Command(BaseCommand):
    """Proves every balance from its ledger lines, and looks over what else has to be in order."""

    help = (
        "Proves every balance from its ledger lines and looks over the rest. Ends with 1 where "
        "anything is out of order. Nothing is changed."
    )

    requires_system_checks: list[
        str
    ] = []  # what is stored can be looked over in a broken house too

    def add_arguments(self, parser: ArgumentParser) -> None:
        """What can be asked for."""
        parser.add_argument(
            "--since",
            type=int,
            metavar="POSTING",
            help="only balances touched by postings after this number",
        )
        parser.add_argument(
            "--only",
            action="append",
            choices=[check.name for check in CHECKS],
            help="only this check; may be given several times",
        )

    def handle(
        self, *args: Any, since: int | None = None, only: list[str] | None = None, **options: Any
    ) -> None:
        """Look, tell, and end with 1 where something is out of order."""
        wanted = [check for check in CHECKS if _wanted(check, since, only)]
        wrong = [check.name for check in wanted if self._told(check.look(since))]
        if wrong:
            raise CommandError(f"Out of order: {', '.join(wrong)}.")
        self.stdout.write("All is in order.")

    def _told(self, looked: Looked) -> bool:
        """Say what one check found; whether anything is out of order."""
        state = "OUT OF ORDER" if looked.faults else "in order"
        self.stdout.write(f"{looked.says} {looked.over}: {state}")
        for fault in looked.faults:
            self.stdout.write(f"  {fault}")
        if looked.more:
            self.stdout.write(f"  And more than these {len(looked.faults)}.")
        return bool(looked.faults)


def _wanted(check: Check, since: int | None, only: list[str] | None) -> bool:
    return (since is None or check.narrows) and (not only or check.name in only)
