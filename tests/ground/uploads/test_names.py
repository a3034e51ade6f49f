"""Names as they are kept: no path, nothing that does anything, the ending of what it is."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.ground.uploads import MediaType, harmless_name


@pytest.mark.parametrize(
    ("sent", "kept"),
    [
        ("letter.pdf", "letter.pdf"),
        ("../../etc/passwd", "passwd.pdf"),
        ("..\\..\\windows\\system32\\cmd.exe", "cmd.pdf"),
        ("C:\\scans\\HC 208.PDF", "HC 208.pdf"),
        ("/", "file.pdf"),
        ("", "file.pdf"),
        (".htaccess", "htaccess.pdf"),
        ("..", "file.pdf"),
        ("letter.pdf.exe", "letter.pdf.pdf"),
        ("a\x00b\n.pdf", "ab.pdf"),
        ("fdp.\u202eexe", "fdp.pdf"),
        ('x";filename="y.html', "x_filename=_y.pdf"),
        ("CON.pdf", "file_CON.pdf"),
        ("Größe 185/70.png", "70.pdf"),
        ("Größe.jpeg", "Größe.pdf"),
    ],
)
def test_what_becomes_of_a_name(sent, kept):
    assert harmless_name(sent, MediaType.PDF) == kept


@given(st.text(max_size=300), st.sampled_from(MediaType))
def test_every_name_is_one_harmless_part(name, kind):
    kept = harmless_name(name, kind)
    assert kept.endswith(f".{kind.ending}")
    assert 5 <= len(kept) <= 100
    assert not set(kept) & set('/\\<>:"|?*%;\0\n\r')
    assert not kept.startswith(".")
    assert harmless_name(kept, kind) == kept
