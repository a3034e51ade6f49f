"""The owner's word: these tyres leave against advice, and why."""

from __future__ import annotations

from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction

from inventory.activities.despatching.asking import about, leaving
from inventory.activities.despatching.refusals import NoWordNeeded, SayWhy
from inventory.activities.picking.inhand import locked
from inventory.ground.entries.alone import refuse_faulty
from inventory.models.pick import PickList, PickListState


def give_word(*, pick_list: PickList, why: str, by: User, at: datetime) -> PickList:
    """Let a packed list leave against advice; the word is about what speaks against it now.

    Whoever calls has seen to it that `by` may give it. What comes up later needs a word of its own.
    Raises OrderIsClosed, ListHasEnded, NotAtThisStep, SayWhy, NoWordNeeded, NobodyReleases, Faulty.
    """
    if not why.strip():
        raise SayWhy
    with transaction.atomic():
        wanted = "the word is given when all is packed"
        listed = locked(pick_list, at_step=(PickListState.PACKED,), wanted=wanted)
        reasons = about(leaving(listed, at=at))
        if not reasons:
            raise NoWordNeeded(listed)
        listed.word_at, listed.word_by = at, by
        listed.word_why, listed.word_about = why.strip(), reasons
        refuse_faulty(listed, ["word_why"])
        listed.save(update_fields=["word_at", "word_by", "word_why", "word_about"])
    return listed
