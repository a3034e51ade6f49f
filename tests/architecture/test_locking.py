"""No row is locked in the question that joins it: `inventory.ground.locking` says why."""

from __future__ import annotations

import ast

import pytest

from tests.support.source import sources


def chain(node: ast.AST) -> set[str]:
    """The methods of one chain of calls."""
    found = set()
    while isinstance(node, ast.Call | ast.Attribute):
        if isinstance(node, ast.Attribute):
            found.add(node.attr)
        node = node.func if isinstance(node, ast.Call) else node.value
    return found


def joined_and_locked(tree: ast.AST) -> list[int]:
    """The lines that lock rows of a chain, or of a name given by a chain, with select_related."""
    functions = [node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)]
    return sorted({line for each in functions for line in _in_function(each)})


def _in_function(tree: ast.AST) -> list[int]:
    joined = {
        target.id
        for node in ast.walk(tree)
        if isinstance(node, ast.Assign) and "select_related" in chain(node.value)
        for target in node.targets
        if isinstance(target, ast.Name)
    }
    found = []
    for node in ast.walk(tree):
        if not (isinstance(node, ast.Attribute) and node.attr == "select_for_update"):
            continue
        names = {each.id for each in ast.walk(node) if isinstance(each, ast.Name)}
        if "select_related" in chain(node) or names & joined:
            found.append(node.lineno)
    return found


def test_nothing_is_locked_in_a_join():
    assert [(one.name, line) for one in sources() for line in joined_and_locked(one.tree)] == []


@pytest.mark.parametrize(
    ("told", "lines"),
    [
        ("rows = A.objects.select_related('b')\n  rows.select_for_update().get(pk=1)", [3]),
        ("A.objects.select_related('b').select_for_update()", [2]),
        ("A.objects.select_for_update().get(pk=1)", []),
    ],
)
def test_a_lock_in_a_join_is_found_out(told, lines):
    assert joined_and_locked(ast.parse(f"def of():\n  {told}")) == lines
