#!/usr/bin/env python
"""The project's command line: `manage.py help` lists what it can do."""

from __future__ import annotations

import os
import signal
import sys
from types import FrameType

from django.core.management import execute_from_command_line


def _leave_tidily(signum: int, frame: FrameType | None) -> None:
    raise SystemExit(128 + signum)


if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "stockist.settings")
    # Without this a terminated process skips its exit handlers, and the embedded server would stay.
    signal.signal(signal.SIGTERM, _leave_tidily)
    execute_from_command_line(sys.argv)
