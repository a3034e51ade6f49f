"""How modules are written: what the linters cannot say."""

from __future__ import annotations

import ast
import re

import pytest

from tests.support.source import PACKAGES, PURE, ROOT, Source, imported, migrations, parse, sources

CLOCK = re.compile(
    r"\b(date\.today|datetime\.(now|utcnow|today)|timezone\.now"
    r"|timezone\.local(date|time)\((?=\)|timezone=)"
    r"|time\.(time|monotonic|time_ns)|random\.\w+|uuid[14]|secrets\.\w+|default_rng\(\))"
)


def late_imports(source: Source) -> list[str]:
    """Modules of ours that are imported inside a function: the plaster on an import cycle."""
    return [
        name
        for outer in ast.walk(source.tree)
        if isinstance(outer, ast.FunctionDef | ast.AsyncFunctionDef)
        for node in ast.walk(outer)
        for name in imported(node)
        if name.split(".")[0] in PACKAGES
    ]


def reads_the_world(source: Source) -> list[str]:
    """Calls that ask for the time or for chance."""
    calls = [ast.unparse(n) for n in ast.walk(source.tree) if isinstance(n, ast.Call)]
    return [call for call in calls if CLOCK.match(call)]


def test_modules_of_ours_are_imported_at_the_top():
    assert [(source.name, name) for source in sources() for name in late_imports(source)] == []


def test_a_late_import_would_be_found():
    assert late_imports(parse("def f():\n    from inventory.models import sku\n"))
    assert late_imports(parse("def f():\n    import pint\n")) == []


def test_pure_code_asks_neither_clock_nor_chance():
    pure = sources(*[folder for folder in PURE if (ROOT / folder).exists()])
    assert [(source.name, call) for source in pure for call in reads_the_world(source)] == []


def test_asking_the_clock_would_be_found():
    assert reads_the_world(parse("x = date.today()\ny = random.choice(z)")) == [
        "date.today()",
        "random.choice(z)",
    ]
    assert reads_the_world(parse("x = timezone.localdate()")) == ["timezone.localdate()"]
    assert reads_the_world(parse("x = today.isoformat()\ny = timezone.localdate(at)")) == []


# Below the faces the clock is an argument. The shop's pages, and what is a face, may read it.
BELOW_THE_FACES = re.compile(
    r"^(inventory/(activities|ledger|models|markings|sets|planning|availability|ageing|tracing)"
    r"|fitments/(activities|lookup|models|rules|verdict))\b"
)


def test_only_a_face_reads_the_clock():
    below = [source for source in sources() if BELOW_THE_FACES.match(source.name)]
    assert [(source.name, call) for source in below for call in reads_the_world(source)] == []


@pytest.mark.parametrize("package", PACKAGES)
def test_the_packages_themselves_are_empty(package):
    assert (ROOT / package / "__init__.py").read_text() == ""


@pytest.mark.parametrize("source", migrations(), ids=lambda source: source.name)
def test_migrations_stand_by_themselves(source):
    ours = [name for name in source.imports if name.split(".")[0] in PACKAGES]
    allowed = re.compile(r"inventory\.(ground\.|ledger\.function\b)")
    assert [name for name in ours if not allowed.match(name)] == []


def test_every_module_says_what_it_is():
    spoken = [s for s in sources() if s.text.strip() and s.path.name != "__init__.py"]
    assert [source.name for source in spoken if not ast.get_docstring(source.tree)] == []


def test_nothing_is_left_for_later():
    later = re.compile(r"\b(TODO|FIXME|XXX|HACK)\b")
    assert [source.name for source in sources() if later.search(source.text)] == []
