"""What a command is: a function with its arguments, its words in the language.

To add a command, write a function that takes the parsed arguments and returns
0 (done) or 1 (could not), mark it with `command`, and say in ``command.toml`` what it
is about: its name becomes the command's. Import inside it what it needs, so that the
other commands start fast.
"""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Callable
from contextlib import suppress
from typing import Any

from workbook import __version__
from workbook.errors import WorkbookError
from workbook.language import harmless, say, text

Command = Callable[[argparse.Namespace], int]
Argument = tuple[tuple[str, ...], dict[str, Any]]

COMMANDS: dict[str, tuple[Command, tuple[Argument, ...]]] = {}


def argument(*flags: str, **options: Any) -> Argument:
    """Describe one argument as `argparse.ArgumentParser.add_argument` takes it.

    Its help and its metavar are those that the language has for it.
    """
    return flags, options


def command(*arguments: Argument) -> Callable[[Command], Command]:
    """Make a function a command of ``pullwright``."""

    def register(run: Command) -> Command:
        COMMANDS[run.__name__.strip("_").replace("_", "-")] = run, arguments
        return run

    return register


def told(name: str, entry: str, /, **values: Any) -> str:
    """Return a sentence that a command prints."""
    return say("command", name, "told", entry, **values)


def tell(sentence: str, *, trouble: bool = False) -> None:
    """Print for the reader; nothing that a stranger wrote can steer the terminal."""
    stream = sys.stderr if trouble else sys.stdout
    if stream is None:
        raise WorkbookError("command.output_closed")
    try:
        print(harmless(sentence), file=stream)
    except BrokenPipeError:
        raise
    except OSError as error:  # a full disk; the error itself names no file
        raise OSError(error.errno, error.strerror, text("command", "output")) from error


class _Parser(argparse.ArgumentParser):
    # A number below nothing is a value, with its unit too, and no option.
    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self._negative_number_matcher = re.compile(r"-\.?\d")

    def _print_message(self, message: str, file: Any = None) -> None:
        super()._print_message(harmless(message), file)


def build_parser() -> argparse.ArgumentParser:
    """Build the parser from the commands registered, in the language chosen."""
    _speak()
    parser = _Parser(prog="pullwright", description=text("command", "description"))
    shown = text("command", "version")
    parser.add_argument("--version", action="version", version=__version__, help=shown)
    commands = parser.add_subparsers(metavar=text("command", "metavar"), required=True)
    for name, (run, arguments) in COMMANDS.items():
        about = text("command", name, "about")
        sub = commands.add_parser(name, help=about, description=about)
        for flags, options in arguments:
            sub.add_argument(*flags, **{**_words(name, flags), **options})
        sub.set_defaults(run=run)
    return parser


def _words(name: str, flags: tuple[str, ...]) -> dict[str, str]:
    """Return help and metavar of an argument, a command's own before the common."""
    own = ("arguments", flags[-1].lstrip("-"))
    words: dict[str, str] = {}
    for kind in ("help", "metavar"):
        for keys in ((*own, kind), (name, *own, kind)):
            with suppress(KeyError):
                words[kind] = text("command", *keys)
    return words


def _speak() -> None:
    """Have `argparse` say its own words in the language chosen.

    It asks for each by the name ``_``, which stands for gettext there.
    """

    def said(message: str) -> str:
        try:
            return str(text("command", "argparse", message))
        except KeyError:
            return message

    vars(argparse)["_"] = said
    vars(argparse)["ngettext"] = lambda one, many, n: said(one if n == 1 else many)
