"""The patrol over documents: their versions, and the files that are kept."""

from __future__ import annotations

import pytest
from django.db import connection

from inventory.ground.uploads import store, take
from stockist.patrol import register
from tests.factories.approvals import EvidenceFactory
from tests.ground.uploads import files

pytestmark = pytest.mark.django_db
CHECKS = {check.name: check for check in register.CHECKS}


@pytest.fixture
def kept(settings, tmp_path):
    settings.EVIDENCE_ROOT = tmp_path
    got = take(files.sent(files.pdf()))
    store.keep(got.copy, got.copy_digest)
    return EvidenceFactory(
        code="EV-1", digest=got.digest, copy_digest=got.copy_digest, file_name=got.name,
        media_type=str(got.media_type),
    )  # fmt: skip


def test_all_is_in_order(kept):
    assert CHECKS["files"].look().faults == ()
    assert CHECKS["files"].look().over == "1 files"
    assert CHECKS["papers"].look().faults == ()


def test_a_file_that_was_changed_or_taken_away(kept, settings):
    place = settings.EVIDENCE_ROOT / kept.copy_digest[:2] / kept.copy_digest
    place.write_bytes(b"something else")
    (fault,) = CHECKS["files"].look().faults
    assert fault == "Of EV-1: This file has been changed since it was kept: ask the owner."
    place.unlink()
    assert "no longer where it was kept" in CHECKS["files"].look().faults[0]


def test_a_document_changed_behind_the_trigger(kept):
    with connection.cursor() as cursor:
        cursor.execute("SET LOCAL session_replication_role = replica")
        cursor.execute("UPDATE fitments_evidence SET says = 'quietly'")
        cursor.execute("SET LOCAL session_replication_role = origin")
    assert CHECKS["papers"].look().faults == ("Of EV-1 it is not.",)
