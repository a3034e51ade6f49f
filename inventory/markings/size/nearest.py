"""The near valid reading of a text that cannot be read: one slip undone, the likeliest first.

The slips are those of people at a keyboard: O for 0, I for 1, S for 5, a doubled figure, two
figures or two parts swapped, spaces left out, a figure off its step, the rim forgotten.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from itertools import chain, permutations, zip_longest

from inventory.markings.size.grammar import Miss

MOST_TRIES = 80
_LONGEST = 30
_AS_FIGURES = str.maketrans("OQILSZ", "001152")
_LOOKALIKE = re.compile(r"(?<=[\d.])[OQILSZ]+(?=\d|\b)|(?<![A-Z])[OQILSZ]+(?=\d)")
_NUMBER = re.compile(r"\d+(?:\.\d+)?")
_COMMON_RIMS = ("15", "14", "13", "16")


def nearest(plain_text: str, stop: Miss, canonical: Callable[[str], str | None]) -> str | None:
    """The canonical form of the first corrected text that can be read, or None."""
    if len(plain_text) > _LONGEST or not any(c.isdigit() for c in plain_text):
        return None
    tried: set[str] = {plain_text}
    for text in _corrections(plain_text, stop):
        if text in tried:
            continue
        if len(tried) > MOST_TRIES:
            return None
        tried.add(text)
        if found := canonical(text):
            return found
    return None


def _corrections(text: str, stop: Miss) -> Iterator[str]:
    slips = chain(
        _figures_for_letters(text),
        _speed_letter_inside(text),
        _spaces(text),
        _without_doubles(text),
    )
    if stop.size_end:  # the size itself is readable: nothing in it is moved about
        return chain(slips, (f"{text})", text[: stop.size_end]))
    return chain(
        slips,
        _with_rim(text),
        _swapped_neighbours(text, stop.position),
        _on_step(text),
        _swapped_parts(text),
    )


def _figures_for_letters(text: str) -> Iterator[str]:
    """O, I, L, S, Z beside figures as the figures they look like."""
    yield _LOOKALIKE.sub(lambda m: m[0].translate(_AS_FIGURES), text)
    for m in re.finditer(r"[OQILSZ]", text):
        yield text[: m.start()] + m[0].translate(_AS_FIGURES) + text[m.end() :]


def _speed_letter_inside(text: str) -> Iterator[str]:
    """185/70 V 15 and 185/70 R 15 V as 185/70 VR 15; 5.60-15 S as 5.60 S 15."""
    yield re.sub(r"(?<=\d) ?([SHVZ]) ?(?=\d)", r" \1R ", text, count=1)
    if m := re.fullmatch(r"(.*\d) ?R ?([\d.]+) ?([STHVZ])", text):
        yield f"{m[1]} {m[3]}R {m[2]}"
    if m := re.fullmatch(r"(.*\d)[-X ](\d\d) ?([SHV])", text):
        yield f"{m[1]} {m[3]} {m[2]}"


def _spaces(text: str) -> Iterator[str]:
    """18570R15, 1857015, 165R1586S, 16515, 5 60 15, 6-12."""
    yield re.sub(r"^(\d{3})(\d\d) ?([A-Z]{1,2}) ?(\d\d)(?=$| )", r"\1/\2 \3 \4", text)
    yield re.sub(r"^(\d{3})(\d\d)[ -]?(\d\d)(?=$| )", r"\1/\2-\3", text)
    yield re.sub(r"^(\d)[ -](\d\d)(?=\D)", r"\1.\2", text)
    yield re.sub(r"(R ?\d\d)(\d\d\d?[A-Z]?)$", r"\1 \2", text)
    yield re.sub(r"^(\d{3})(\d\d)$", r"\1-\2", text)
    yield re.sub(r"^(\d)(?=[-R ])", r"\1.00", text)


def _without_doubles(text: str) -> Iterator[str]:
    for m in re.finditer(r"(.)(?=\1)", text):
        yield text[: m.start()] + text[m.end() :]


def _swapped_neighbours(text: str, position: int) -> Iterator[str]:
    """Two figures beside each other swapped, those where reading stopped first."""
    places = [i for i in range(len(text) - 1) if text[i : i + 2].isdigit()]
    for i in sorted(places, key=lambda place: abs(place - position)):
        yield text[:i] + text[i + 1] + text[i] + text[i + 2 :]


def _on_step(text: str) -> Iterator[str]:
    """A width or profile that is off its step of 5, moved to the nearest one."""
    for m in re.finditer(r"\b\d{3}\b|(?<=/)\d\d\b", text):
        yield f"{text[: m.start()]}{5 * round(int(m[0]) / 5)}{text[m.end() :]}"


def _swapped_parts(text: str) -> Iterator[str]:
    """The first three numbers in another order (15-5.60), or the rim in front (R15 185/70)."""
    numbers = _NUMBER.findall(text)[:3]
    between = _NUMBER.split(text, maxsplit=len(numbers))
    for order in permutations(numbers):
        yield "".join(chain.from_iterable(zip_longest(between, order, fillvalue="")))
    if m := re.fullmatch(r"([A-Z]*R ?\d\d) (.+)", text):
        yield f"{m[2]} {m[1]}"
    yield text.replace("/", "X", 1)


def _with_rim(text: str) -> Iterator[str]:
    """A text that ends before its rim, with the common rims as examples."""
    for rim in _COMMON_RIMS:
        yield f"{text} {rim}"
        yield f"{text} R {rim}"
