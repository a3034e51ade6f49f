"""Postings, their lines and balances are made in one place only."""

from __future__ import annotations

import ast
import re

import pytest

from tests.support.source import Source, parse, sources

KEPT = {"Posting", "LedgerLine", "Balance"}
WRITES = {
    *("create", "bulk_create", "get_or_create", "update_or_create", "update", "bulk_update"),
    *("delete", "acreate", "abulk_create", "aget_or_create", "aupdate", "adelete"),
}
IN_SQL = re.compile(
    r"\b(insert\s+into|update|delete\s+from|truncate|copy)\s+(only\s+)?"
    r'"?inventory_(posting|ledgerline|balance)\b',
    re.I,
)


def makers(source: Source) -> list[int]:
    """The lines in which this file makes or changes postings, lines or balances."""
    found = [node.lineno for node in ast.walk(source.tree) if _writes(node)]
    docstrings = {ast.get_docstring(n, clean=False) for n in ast.walk(source.tree) if _can_say(n)}
    return found + [
        0 for text in source.strings() if text not in docstrings and IN_SQL.search(text)
    ]


def _can_say(node: ast.AST) -> bool:
    return isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef)


def _writes(node: ast.AST) -> bool:
    if not isinstance(node, ast.Call):
        return False
    if isinstance(node.func, ast.Name):
        return node.func.id in KEPT
    if not isinstance(node.func, ast.Attribute):
        return False
    if node.func.attr in KEPT:  # posting.Posting(...)
        return True
    named = {n.id for n in ast.walk(node.func) if isinstance(n, ast.Name)}
    named |= {n.attr for n in ast.walk(node.func) if isinstance(n, ast.Attribute)}
    return node.func.attr in WRITES and bool(named & KEPT)


def test_only_the_ledger_makes_them():
    others = [source for source in sources() if not source.name.startswith("inventory/ledger/")]
    assert [(source.name, line) for source in others for line in makers(source)] == []


def test_the_ledger_itself_is_found_out():
    assert any(makers(source) for source in sources("inventory/ledger"))


@pytest.mark.parametrize(
    "sample",
    [
        "Posting(kind='move')",
        "posting.Posting(kind='move')",
        "Posting.objects.create(kind='move')",
        "Balance.objects.filter(lot=lot).update(held=0)",
        "LedgerLine.objects.bulk_create(lines)",
        "cursor.execute('INSERT INTO inventory_ledgerline VALUES (1)')",
        "cursor.execute('update  only \"inventory_balance\" set held = 0')",
    ],
)
def test_every_way_of_making_one_would_be_found(sample):
    assert makers(parse(sample))


@pytest.mark.parametrize(
    "sample",
    [
        "Balance.objects.filter(lot=lot).first()",
        "cursor.execute('SELECT * FROM inventory_balance')",
        "lot.update()",
        "class PostingAdmin(admin.ModelAdmin): pass",
    ],
)
def test_reading_is_not_making(sample):
    assert makers(parse(sample)) == []
