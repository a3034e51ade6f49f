"""`manage.py run_task NAME ARGUMENT…`: run one task here and now, as a worker would."""

from __future__ import annotations

import json
from importlib import import_module
from typing import Any

from celery import current_app
from django.core.management.base import BaseCommand, CommandError, CommandParser


class Command(BaseCommand):
    help = "Runs one background task in this process; its arguments are given as JSON."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("name", help="for example inventory.ground.tasks.forget_old_keys")
        parser.add_argument("arguments", nargs="*", help="JSON values, for example 7 or '\"a\"'")

    def handle(self, *args: Any, **options: Any) -> None:
        name = options["name"]
        try:
            values = [json.loads(text) for text in options["arguments"]]
        except json.JSONDecodeError as error:
            raise CommandError(f"{error.doc!r} is not JSON: write a text as '\"text\"'.") from error
        try:
            import_module(name.rpartition(".")[0])
            task = current_app.tasks[name]
        except (ImportError, KeyError, ValueError) as error:
            raise CommandError(f"There is no task called {name}.") from error
        answer = task(*values)
        if answer is not None:
            self.stdout.write(json.dumps(answer, default=str))
