"""A sidewall with what should be read there, and where to look. Pure.

The drawing is one of a kind of tyre, not of the very tyre: makers put their lettering where they
like. Each thing to read has a number on the drawing and a line in the list beside it.
"""

from __future__ import annotations

from dataclasses import dataclass

# Where the numbers stand: at the end of the lower arc, of the upper one, then round the bead.
SPOTS = ((276, 214), (56, 92), (262, 98), (62, 222), (160, 100), (160, 220))


@dataclass(frozen=True, slots=True)
class ToRead:
    """One thing to read: what it is called, what should stand there, what to look at."""

    number: int
    x: int
    y: int
    name: str
    says: str
    look: str


@dataclass(frozen=True, slots=True)
class SidewallPicture:
    above: str  # lettering along the upper arc
    below: str  # and along the lower
    to_read: tuple[ToRead, ...]
    band: str  # "", "white_band" or "red_line"
    words: str


def sidewall(
    *,
    size: str,
    service: str,
    maker: str,
    pattern: str,
    mark: str,
    mark_issue: str,
    tube: str,
    type_approvals: tuple[str, ...],
    sidewall_style: str,
    dated: bool = True,
) -> SidewallPicture:
    """What the sidewall of a SKU should say. Empty texts are things that it need not carry."""
    wanted = [
        ("Size", f"{size} {service}".strip(), "large, on both sides"),
        ("Maker and pattern", f"{maker} {pattern}".strip(), "large, on both sides"),
    ]
    if mark:
        issue = f", mark issue {mark_issue}" if mark_issue else ""
        wanted.append(("Approval mark", f"{mark}{issue}", "near the size, often on one side only"))
    if tube:
        wanted.append(("Tube", tube, "small, near the bead"))
    if dated:
        wanted.append(
            ("Date code", "week and year", "in a small oval, on one side only; none before 1971")
        )
    if type_approvals:
        wanted.append(("Type approval", "; ".join(type_approvals), "small, near the bead"))
    to_read = tuple(
        ToRead(number, *spot, *what)
        for number, (spot, what) in enumerate(zip(SPOTS, wanted, strict=False), start=1)
    )
    words = "A sidewall. " + ". ".join(f"{one.number}: {one.name}, {one.says}" for one in to_read)
    return SidewallPicture(
        f"{maker} {pattern}".strip().upper(),
        f"{size} {service}".strip(),
        to_read,
        sidewall_style if sidewall_style in {"white_band", "red_line"} else "",
        words,
    )
