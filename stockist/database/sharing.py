"""Who is using a server: locks that the system itself lets go when a process dies, however it dies.

Beside the data lie two small files. Whoever starts or stops the server holds `.lock` alone.
Whoever uses it holds `.users` together with the others; the last one out can hold it alone, and
so knows that it may stop the server. A list of process numbers would go stale after kill -9.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from stockist.database.errors import OTHERWISE, NoServer

with suppress(ImportError):  # absent on Windows, where `binaries.folder` says so in a sentence
    import fcntl


@contextmanager
def alone(data: Path) -> Iterator[None]:
    """Hold the right to start or stop the server of this data; waits for whoever has it."""
    handle = _open(data.with_name(data.name + ".lock"))
    try:
        fcntl.flock(handle, fcntl.LOCK_EX)
        yield
    finally:
        os.close(handle)


def join(data: Path) -> int:
    """Become one of the users until the returned handle is closed in this process and its forks."""
    handle = _open(data.with_name(data.name + ".users"))
    fcntl.flock(handle, fcntl.LOCK_SH)
    return handle


def leave(data: Path, handle: int) -> bool:
    """Stop being one of the users; True if nobody is left. Call it while holding `alone`."""
    os.close(handle)
    probe = _open(data.with_name(data.name + ".users"))
    try:
        fcntl.flock(probe, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    finally:
        os.close(probe)
    return True


def _open(path: Path) -> int:
    try:
        return os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
    except OSError as error:
        raise NoServer(
            f"The database in {path.parent} cannot be used ({path.name}: {error.strerror}). "
            "Run as the user whose data this is, set DATA_FOLDER to a folder of your own, "
            f"{OTHERWISE}."
        ) from error
