"""Kept once under the digest, outside the web root, read back only as it was."""

from __future__ import annotations

import hashlib
import stat
from pathlib import Path

import pytest
from django.conf import settings as django_settings

from inventory.ground.uploads import FileIsGone, attachment, store

WORDS = b"a letter"
DIGEST = hashlib.sha256(WORDS).hexdigest()


@pytest.fixture
def folder(settings, tmp_path):
    settings.EVIDENCE_ROOT = tmp_path / "evidence"
    return settings.EVIDENCE_ROOT


def files_in(folder: Path) -> list[Path]:
    return [path for path in folder.rglob("*") if path.is_file()]


def test_kept_once_and_read_back(folder):
    store.keep(WORDS, DIGEST)
    store.keep(WORDS, DIGEST)
    assert files_in(folder) == [folder / DIGEST[:2] / DIGEST]
    assert store.content_of(DIGEST) == WORDS


def test_nobody_else_may_read_or_run_it(folder):
    store.keep(WORDS, DIGEST)
    mode = (folder / DIGEST[:2] / DIGEST).stat().st_mode
    assert stat.S_IMODE(mode) == 0o640


def test_one_that_was_changed_is_not_handed_out(folder):
    store.keep(WORDS, DIGEST)
    (folder / DIGEST[:2] / DIGEST).write_bytes(b"another letter")
    with pytest.raises(FileIsGone, match="has been changed since"):
        store.content_of(DIGEST)


def test_one_that_is_gone(folder):
    with pytest.raises(FileIsGone, match="no longer where it was kept"):
        store.content_of(DIGEST)


@pytest.mark.parametrize("name", ["../../etc/passwd", "", "AB" * 32, DIGEST + "x"])
def test_only_a_digest_is_a_place(folder, name):
    with pytest.raises(ValueError, match="64 figures"):
        store.keep(WORDS, name)


def test_a_disk_that_is_full_leaves_nothing_behind(folder, monkeypatch):
    def full(number):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("inventory.ground.uploads.store.os.fsync", full)
    with pytest.raises(OSError, match="No space left"):
        store.keep(WORDS, DIGEST)
    assert files_in(folder) == []


def test_the_folder_is_no_folder_of_the_web():
    kept, shown = Path(django_settings.EVIDENCE_ROOT), Path(django_settings.STATIC_ROOT)
    assert not kept.is_relative_to(shown)
    assert not shown.is_relative_to(kept)
    assert not any(Path(one).is_relative_to(kept) for one in django_settings.STATICFILES_DIRS)


def test_handed_out_to_be_saved_and_never_opened_in_a_page_of_ours():
    answer = attachment(WORDS, name='Größe "1".pdf', media_type="application/pdf")
    assert answer["Content-Disposition"].startswith("attachment; filename")
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert answer["Content-Security-Policy"] == "default-src 'none'; sandbox"
    assert answer["Content-Type"] == "application/pdf"
    assert answer["Cache-Control"] == "private, no-store"
    assert answer.content == WORDS
