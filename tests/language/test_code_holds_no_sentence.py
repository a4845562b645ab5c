"""No sentence stands in code: what a reader sees is in workbook/language."""

import ast
import re
from pathlib import Path

import pytest

from workbook.language import entries

ROOT = Path(__file__).parents[2]
MARKUP = re.compile(r"</?[a-z]|\.pw-|\dpx|=\"|^[;{)]")  # elements and style sheets
# What a reader may type, which is read and never shown.
SPELLINGS = {"workbook/quantities/table.py", "workbook/quantities/typed.py"}
WORD = re.compile(r"[A-Za-z][a-z']+")


def modules():
    found = [*(ROOT / "workbook").rglob("*.py"), *(ROOT / "widgets").rglob("*.py")]
    assert found
    return sorted(p for p in found if str(p.relative_to(ROOT)) not in SPELLINGS)


def texts(tree):
    """Return the strings of a module with their lines, without docstrings and types."""
    unread = set()
    for node in ast.walk(tree):
        body = getattr(node, "body", None)
        if isinstance(body, list):
            for one in body:  # docstrings, also those under an attribute
                if isinstance(one, ast.Expr):
                    unread.add(id(one.value))
        if isinstance(node, ast.AnnAssign | ast.arg) and node.annotation:
            unread |= {id(inner) for inner in ast.walk(node.annotation)}
        if isinstance(node, ast.Assert) and node.msg:
            unread |= {id(inner) for inner in ast.walk(node.msg)}
    return [
        (node.value, node.lineno)
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant)
        and isinstance(node.value, str)
        and id(node) not in unread
    ]


def keys_of(entry):
    """Return every key of some entries of the language."""
    if not isinstance(entry, dict):
        return set()
    return set(entry) | {key for value in entry.values() for key in keys_of(value)}


KEYS = keys_of(entries("en"))  # names of options and amounts, whose words stand there


def is_sentence(text):
    """Tell whether a string reads like something said: words, not a name or markup."""
    words = WORD.findall(text)
    if text in KEYS or MARKUP.search(text) or "_" in text or "/" in text:
        return False
    if re.search(r"\.[a-z]{3}$", text):  # the name of a file
        return False
    said = len(words) >= 5 or (len(words) >= 2 and re.search(r"[.?!:,;]\s*$", text))
    return bool(said)


@pytest.mark.parametrize("path", modules(), ids=lambda p: str(p.relative_to(ROOT)))
def test_no_sentence_stands_in_code(path):
    tree = ast.parse(path.read_text(encoding="utf-8"))

    found = [(line, text) for text, line in texts(tree) if is_sentence(text)]

    assert found == []


@pytest.mark.parametrize(
    ("text", "is_one"),
    [
        ("the chain is locked in the head", True),
        ("Check it.", True),
        (" and so on, ", True),
        ("pull leg", False),
        ("held fixed line", False),
        ("fork_offset_mm", False),
        ('<svg class="pw-sheet" role="img">', False),
        (".pw-sheet{font-family:sans-serif}", False),
    ],
)
def test_a_sentence_is_told_from_a_name(text, is_one):
    assert is_sentence(text) == is_one
