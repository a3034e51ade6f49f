"""Nothing grows beyond what one reads in one go."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from statistics import median

from tests.support.source import ROOT, Source, parse, sources, templates

LONGEST_FILE, LONGEST_FUNCTION, LONGEST_TEMPLATE = 300, 40, 150
MEDIAN_FILE, MEDIAN_FUNCTION = 75, 9


def functions(source: Source) -> Iterator[tuple[str, int]]:
    """Name and length of every function, its decorators and its docstring not counted."""
    for node in ast.walk(source.tree):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            first = node.body[0]
            said = 0
            if isinstance(first, ast.Expr) and ast.get_docstring(node) is not None:
                said = (first.end_lineno or first.lineno) - first.lineno + 1
            yield node.name, (node.end_lineno or node.lineno) - node.lineno + 1 - said


def test_files_fit():
    lengths = {source.name: source.text.count("\n") for source in sources()}
    assert {name: lines for name, lines in lengths.items() if lines > LONGEST_FILE} == {}


def test_functions_fit():
    found = [(source.name, *each) for source in sources() for each in functions(source)]
    assert [each for each in found if each[2] > LONGEST_FUNCTION] == []


def test_templates_fit():
    lengths = {str(path.relative_to(ROOT)): path.read_text().count("\n") for path in templates()}
    assert {name: lines for name, lines in lengths.items() if lines > LONGEST_TEMPLATE} == {}


def told(source: Source) -> int:
    """Lines of docstrings: what a file tells its reader is not held against it."""
    spans = [
        node.body[0]
        for node in ast.walk(source.tree)
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef)
        and ast.get_docstring(node) is not None
    ]
    return sum((one.end_lineno or one.lineno) - one.lineno + 1 for one in spans)


def test_half_of_all_files_are_short():
    lengths = [lines - told(source) for source in sources() if (lines := source.text.count("\n"))]
    assert median(lengths) < MEDIAN_FILE


def test_half_of_all_functions_are_short():
    lengths = [lines for source in sources() for _, lines in functions(source)]
    assert median(lengths) <= MEDIAN_FUNCTION


def test_lengths_are_counted_without_docstrings():
    sample = parse('@cache\ndef f():\n    """One.\n\n    Two.\n    """\n    return 1\n')
    assert list(functions(sample)) == [("f", 2)]
