"""What a size designation says, as a value."""

from __future__ import annotations

from dataclasses import dataclass, field

RADIAL, BIAS, BELTED = "radial", "bias", "bias-belted"
BEADED_EDGE, STRAIGHT_SIDE = "beaded edge", "straight side"

_KEYS = (
    *("prefix", "width_mm", "width_in", "aspect", "construction", "speed_in_size"),
    *("rim_in", "rim_mm", "bead", "load_index", "load_index_dual", "speed"),
    *("section_mm", "section_cm", "section_in", "overall_mm", "overall_cm", "overall_in"),
    *("letter", "suffixes", "canonical", "family"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """One size designation, read. What the text does not say is None, never a guess.

    ``construction`` is "radial", "bias", "bias-belted" or None; ``possible_constructions`` says
    what an open one may still be, and ``possible_beads`` the same for old pairs such as 30x3½
    (empty for other sizes). ``speed_in_size`` is the letter inside the size (165 HR 15),
    ``speed`` the symbol of the service description: two fields, neither turned into the other.
    ``section_*`` and ``overall_*`` belong to sizes that state section and overall diameter.
    ``rim_in`` and ``rim_mm`` hold the mark as it stands: 380 is ``rim_mm`` 380 (see rims.py).
    ``alternatives`` holds the other half of a dual designation; ``candidates`` every reading of
    a text that has several, the commonest first; both are empty otherwise. ``bracketed`` tells
    ``(91W)`` from ``91W``: on a Y tyre the brackets mean "over 300 km/h".
    """

    canonical: str
    family: str
    prefix: str | None = None
    width_mm: int | None = None
    width_in: float | None = None
    aspect: int | None = None
    construction: str | None = None
    speed_in_size: str | None = None
    rim_in: float | None = None
    rim_mm: int | None = None
    bead: str | None = None
    load_index: int | None = None
    load_index_dual: int | None = None
    speed: str | None = None
    section_mm: int | None = None
    section_cm: int | None = None
    section_in: float | None = None
    overall_mm: int | None = None
    overall_cm: int | None = None
    overall_in: float | None = None
    letter: str | None = None
    suffixes: tuple[str, ...] = ()
    bracketed: bool = False
    possible_constructions: tuple[str, ...] = ()
    possible_beads: tuple[str, ...] = ()
    alternatives: tuple[Size, ...] = field(default=(), repr=False)
    candidates: tuple[Size, ...] = field(default=(), repr=False)

    def __str__(self) -> str:
        return self.canonical

    def __hash__(self) -> int:
        # Sizes are keys of many tables; two fields part them, and strings keep their hashes.
        return hash((self.canonical, self.family))

    @property
    def ply(self) -> int | None:
        """The ply rating of a suffix such as 4PR; None where none is stated."""
        return next((int(s[:-2]) for s in self.suffixes if s.endswith("PR")), None)

    def as_dict(self) -> dict[str, object]:
        """The size as plain values with a fixed set of keys in a fixed order, ready for JSON."""
        plain: dict[str, object] = {key: getattr(self, key) for key in _KEYS}
        plain["suffixes"] = list(self.suffixes)
        return plain
