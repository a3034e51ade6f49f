"""Whether a document speaks of what an approval claims: what it names, and what it leaves out."""

from __future__ import annotations

from collections.abc import Iterator

from fitments.models.approval import Approval
from fitments.models.evidence import Paper
from inventory.markings import UnreadableMarking, read_size, search_keys


def silent_about(paper: Paper, approval: Approval) -> tuple[str, ...]:
    """What a document names otherwise than the approval that rests on it, in words.

    A document of which nobody wrote down what it names is silent about nothing: it is not known.
    """
    return tuple(_silent(paper, approval))


def _silent(paper: Paper, approval: Approval) -> Iterator[str]:
    line = approval.vehicle_line
    if paper.model_ranges and line and line.code not in paper.model_ranges:
        yield f"it does not name the model range {line.name}"
    if paper.sizes and approval.size_keys and not _keys(paper) & set(approval.size_keys):
        yield f"it does not name the size {approval.size}"
    if paper.axles and approval.axle not in paper.axles:
        yield f"it does not name the {approval.axle} axle"
    said = {" ".join(mark.upper().split()) for mark in paper.marks}
    mark = approval.mark.upper()
    if said and mark and not said & {mark, f"{mark} {approval.mark_issue.upper()}".strip()}:
        yield f"it does not name the mark {approval.mark} {approval.mark_issue}".strip()


def _keys(paper: Paper) -> set[str]:
    found: set[str] = set()
    for text in paper.sizes:
        try:
            found |= set(search_keys(read_size(text)))
        except UnreadableMarking:
            continue
    return found
