"""Names of files as they are kept and told again: no path, no sign that does anything."""

from __future__ import annotations

import re
import unicodedata

from inventory.ground.uploads.kinds import MediaType

LONGEST = 100
_DOES_SOMETHING = re.compile(r'[<>:"|?*%;]+')
# Names that Windows keeps for devices, whatever their ending.
_DEVICES = re.compile(r"^(con|prn|aux|nul|com\d|lpt\d)$", re.I)


def harmless_name(name: str, kind: MediaType) -> str:
    """The last part of a name without its path, with the ending of what the file really is."""
    last = re.split(r"[/\\]", unicodedata.normalize("NFC", name))[-1]
    stem = "".join(sign for sign in last if sign == " " or _is_seen(sign))
    stem = _DOES_SOMETHING.sub("_", stem).strip(". ")
    base, dot, ending = stem.rpartition(".")
    if dot and ending.isalnum() and len(ending) <= 5:
        stem = base.strip(". ")
    stem = stem[: LONGEST - 5].strip(". ")
    if not stem or _DEVICES.match(stem.partition(".")[0]):
        stem = f"file_{stem}".rstrip("_")
    return f"{stem}.{kind.ending}"


def _is_seen(sign: str) -> bool:
    """Neither a control, nor a mark that turns the direction of text, nor some rare blank."""
    return unicodedata.category(sign)[0] not in "CZ"
