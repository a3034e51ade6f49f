"""What a folder was filled with: another scale or seed is refused, and so is half a house."""

from __future__ import annotations

import json
import time
from collections.abc import Callable
from pathlib import Path

NOTE = "house.json"


class OtherHouse(SystemExit):
    """The folder holds something else than what is asked for; says what to do."""


def refuse_other(folder: Path, *, scale: str, seed: int) -> None:
    """Raise `OtherHouse` if the folder was filled with another scale or seed."""
    note = folder / NOTE
    if not note.exists():
        return
    known = json.loads(note.read_text(encoding="utf-8"))
    if (known["scale"], known["seed"]) != (scale, seed):
        raise OtherHouse(
            f"{folder} was filled with --scale {known['scale']} --seed {known['seed']}, and asked "
            f"for is --scale {scale} --seed {seed}: ask for what it holds, name another folder, or "
            "remove this one."
        )


def filled(
    folder: Path,
    *,
    scale: str,
    seed: int,
    begun: Callable[[], bool],
    fill: Callable[[], object],
) -> float | None:
    """Fill the folder's database unless it is filled; how many seconds that took.

    Raises `OtherHouse` where somebody began to fill it and nobody wrote down that it was done.
    """
    refuse_other(folder, scale=scale, seed=seed)
    if (folder / NOTE).exists():
        return None
    if begun():
        raise OtherHouse(
            f"{folder} was not filled to the end, or nobody wrote down with what: remove it, and "
            "ask again."
        )
    start = time.perf_counter()
    fill()
    (folder / NOTE).write_text(json.dumps({"scale": scale, "seed": seed}), encoding="utf-8")
    return time.perf_counter() - start
