"""The command's manners: one sentence, the right status, no traceback."""

import subprocess
import sys

import pytest

from workbook import __version__
from workbook.cli import main
from workbook.cli.commands import COMMANDS, argument, command
from workbook.errors import OutOfRangeError


@pytest.fixture
def act(monkeypatch):
    """Put a command in the place of ``key`` that does what it is told."""
    doing = {}
    monkeypatch.setattr("workbook.cli.commands.COMMANDS", dict(COMMANDS))

    @command(argument("--times", type=int, default=1))
    def key(args):
        return doing["what"](args)

    return doing


def refuse(error):
    def act(_args):
        raise error

    return act


def test_a_new_command_is_a_function_with_its_arguments(act):
    act["what"] = lambda args: args.times - 3

    assert main(["key", "--times", "3"]) == 0
    assert main(["key", "--times", "4"]) == 1


def test_the_version_is_said(capsys):
    with pytest.raises(SystemExit) as ended:
        main(["--version"])

    assert ended.value.code == 0
    assert capsys.readouterr().out.strip() == __version__


@pytest.mark.parametrize("misuse", [[], ["unheard-of"], ["open", "--port", "many"]])
def test_misuse_is_two(misuse, capsys):
    with pytest.raises(SystemExit) as ended:
        main(misuse)

    assert ended.value.code == 2
    assert "usage: pullwright" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("error", "sentence"),
    [
        (
            OutOfRangeError("linkage.wanted_pull", force=-2e3),
            "A wanted pull of -2000 N must be finite and not below zero.",
        ),
        (FileNotFoundError(2, "No such file", "keys.json"), "keys.json: no such file"),
        (OSError("the disk has gone"), "the disk has gone"),
    ],
)
def test_what_cannot_be_done_is_one_sentence(error, sentence, act, capsys):
    act["what"] = refuse(error)

    status = main(["key"])

    assert status == 1
    assert capsys.readouterr().err == f"pullwright: {sentence}\n"


def test_a_mistake_of_our_own_is_not_hidden(act):
    act["what"] = refuse(ZeroDivisionError())

    with pytest.raises(ZeroDivisionError):
        main(["key"])


def test_an_interrupted_command_ends_quietly(act, capsys):
    act["what"] = refuse(KeyboardInterrupt())

    status = main(["key"])

    assert status == 130
    assert capsys.readouterr().err == ""


def test_a_reader_that_stops_reading_is_no_error():
    talk = """
import sys
from workbook.cli import main
from workbook.cli.commands import command
@command()
def key(args):
    for _ in range(100_000):
        print("more")
    return 0
sys.exit(main(["key"]))
"""
    talking = subprocess.Popen(
        [sys.executable, "-c", talk], stdout=subprocess.PIPE, stderr=subprocess.PIPE
    )

    talking.stdout.readline()
    talking.stdout.close()
    said = talking.stderr.read()
    talking.stderr.close()

    assert talking.wait() == 1
    assert said == b""


def test_the_command_starts_without_loading_what_only_some_commands_need():
    probe = "import sys, workbook.cli; print(*sys.modules)"

    loaded = subprocess.run(
        [sys.executable, "-c", probe], capture_output=True, text=True, check=True
    ).stdout.split()

    assert "workbook.cli" in loaded
    assert not {"numpy", "matplotlib", "pint", "jupyterlab", "typst"} & set(loaded)
