"""Starting, sharing and stopping the embedded server."""

from __future__ import annotations

import atexit
import hashlib
import logging
import os
import shlex
import shutil
import socket
import subprocess
import threading
from dataclasses import dataclass
from pathlib import Path

import psutil

from stockist.database import binaries, cluster, sharing
from stockist.database.errors import OTHERWISE, NoServer

log = logging.getLogger(__name__)

# The longest socket path that both Linux (108 bytes) and macOS (104) take, its end included.
_SOCKET_LIMIT = 103
_SOCKET = ".s.PGSQL.{port}"
# Recovery after a crash replays the journal; a shop's takes seconds, a stuck one is told.
_PATIENCE = 300
# Losing the newest writes of a test to a power cut harms nobody, and is a third faster.
# Nor is it counted: tables empty for a moment between two tests would be planned for as such.
_CARELESS = ("fsync=off", "synchronous_commit=off", "full_page_writes=off", "autovacuum=off")

_lock = threading.RLock()
_used: dict[Path, int] = {}


@dataclass(frozen=True, slots=True)
class Address:
    """Where the server listens: a folder with its socket, and the number in the socket's name."""

    folder: Path
    port: int

    @property
    def socket(self) -> Path:
        return self.folder / _SOCKET.format(port=self.port)


def serve(data: Path, *, careless: bool = False) -> Address:
    """The address of the running server of this data, started if need be.

    This process counts as one of its users until it ends; the last one out stops the server.
    `careless` gives up safety against power cuts, for tests. Raises `NoServer` with a sentence.
    """
    with _lock:
        cluster.make_parents(data)
        with sharing.alone(data):
            user = binaries.stand_in(data)
            cluster.prepare(data, user=user)
            if data not in _used:
                _used[data] = sharing.join(data)
                atexit.register(release, data)
            return running(data) or _start(data, user, careless)


def release(data: Path) -> None:
    """Stop using the server; it is stopped if nobody else in any process uses it."""
    with _lock:
        handle = _used.pop(data, None)
        if handle is None:
            return
        if not data.parent.exists():
            os.close(handle)
            return
        with sharing.alone(data):
            if sharing.leave(data, handle) and running(data):
                stop(data)


def stop(data: Path) -> None:
    """Stop the server of this data now, whoever uses it. Call it while `sharing.alone(data)`: else
    another process may start it again at once, and pg_ctl waits a minute for that one to end."""
    try:
        user = binaries.stand_in(data)
        binaries.run("pg_ctl", "-D", ".", "-w", "-m", "fast", "stop", within=data, user=user)
    except (subprocess.CalledProcessError, NoServer) as error:
        log.warning("PostgreSQL in %s could not be stopped: %s", data, error)


def running(data: Path) -> Address | None:
    """The address that a living server wrote beside its data; None if there is none."""
    address = _written_address(data)
    return address if address and _answers(address) else None


def _start(data: Path, user: str | None, careless: bool) -> Address:
    _clear_stale_number(data)
    place = _socket_folder(data, user)
    quoted = str(place).replace('"', '""')
    settings = ["listen_addresses=", f'unix_socket_directories="{quoted}"', "max_connections=200"]
    settings += _CARELESS if careless else ()
    options = shlex.join(f"-c{setting}" for setting in settings)
    journal = data / "server.log"
    waiting = ["-w", "-t", str(_PATIENCE), "-l", journal.name, "-o", options]
    try:
        binaries.run("pg_ctl", "-D", ".", *waiting, "start", within=data, user=user)
    except subprocess.CalledProcessError as error:
        raise NoServer(
            f"PostgreSQL did not start: {_reason(journal)}. The whole story is in {journal}. "
            f"Put that right, {OTHERWISE}."
        ) from error
    address = running(data)
    if address is None:
        raise NoServer(f"PostgreSQL started and went away again; see {journal}, {OTHERWISE}.")
    return address


def _written_address(data: Path) -> Address | None:
    # The fourth and fifth lines of postmaster.pid (PostgreSQL manual, "Database File Layout").
    try:
        lines = (data / "postmaster.pid").read_text().splitlines()
        return Address(Path(lines[4]), int(lines[3])) if lines[4] else None
    except (FileNotFoundError, IndexError, ValueError):
        return None


def _answers(address: Address) -> bool:
    with socket.socket(socket.AF_UNIX, socket.SOCK_STREAM) as knock:
        try:
            knock.connect(str(address.socket))
        except OSError:
            return False
    return True


def _clear_stale_number(data: Path) -> None:
    # After a kill -9 or a power cut the file stays, and its number may be another process's by now.
    path = data / "postmaster.pid"
    try:
        process = psutil.Process(int(path.read_text().splitlines()[0]))
        alive = process.name().startswith("postgres") and process.status() != psutil.STATUS_ZOMBIE
    except FileNotFoundError:
        return
    except (IndexError, ValueError, psutil.NoSuchProcess):
        alive = False
    if not alive:
        path.unlink(missing_ok=True)


def _socket_folder(data: Path, user: str | None) -> Path:
    fits = len(os.fsencode(data / _SOCKET.format(port=5432))) <= _SOCKET_LIMIT
    if fits and "," not in str(data):  # a comma would be the end of the first of several hosts
        return data
    name = hashlib.sha256(os.fsencode(data)).hexdigest()[:12]
    place = Path("/tmp") / f"stockist-{name}"  # noqa: S108 - owner and mode are checked below
    place.mkdir(mode=0o700, exist_ok=True)
    if user:
        shutil.chown(place, user, user)
    facts = place.lstat()
    if place.is_symlink() or facts.st_mode & 0o077 or facts.st_uid != data.stat().st_uid:
        raise NoServer(
            f"The path {data} is too long, or not plain enough, for the server's socket, and "
            f"{place}, where it would go instead, belongs to somebody else. "
            f"Use a shorter path, {OTHERWISE}."
        )
    return place


def _reason(journal: Path) -> str:
    try:
        lines = journal.read_text(errors="replace").splitlines()
    except OSError:
        return "it left no word"
    told = [line.partition("FATAL:")[2].strip() for line in lines if "FATAL:" in line]
    return told[-1] if told else "it gave no reason"
