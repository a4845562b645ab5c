"""How many outside checks differ in kind.

A kind is one way through the engine, one question put to it and one source: the
three words of ``@pytest.mark.kind``. The source is the work, not the page: ten
problems of one book through the same call are one kind, and so are the rows of a
table, unless they reach another regime, which the question then names. Checks
without the mark stand beside the counted ones: more rows of the same kind, laws,
refusals, and tables that are compared with themselves.
"""

import ast
from collections import Counter
from pathlib import Path

import pytest

HERE = Path(__file__).parent
LEAST = 130


def marks(module):
    """Return each kind claimed in a module, as call, question and source."""
    named = {
        part.targets[0].id: part.value.value
        for part in module.body
        if isinstance(part, ast.Assign) and isinstance(part.value, ast.Constant)
    }
    tests = [part for part in module.body if isinstance(part, ast.FunctionDef)]
    return [
        tuple(named[w.id] if isinstance(w, ast.Name) else w.value for w in mark.args)
        for test in tests
        for mark in test.decorator_list
        if isinstance(mark, ast.Call) and ast.unparse(mark.func) == "pytest.mark.kind"
    ]


def taken_from_the_engine(module):
    """Return the names a module imports from the workbook."""
    return {
        name.name
        for part in ast.walk(module)
        if isinstance(part, ast.ImportFrom) and part.module.startswith("workbook")
        for name in part.names
    }


MODULES = {path.name: ast.parse(path.read_text()) for path in HERE.glob("test_*.py")}
# Rigs under book loads are laid out in the conftest.
SHARED = taken_from_the_engine(ast.parse((HERE / "conftest.py").read_text()))


def test_outside_checks_differ_in_kind_at_least_so_often():
    claims = Counter(kind for module in MODULES.values() for kind in marks(module))

    assert [kind for kind, times in claims.items() if times > 1] == []
    assert len(claims) >= LEAST


@pytest.mark.parametrize("name", sorted(MODULES))
def test_every_kind_names_a_call_that_its_file_makes(name):
    module = MODULES[name]

    for call, question, source in marks(module):
        for part in call.split(" + "):
            function = part.partition(".")[0]
            assert function in taken_from_the_engine(module) | SHARED, (name, call)
        assert question
        assert source
