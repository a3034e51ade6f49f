"""The data of the embedded server on disk: made once, and looked at before it is used."""

from __future__ import annotations

import os
import pwd
import shutil
import subprocess
from pathlib import Path

from stockist.database import binaries
from stockist.database.errors import OTHERWISE, NoServer

SUPERUSER = "postgres"


def prepare(data: Path, *, user: str | None) -> None:
    """Make the data if there is none yet, or refuse it in words if this server cannot use it."""
    if (data / "PG_VERSION").exists():
        _refuse_foreign(data, user)
        _refuse_other_major(data)
        return
    if data.exists() and any(data.iterdir()):
        raise NoServer(
            f"{data} is not empty, and it is not a PostgreSQL database either. "
            f"Move it away, {OTHERWISE}."
        )
    _make(data, user)


def make_parents(data: Path) -> None:
    """Make the folder that the data lies in. What is in it stays private; the way through is not.

    A root whose files are private by default would else lock out the user PostgreSQL runs as.
    """
    try:
        data.parent.mkdir(parents=True, exist_ok=True)
        facts = data.parent.stat()
        if os.geteuid() == 0 and facts.st_uid == 0 and data.parent.name == ".local":
            data.parent.chmod(facts.st_mode | 0o011)
    except OSError as error:
        raise NoServer(
            f"The database cannot be kept in {data.parent} ({error.strerror}). "
            f"Set DATA_FOLDER to a folder of your own, {OTHERWISE}."
        ) from error


def _make(data: Path, user: str | None) -> None:
    # Made beside and moved into place: a killed first start leaves nothing half made.
    beside = data.with_name(data.name + ".new")
    shutil.rmtree(beside, ignore_errors=True)
    beside.mkdir(mode=0o700)
    if user:
        shutil.chown(beside, user, user)
    options = ["--auth=trust", "--encoding=UTF8", f"--username={SUPERUSER}", "--no-instructions"]
    locale = ["--locale-provider=builtin", "--locale=C", "--builtin-locale=C.UTF-8"]
    try:
        binaries.run("initdb", "-D", ".", *options, *locale, within=beside, user=user)
    except subprocess.CalledProcessError as error:
        raise NoServer(
            f"The database could not be made in {data}: {_last_line(error.stderr)}. "
            f"Put that right, {OTHERWISE}."
        ) from error
    if data.exists():
        data.rmdir()
    beside.rename(data)


def _refuse_foreign(data: Path, user: str | None) -> None:
    owner = data.stat().st_uid
    wanted = pwd.getpwnam(user).pw_uid if user else os.geteuid()
    if owner == wanted:
        return
    try:
        name = pwd.getpwuid(owner).pw_name
    except KeyError:
        name = f"user number {owner}"
    whose = "root" if name == binaries.ROOTS_STAND_IN else name
    raise NoServer(
        f"The data in {data} belongs to {name}. Run as {whose}, "
        f"set DATA_FOLDER to a folder of your own, {OTHERWISE}."
    )


def _refuse_other_major(data: Path) -> None:
    version = (data / "PG_VERSION").read_text().strip()
    if version != binaries.MAJOR:
        raise NoServer(
            f"The data in {data} was made by PostgreSQL {version}, and this is PostgreSQL "
            f"{binaries.MAJOR}. Bring it over with pg_dump of the old version, move it away to "
            f"start afresh, {OTHERWISE}."
        )


def _last_line(text: str) -> str:
    lines = [line for line in text.strip().splitlines() if line]
    return lines[-1] if lines else "it gave no reason"
