"""GS1 Digital Link: an address that carries the same data as an element string.

Keys, the order of their qualifiers, and what may stand behind the question mark: GS1 Digital Link
standard, as tested in github.com/gs1/gs1-syntax-engine, src/c-lib/dl.c at 50657dbd.
"""

from __future__ import annotations

from urllib.parse import parse_qsl, unquote, urlsplit

from inventory.markings.scans.identifiers import KNOWN
from inventory.markings.scans.values import Elements, UnreadableScan

_SCHEMES = ("http://", "https://", "HTTP://", "HTTPS://")
# A key, and what may stand behind it in the path, in this order.
_QUALIFIERS = {"01": ("22", "10", "21"), "00": (), "414": ("254",)}
_PATH_ONLY = frozenset({"21", "22", "254", "01", "00", "414"})


def is_link(text: str) -> bool:
    """Whether the text begins like a web address."""
    return text.lower().startswith(("http://", "https://"))


def linked(text: str) -> Elements:
    """The elements of a Digital Link. Raises UnreadableScan."""
    if not text.startswith(_SCHEMES):
        raise UnreadableScan(text, 0, "http or https, all small or all capital letters,")
    try:
        parts = urlsplit(text)
    except ValueError as error:
        raise UnreadableScan(text, 0, "a web address") from error
    steps = [unquote(step) for step in parts.path.split("/")[1:]]
    found = [*_path(text, steps), *_attributes(text, parts.query)]
    for name, data in found:
        fault = KNOWN[name].fault(data)
        if fault is not None:
            raise UnreadableScan(text, max(text.find(data), 0) + fault[0], fault[1])
    return tuple(found)


def _path(text: str, steps: list[str]) -> list[tuple[str, str]]:
    """Key and qualifiers: the last key in the path is the one, whatever stands before it."""
    starts = [n for n, step in enumerate(steps[:-1]) if step in _QUALIFIERS]
    for start in reversed(starts):
        pairs = list(zip(steps[start::2], steps[start + 1 :: 2], strict=False))
        if len(steps[start:]) % 2 == 0 and all(name in KNOWN for name, _ in pairs):
            _look_at_order(text, pairs)
            return pairs
    raise UnreadableScan(text, len(text), "an article number behind /01/ in the address")


def _look_at_order(text: str, pairs: list[tuple[str, str]]) -> None:
    allowed = list(_QUALIFIERS[pairs[0][0]])
    for name, _ in pairs[1:]:
        if name not in allowed:
            place = text.rfind(f"/{name}/") + 1
            wanted = ", ".join(_QUALIFIERS[pairs[0][0]]) or "nothing"
            raise UnreadableScan(text, place, f"{wanted}, in this order, behind the key")
        del allowed[: allowed.index(name) + 1]


def _attributes(text: str, query: str) -> list[tuple[str, str]]:
    """What the question mark brings; words that are no identifiers are somebody else's."""
    found = [(n, data) for n, data in parse_qsl(query) if n.isdecimal() and n in KNOWN]
    wrong = next((name for name, _ in found if name in _PATH_ONLY), None)
    if wrong is not None:
        raise UnreadableScan(text, text.rfind(f"{wrong}="), f"({wrong}) in the path")
    return found
