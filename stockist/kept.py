"""What development keeps for itself beside the data: folders, and a signing key of its own."""

from __future__ import annotations

import os
import secrets
from contextlib import suppress
from pathlib import Path

from stockist.environment import BadSettings


def kept_secret(folder: Path) -> str:
    """The key kept in `folder`, made there at the first call; two first calls agree on one key."""
    path = made(folder) / "secret-key"
    try:
        with suppress(FileExistsError):
            _write_once(path, secrets.token_urlsafe(64))
        return path.read_text().strip()
    except OSError as error:
        raise _unusable(folder, error) from error


def made(folder: Path) -> Path:
    """The folder, made if it is not there."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise _unusable(folder, error) from error
    return folder


def _unusable(folder: Path, error: OSError) -> BadSettings:
    return BadSettings(
        [
            f"Nothing can be kept in {folder} ({error.strerror}): let this user write there, "
            "or set DATA_FOLDER to a folder of its own, for example DATA_FOLDER=/home/you/stockist"
        ]
    )


def _write_once(path: Path, text: str) -> None:
    # Written beside and linked into place, so that nobody ever reads half a key.
    if path.exists():
        return
    beside = path.with_name(f"{path.name}.{os.getpid()}")
    with os.fdopen(os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "w") as file:
        file.write(text)
    try:
        os.link(beside, path)
    finally:
        beside.unlink()
