"""What follows the size itself: service description, C, LT, XL, RF, ply rating, TT, TL."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from inventory.markings.size.grammar import Miss
from inventory.markings.size.model import Size

SPEEDS = "FGJKLMNPQRSTUHVWY"  # symbols of the published table (UN R30, UN R54, from memory)

_PLY = re.compile(r" ?/?-? ?(?P<ply>\d{1,2}) ?(?:PR|PLY(?: RATING)?|P R)(?![A-Z0-9])")
_WORD = re.compile(
    r" ?/?-? ?(?P<word>EXTRA LOAD|REINFORCED|REINF|TUBELESS|TUBE TYPE|TUBED|M ?[+/-] ?S"
    r"|C|LT|XL|RF|TT|TL)(?![A-Z])"
)
_SERVICE = re.compile(
    r" ?-? ?(?P<open>\(?) ?(?:(?P<index>\d{2,3})(?: ?/ ?(?P<dual>\d{2,3}))?)?"
    rf"(?: ?(?P<speed>[{SPEEDS}])(?![A-Z0-9+]))? ?(?P<close>\)?)"
)
_SAME_WORD = {
    "EXTRA LOAD": "XL",
    "REINFORCED": "RF",
    "REINF": "RF",
    "TUBELESS": "TL",
    "TUBE TYPE": "TT",
    "TUBED": "TT",
}
_BEFORE_SERVICE = ("C", "LT")
_AFTER_SERVICE = ("XL", "RF", "M+S")
_LAST = ("TT", "TL")

EXPECTED = "a service description (such as 89V), C, LT, XL, RF, 4PR, TT, TL or the end"
INDEX_EXPECTED = "a load index (30 to 150)"


@dataclass(frozen=True, slots=True)
class Tail:
    """What stands behind the rim, in the order it is printed."""

    suffixes: tuple[str, ...] = ()
    load_index: int | None = None
    load_index_dual: int | None = None
    speed: str | None = None
    bracketed: bool = False

    @property
    def service(self) -> str:
        """The service description as printed: 89V, 102/100R, (91W), (Y); empty without one."""
        index = "" if self.load_index is None else f"{self.load_index}"
        dual = "" if self.load_index_dual is None else f"/{self.load_index_dual}"
        space = " " if dual and self.speed else ""
        text = f"{index}{dual}{space}{self.speed or ''}"
        return f"({text})" if self.bracketed else text

    def printed(self) -> str:
        """Everything behind the rim, with a space in front of each part."""
        first = [s for s in self.suffixes if s in _BEFORE_SERVICE]
        last = [s for s in self.suffixes if s not in _BEFORE_SERVICE]
        return "".join(f" {part}" for part in (*first, self.service, *last) if part)


NOTHING = Tail()


def read_tail(text: str, start: int) -> Tail | Miss:
    """The part of the plain text from ``start`` to its end."""
    if start == len(text):
        return NOTHING
    suffixes: set[str] = set()
    service: Tail | None = None
    while start < len(text):
        if found := _PLY.match(text, start) or _WORD.match(text, start):
            got = _suffix(found)
            if isinstance(got, Miss):
                return got
            suffixes.add(got)
        else:
            read = _service(text, start)
            if service is not None or isinstance(read, Miss):
                return read if isinstance(read, Miss) else Miss(start, EXPECTED)
            service, found = read
        start = found.end()
    return replace(service or NOTHING, suffixes=_ordered(suffixes))


def _suffix(found: re.Match[str]) -> str | Miss:
    ply = found.groupdict().get("ply")
    if ply is None:
        word = found["word"]
        return _SAME_WORD.get(word) or ("M+S" if word.startswith("M") else word)
    if int(ply) % 2 or not 2 <= int(ply) <= 24:
        return Miss(found.start("ply"), "a ply rating (an even number from 2 to 24)")
    return f"{int(ply)}PR"


def _service(text: str, start: int) -> tuple[Tail, re.Match[str]] | Miss:
    found = _SERVICE.match(text, start)
    if found is None or not (found["index"] or (found["speed"] and found["open"])):
        return _why_no_service(text, start)
    if bool(found["open"]) != bool(found["close"]):
        return Miss(found.start("close"), "a bracket on both sides, or on neither,")
    for group in ("index", "dual"):
        if found[group] and not 30 <= int(found[group]) <= 150:
            return Miss(found.start(group), INDEX_EXPECTED)
    tail = Tail(
        load_index=int(found["index"]) if found["index"] else None,
        load_index_dual=int(found["dual"]) if found["dual"] else None,
        speed=found["speed"],
        bracketed=bool(found["open"]),
    )
    return tail, found


def _why_no_service(text: str, start: int) -> Miss:
    position = start + (len(text[start:]) - len(text[start:].lstrip(" -")))
    if re.fullmatch(rf"[{SPEEDS}]", text[position:]):
        return Miss(position, "a load index before a speed symbol, or the letter inside the size")
    return Miss(position, EXPECTED)


def _ordered(suffixes: set[str]) -> tuple[str, ...]:
    """One order however typed: C LT, then XL RF M+S, the ply rating, TT TL."""
    known = (*_BEFORE_SERVICE, *_AFTER_SERVICE, *_LAST)
    ply = sorted((s for s in suffixes if s not in known), key=lambda s: int(s[:-2]))
    front = [s for s in (*_BEFORE_SERVICE, *_AFTER_SERVICE) if s in suffixes]
    return (*front, *ply, *(s for s in _LAST if s in suffixes))


def with_tail(size: Size, tail: Tail) -> Size:
    """The size with what follows it, in all its readings and halves too."""
    if tail == NOTHING:
        return size
    return replace(
        size,
        canonical=size.canonical + tail.printed(),
        suffixes=tail.suffixes,
        load_index=tail.load_index,
        load_index_dual=tail.load_index_dual,
        speed=tail.speed,
        bracketed=tail.bracketed,
        alternatives=tuple(with_tail(other, tail) for other in size.alternatives),
        candidates=tuple(with_tail(other, tail) for other in size.candidates),
    )
