"""The development signing key: made once, kept beside the data, readable by its owner only."""

from __future__ import annotations

import os
import secrets
from contextlib import suppress
from pathlib import Path

from stockist.environment import BadSettings


def kept_secret(folder: Path) -> str:
    """The key kept in `folder`, made there at the first call; two first calls agree on one key."""
    path = folder / "secret-key"
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with suppress(FileExistsError):
            _write_once(path, secrets.token_urlsafe(64))
        return path.read_text().strip()
    except OSError as error:
        raise BadSettings(
            [
                f"No signing key can be kept in {folder} ({error.strerror}): "
                "let this user write there, or set DATA_FOLDER to a folder of its own, "
                "for example DATA_FOLDER=/home/you/stockist"
            ]
        ) from error


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
