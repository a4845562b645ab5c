"""The command's own words, argparse's among them, in the language chosen."""

import argparse
import inspect
import json
import re

import pytest

from workbook.cli import main
from workbook.cli.commands import COMMANDS
from workbook.language import language, set_language, text
from workbook.reader.settings import settings_file

# Said to whoever writes a command, never to a reader.
OF_A_PROGRAMMER = re.compile(
    r"callable|not defined|cannot (have|merge)|conflict|dest=|invalid option string|"
    r"mutually exclusive|with mode"
)


@pytest.fixture
def other_words(tmp_path, monkeypatch):
    """Choose a language that says a few things in words of its own."""
    folder = tmp_path / "xx"
    folder.mkdir()
    (folder / "language.toml").write_text('name = "xx"\nplurals = "en"\n')
    (folder / "command.toml").write_text(
        'metavar = "BEFEHL"\n'
        "[pull]\nabout = 'Zugkraftrichtungsberechnung.'\n"
        "arguments.setup = { metavar = 'AUFBAU', help = 'Aufbaudatei' }\n"
        "[argparse]\n"
        "'usage: ' = 'Aufruf: '\n'options' = 'Schalter'\n"
        '"%(prog)s: error: %(message)s\\n" = "%(prog)s: Fehler: %(message)s\\n"\n'
        "'the following arguments are required: %s' = 'es fehlt: %s'\n",
        "utf-8",
    )
    monkeypatch.setenv("PULLWRIGHT_LANGUAGES", str(tmp_path))
    monkeypatch.setenv("PULLWRIGHT_LANGUAGE", "xx")
    set_language("xx")
    yield
    set_language("en")


def test_help_comes_in_the_language_chosen(other_words, capsys):
    with pytest.raises(SystemExit):
        main(["pull", "--help"])

    out = capsys.readouterr().out
    assert out.startswith("Aufruf: pullwright pull")
    assert "Zugkraftrichtungsberechnung." in out
    assert "AUFBAU" in out
    assert "Aufbaudatei" in out
    assert "Schalter:" in out
    assert "usage" not in out


def test_misuse_is_told_in_the_language_chosen(other_words, capsys):
    with pytest.raises(SystemExit) as ended:
        main(["pull"])

    assert ended.value.code == 2
    assert "pullwright pull: Fehler: es fehlt: AUFBAU" in capsys.readouterr().err


def test_argparse_says_nothing_that_has_no_entry():
    source = inspect.getsource(argparse)

    said = {
        "".join(re.findall(r"'((?:[^'\\]|\\.)*)'", literal)).replace("\\n", "\n")
        for literal in re.findall(r"_\(\s*((?:'(?:[^'\\]|\\.)*'\s*)+)\)", source)
    }

    to_readers = {words for words in said if not OF_A_PROGRAMMER.search(words)}
    assert len(to_readers) > 15
    assert to_readers <= text("command", "argparse").keys()


def test_every_argument_that_has_words_is_one_of_a_command():
    entries = text("command")
    of = {
        name: {flags[-1].lstrip("-") for flags, _ in arguments}
        for name, (_, arguments) in COMMANDS.items()
    }

    assert entries["arguments"].keys() <= set().union(*of.values())
    for name, known in of.items():
        assert entries[name]["about"].endswith(".")
        assert entries[name].get("arguments", {}).keys() <= known


def test_a_language_chosen_at_opening_is_kept(settings_folder, monkeypatch, capsys):
    opened = []
    monkeypatch.setattr(
        "workbook.reader.opening.open_workbook",
        lambda folder, **options: opened.append(language()),
    )

    assert main(["open", "--language", "en"]) == 0
    with pytest.raises(SystemExit):
        main(["open", "--language", "tlh"])

    assert opened == ["en"]
    assert json.loads(settings_file().read_text("utf-8")) == {"language": "en"}
    assert "tlh" in capsys.readouterr().err
