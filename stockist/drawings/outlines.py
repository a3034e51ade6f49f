"""Two tyres to one scale, side by side: what the car had, and what is offered. Pure."""

from __future__ import annotations

from dataclasses import dataclass

WIDTH, HEIGHT, GAP = 420.0, 190.0, 14.0


@dataclass(frozen=True, slots=True)
class Outline:
    """One tyre seen from the side and, beside it, across its section."""

    name: str
    x: float
    y: float
    radius: float
    rim: float
    section_x: float
    section_y: float
    section_width: float
    section_height: float
    overall_mm: float
    section_mm: float | None


@dataclass(frozen=True, slots=True)
class Outlines:
    tyres: tuple[Outline, ...]
    ground: float
    words: str


def _outline(
    name: str, overall_mm: float, section_mm: float | None, rim_mm: float, left: float, scale: float
) -> Outline:
    radius = overall_mm * scale / 2
    ground = HEIGHT - 24
    return Outline(
        name,
        round(left + radius, 1),
        round(ground - radius, 1),
        round(radius, 1),
        round(rim_mm * scale / 2, 1),
        round(left + 2 * radius + GAP, 1),
        round(ground - 2 * radius, 1),
        round((section_mm or 0) * scale, 1),
        round(2 * radius, 1),
        overall_mm,
        section_mm,
    )


def outlines(
    had: tuple[str, float, float | None, float], offered: tuple[str, float, float | None, float]
) -> Outlines:
    """Both tyres on one ground line. Each is (name, overall mm, section mm or None, rim mm)."""
    across = sum(overall + (section or 0) for _, overall, section, _ in (had, offered))
    scale = min((WIDTH - 5 * GAP) / across, (HEIGHT - 40) / max(had[1], offered[1]))
    first = _outline(*had, left=GAP, scale=scale)
    left = first.section_x + first.section_width + GAP
    second = _outline(*offered, left=left, scale=scale)
    change = offered[1] - had[1]
    words = (
        f"{offered[0]} beside {had[0]}, to scale: "
        f"{abs(change):.0f} mm {'larger' if change > 0 else 'smaller'} overall"
        if round(change)
        else f"{offered[0]} beside {had[0]}, to scale: the same overall diameter"
    )
    return Outlines((first, second), HEIGHT - 24, words)
