"""An approval withdrawn between packing and leaving: the tyres stay, or leave with the word."""

from __future__ import annotations

from datetime import timedelta

import pytest

from fitments.activities.approvals import withdraw
from inventory.activities import despatching
from inventory.activities.despatching.refusals import NeedsAWord
from inventory.models.despatch import Despatch
from stockist.papers.delivery_note import drawn
from stockist.papers.note import note_of
from tests.factories.approvals import ApprovalFactory
from tests.factories.catalogue import TypeApprovalFactory
from tests.factories.people import UserFactory
from tests.factories.sending import figures, held_set, packed
from tests.factories.when import AT, TODAY
from tests.support.pdf_text import text_of

pytestmark = pytest.mark.django_db


def test_stays_and_leaves_with_the_owners_word(variant, car):
    edda = UserFactory(username="edda")
    approvals = [
        ApprovalFactory(
            listed=True, vehicle_line=variant.vehicle_line, axle=axle, code=f"AP-{axle}"
        )
        for axle in ("front", "rear")
    ]
    shop, order, lot, _ = held_set(customer=car.customer, car=car)
    TypeApprovalFactory(sku=lot.sku)
    listed = packed(order, shop, edda)
    (before,) = despatching.leaving(listed, at=AT)
    assert before.release.may == "leave"
    said = [
        withdraw(approval=one, on=TODAY, why="letter of today", by=edda, at=AT)[-1]
        for one in approvals
    ]
    told = {"pick_list": listed, "by": edda, "at": said[-1].known.lower + timedelta(seconds=1)}
    with pytest.raises(NeedsAWord, match="Approved when it was ordered, and not any more"):
        despatching.despatch(**told)
    assert not Despatch.objects.exists()
    assert figures(lot, shop.gather) == (4, 4)
    despatching.give_word(why="he knows, and wants them", **told)
    sent = despatching.despatch(**told)
    (known,) = sent.known["sets"]
    assert known["lost_since_ordered"]
    assert [one["withdrawn_on"] for one in known["approvals"]] == [TODAY.isoformat()] * 2
    printed = text_of(drawn(note_of(sent)))
    assert "It was sent against advice, with the owner's word." in printed
    assert f"withdrawn on {TODAY.isoformat()}" in printed
    assert "he knows, and wants them" in printed
