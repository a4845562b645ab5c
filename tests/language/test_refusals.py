"""Every refusal in the code has its sentence, and every sentence its values."""

import ast
import string
from collections.abc import Mapping
from functools import cache
from pathlib import Path

import pytest

from workbook.language import entries
from workbook.mechanics.pull.linkage import Refusal

ROOT = Path(__file__).parents[2]
# Where no sentence is left in the code: every refusal there is a reason with values.
REASONS_ONLY = [
    "workbook/mechanics",
    "workbook/equipment",
    "workbook/quantities",
    "workbook/scenes",
    "workbook/bay",
]
# Which reads a number by a name below `quantity` in `term.toml`.
READERS = {
    "components", "direction_of", "finite", "magnitude", "more_than_zero",
    "not_negative",
}  # fmt: skip


@cache
def calls(folder):
    """Return every call in a folder: where it stands, and its syntax."""
    found = []
    for path in sorted((ROOT / folder).rglob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        place = path.relative_to(ROOT)
        found += [
            (f"{place}:{node.lineno}", node)
            for node in ast.walk(tree)
            if isinstance(node, ast.Call)
        ]
    assert found, f"no code in {folder}"
    return found


def refusals(folder):
    """Return where a refusal is made, its reason and the names of its values."""
    for place, node in calls(folder):
        called = node.func
        if isinstance(called, ast.Call):  # type(error)(...)
            called = called.func
        name = getattr(called, "id", "")
        if name == "refuse_where":
            reason = node.args[1]
        elif (name.endswith("Error") or called is not node.func) and node.args:
            reason = node.args[0]
        else:
            continue
        passed_on = isinstance(reason, ast.Name) and reason.id == "reason"
        if name != "AssertionError" and not passed_on:
            yield place, reason, {keyword.arg for keyword in node.keywords}


def flat(table, before=""):
    """Return every sentence, or its plurals, by its dotted key."""
    found = {}
    for key, entry in table.items():
        if isinstance(entry, Mapping) and "other" not in entry:
            found |= flat(entry, f"{before}{key}.")
        else:
            found[before + key] = entry
    return found


SENTENCES = flat(entries()["refusal"])


def places(sentence):
    return {name for _, name, _, _ in string.Formatter().parse(sentence) if name}


@pytest.mark.parametrize("folder", REASONS_ONLY)
def test_every_refusal_has_a_sentence_that_says_its_values(folder):
    for place, reason, given in refusals(folder):
        if isinstance(reason, ast.JoinedStr):  # by an enumeration, below
            subject = reason.values[0].value
            assert any(key.startswith(subject) for key in SENTENCES), place
            continue
        assert isinstance(reason, ast.Constant), f"{place}: a sentence in the code"
        assert reason.value in SENTENCES, f"{place}: no sentence {reason.value}"
        entry = SENTENCES[reason.value]
        plurals = [*entry.values()] if isinstance(entry, Mapping) else [entry]
        for sentence in plurals:
            said = places(sentence)
            assert said <= given, f"{place}: {said - given} is not given"
        unsaid = given - set().union(*map(places, plurals))
        assert unsaid <= {"count"}, f"{place}: {unsaid} is never said"


def test_every_sentence_of_their_subjects_is_said_somewhere():
    found = [
        node
        for package in ("workbook", "widgets")
        for path in (ROOT / package).rglob("*.py")
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
    ]
    written = {node.value for node in found if isinstance(node, ast.Constant)}
    written |= {f"linkage.{refusal.name.lower()}" for refusal in Refusal}

    ours = {
        reason.value.partition(".")[0]
        for folder in REASONS_ONLY
        for _, reason, _ in refusals(folder)
        if isinstance(reason, ast.Constant)
    }
    unsaid = {key for key in SENTENCES if key.partition(".")[0] in ours} - written

    assert not unsaid, unsaid


@pytest.mark.parametrize("refusal", [*Refusal][1:])
def test_every_rig_that_does_not_stand_has_its_sentence(refusal):
    assert f"linkage.{refusal.name.lower()}" in SENTENCES


@pytest.mark.parametrize("folder", REASONS_ONLY)
def test_every_number_that_is_read_has_a_name(folder):
    terms = entries()["term"]["quantity"]
    for place, node in calls(folder):
        if getattr(node.func, "id", "") in READERS:
            names = [k.value for k in node.keywords if k.arg == "name"]
            for name in names:
                literal = isinstance(name, ast.Constant)
                assert not literal or name.value in terms, f"{place}: {name.value}"
