"""Our own source, read as syntax trees, for tests about how it is built."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
PACKAGES = ("stockist", "fitments", "inventory")
PURE = ("inventory/markings", "inventory/sets", "inventory/planning", "fitments/rules")


@dataclass(frozen=True)
class Source:
    """One file of ours."""

    path: Path
    text: str
    tree: ast.Module

    @property
    def name(self) -> str:
        """Its path from the top, as in `inventory/ledger/post.py`."""
        return str(self.path.relative_to(ROOT))

    @property
    def imports(self) -> list[str]:
        """Every module or name that it imports, in full, wherever it does so."""
        return [name for node in ast.walk(self.tree) for name in imported(node)]

    def strings(self) -> Iterator[str]:
        """Every text constant."""
        for node in ast.walk(self.tree):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                yield node.value


def imported(node: ast.AST) -> list[str]:
    """The full names that one import statement imports; nothing for anything else."""
    if isinstance(node, ast.Import):
        return [alias.name for alias in node.names]
    if isinstance(node, ast.ImportFrom):
        return [f"{node.module or ''}.{alias.name}" for alias in node.names]
    return []


@cache
def sources(*under: str) -> tuple[Source, ...]:
    """Our files below these folders, or in all packages, sorted by name; migrations left out."""
    found = []
    for top in under or PACKAGES:
        for path in sorted((ROOT / top).rglob("*.py")):
            if "migrations" not in path.parts:
                text = path.read_text()
                found.append(Source(path, text, ast.parse(text)))
    return tuple(found)


def migrations() -> list[Source]:
    """Our migrations."""
    paths = [path for top in PACKAGES for path in sorted((ROOT / top).rglob("migrations/*.py"))]
    return [Source(path, path.read_text(), ast.parse(path.read_text())) for path in paths]


def parse(text: str) -> Source:
    """A sample, to show that a check would find what it is for."""
    return Source(ROOT / "inventory" / "sample.py", text, ast.parse(text))


def templates() -> list[Path]:
    """Our templates."""
    return [path for top in PACKAGES for path in sorted((ROOT / top).rglob("templates/**/*.html"))]
