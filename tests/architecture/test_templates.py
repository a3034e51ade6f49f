"""Templates: each is used, and none holds what the content security policy would block."""

from __future__ import annotations

import re

import pytest

from tests.support.source import ROOT, sources, templates
from tests.support.strictness import refuse_inline

# Django and libraries look for these by name.
LOOKED_FOR = {"400.html", "403.html", "403_csrf.html", "404.html", "500.html"}
ALL = templates()


def name_of(path) -> str:
    return str(path).split("/templates/", 1)[1]


def test_every_template_is_used():
    said = "\n".join(source.text for source in sources())
    said += "\n".join(path.read_text() for path in ALL)
    names = {name_of(path) for path in ALL} - LOOKED_FOR
    unused = {name for name in names if f'"{name}"' not in said and f"'{name}'" not in said}
    # A library's own template that ours stands in for.
    assert {name for name in unused if not name.startswith(("admin/", "registration/"))} == set()


@pytest.mark.parametrize("path", ALL, ids=lambda path: str(path.relative_to(ROOT)))
def test_a_template_has_neither_inline_script_nor_style(path):
    text = re.sub(r"\{#.*?#\}|\{%.*?%\}|\{\{.*?\}\}", "", path.read_text(), flags=re.S)
    refuse_inline(text, name_of(path))
