"""One name, one thing."""

import ast
from collections import Counter
from pathlib import Path

ROOT = Path(__file__).parents[1]


def test_one_name_means_one_class():
    files = [*(ROOT / "workbook").rglob("*.py"), *(ROOT / "widgets").rglob("*.py")]
    classes = Counter(
        node.name
        for path in files
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.ClassDef)
    )

    assert classes["WorkbookError"] == 1
    assert [name for name, count in classes.items() if count > 1] == []
