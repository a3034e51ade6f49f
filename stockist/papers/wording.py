"""An approval in words, as it was written down: who, for what, since when, and on what it rests."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

Known = Mapping[str, Any]


def approval_words(known: Known) -> str:
    """One approval as a despatch keeps it, in a sentence or two, its code first."""
    parts = [_who(known), _axle(known), known["size"], *_of_what(known), *_when(known)]
    words = f"{known['code']}: {', '.join(part for part in parts if part)}."
    if known["conditions"]:
        words += f" On condition: {known['conditions'].rstrip('.')}."
    return f"{words} Rests on {known['rests_on']}{_papers(known['evidence'])}."


def _who(known: Known) -> str:
    if known["season"] is not None:
        return f"on the list of {known['issuer']}, {known['scope']}, {known['season']}"
    return f"approved by the car's maker {known['issuer']} for {known['scope']}"


def _axle(known: Known) -> str:
    return f"{known['axle']} axle" if known["axle"] else "both axles"


def _of_what(known: Known) -> Iterable[str]:
    yield f"pattern {known['pattern']}" if known["pattern"] else ""
    yield f"compound {known['compound']}" if known["compound"] else ""
    if known["mark"]:
        issue = f" issue {known['mark_issue']}" if known["mark_issue"] else ""
        yield f"mark {known['mark']}{issue}"


def _when(known: Known) -> Iterable[str]:
    yield f"from {known['valid_from']}" if known["valid_from"] else ""
    yield f"to {known['valid_to']}" if known["valid_to"] else ""
    yield f"withdrawn on {known['withdrawn_on']}" if known["withdrawn_on"] else ""
    yield f"superseded by {known['superseded_by']}" if known["superseded_by"] else ""


def _papers(evidence: Iterable[Known]) -> str:
    told = [_paper(one) for one in evidence]
    return f": {'; '.join(told)}" if told else ""


def _paper(one: Known) -> str:
    parts = [one["kind"].replace("_", " "), one["reference"], one["issuer"], one["dated"]]
    return f"{one['code']} ({', '.join(part for part in parts if part)})"
