#!/usr/bin/env python
"""The project's command line: `manage.py help` lists what it can do."""

from __future__ import annotations

import os
import signal
import sys
from types import FrameType

from django.core.management import execute_from_command_line

from stockist.database.errors import NoServer
from stockist.environment import BadSettings


def main(arguments: list[str]) -> None:
    """Run one command; what a person can put right is told in a sentence, not as a traceback."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "stockist.settings")
    # Without this a terminated process skips its exit handlers, and the embedded server would stay.
    signal.signal(signal.SIGTERM, _leave_tidily)
    try:
        execute_from_command_line(arguments)
    except (BadSettings, NoServer) as error:
        raise SystemExit(str(error)) from None
    except BrokenPipeError:  # whoever read the output, such as head, has had enough
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        raise SystemExit(128 + signal.SIGPIPE) from None


def _leave_tidily(signum: int, frame: FrameType | None) -> None:
    raise SystemExit(128 + signum)


if __name__ == "__main__":
    main(sys.argv)
