"""Reading sizes as people type them, against a regular expression for the commonest forms."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

import numpy as np

from inventory.markings import Size, read_size
from tests.load.asked.asking import Question
from tests.load.table import Limit

_BY_HAND = re.compile(
    r"\s*(?P<width>\d{3})(?:\s*/\s*(?P<aspect>\d\d))?\s*(?P<inside>[SHV])?R\s*(?P<rim>\d{2,3})"
    r"(?:\s+(?P<load>\d{2,3})(?P<speed>[A-Z]))?\s*"
    r"|\s*(?P<inches>\d\.\d\d)\s*[-–x]\s*(?P<cross>\d\d)\s*",
    re.I,
)


def by_hand(text: str) -> tuple[Any, ...] | None:
    """Width, aspect, letter inside, rim, load index and speed; None for what it cannot read."""
    found = _BY_HAND.fullmatch(text)
    if found is None:
        return None
    if found["inches"]:
        return float(found["inches"]), None, None, int(found["cross"]), None, None
    whole = [int(found[name]) if found[name] else None for name in ("width", "aspect", "rim")]
    letters = [found[name].upper() if found[name] else None for name in ("inside", "speed")]
    load = int(found["load"]) if found["load"] else None
    return whole[0], whole[1], letters[0], whole[2], load, letters[1]


def reading(texts: Sequence[str]) -> Question:
    """Each text once, as the rows of a sheet come."""
    return Question(
        f"reading {len(texts):,} mixed sizes, each",
        Limit(),
        cases=texts,
        ours=read_size,
        raw=by_hand,
        told=lambda _, size, raw: (_plain(size), raw),
        note="against a regular expression",
    )


def _plain(size: Size) -> tuple[Any, ...]:
    width = size.width_in if size.width_in is not None else size.width_mm
    rim = size.rim_mm if size.rim_mm is not None else size.rim_in
    return width, size.aspect, size.speed_in_size, rim, size.load_index, size.speed


def mixed(rng: np.random.Generator, sizes: Sequence[str], number: int) -> list[str]:
    """So many texts, hardly one like another: the sizes with blanks, letters and signs as typed."""
    return [_typed(rng, sizes[one]) for one in rng.integers(0, len(sizes), number)]


def _typed(rng: np.random.Generator, text: str) -> str:
    way = int(rng.integers(0, 64))
    if "-" in text:
        return text.replace("-", (" - ", "-", "–", "x")[way % 4]) + " " * (way // 4)
    parts = text.split()
    if way % 2 and len(parts) > 3:
        parts = parts[:-1]
    first = (" " * (1 + way // 2 % 4)).join(parts[:2])
    rest = " ".join(parts[2:])
    typed = f"{first}{' ' * (way // 8 % 2)}{rest}" + " " * (way // 16)
    return typed.lower() if way % 3 == 0 else typed
