"""Fonts of printed pages: the typesetter's, the machine's, and the reader's own.

Which letters they lack the typesetter itself is asked: a letter that no font has is
drawn as is one that no font can have.
"""

from __future__ import annotations

import atexit
import json
import shutil
from collections.abc import Iterable, Iterator, Sequence
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, NamedTuple, cast

import typst

from workbook.errors import FormError
from workbook.language import say, shown

KINDS = (".ttf", ".otf", ".ttc", ".otc")
MOST_NAMED = 12  # names that are told one by one
NO_LETTER = "\U0010fffe"  # stands for nothing, in no font
_LETTERS = b"""
#let d = json(bytes(sys.inputs.data))
#set page(width: auto, height: auto, margin: 1pt)
#set text(font: ("Libertinus Serif", ..d.families))
#for letter in d.letters { page(text(letter)) }
"""


class FontsAtHand(NamedTuple):
    """What pages are set with; ``families`` are those of the reader's own fonts."""

    fonts: typst.Fonts
    families: Sequence[str]


@cache
def fonts_with(own: Path | None = None) -> FontsAtHand:
    """Return the fonts at hand, with the reader's own.

    Parameters
    ----------
    own : Path, optional
        Its file, or a folder of several. They serve for letters that our own lacks,
        before any other does.

    Raises
    ------
    FormError
        If there is no font in it.
    OSError
        If it cannot be read.
    """
    if own is None:
        return FontsAtHand(typst.Fonts(), ())
    if own.stat() and not (own.is_dir() or own.suffix.lower() in KINDS):
        raise FormError("font.no_font", file=shown(own.name), kinds=KINDS)
    folder = own.absolute() if own.is_dir() else _alone(own)
    fonts = typst.Fonts(font_paths=[folder])
    families = dict.fromkeys(
        one.family
        for one in fonts.fonts()
        if one.path and Path(one.path).is_relative_to(folder)
    )
    if not families:
        raise FormError("font.no_font", file=shown(own.name), kinds=KINDS)
    return FontsAtHand(fonts, [*families])


def _alone(file: Path) -> Path:
    """Return a folder that holds a font alone: typst goes through all of a folder."""
    folder = TemporaryDirectory(ignore_cleanup_errors=True)
    atexit.register(folder.cleanup)  # it is read when its letters are first needed
    shutil.copyfile(file, Path(folder.name, file.name))
    return Path(folder.name)


def lacking(letters: Iterable[str], own: Path | None = None) -> str:
    """Return those letters that no font at hand has.

    Examples
    --------
    >>> lacking("Zoë")
    ''
    """
    asked = [NO_LETTER, *dict.fromkeys(letters)]
    at_hand = fonts_with(own)
    data = json.dumps({"letters": asked, "families": at_hand.families})
    made: Any = typst.compile(
        cast("Any", _LETTERS),
        format="svg",
        font_paths=cast("Any", at_hand.fonts),
        sys_inputs={"data": data},
    )
    drawn = made if isinstance(made, list) else [made]
    pairs = zip(asked[1:], drawn[1:], strict=True)
    return "".join(letter for letter, svg in pairs if svg == drawn[0])


def notes_on_names(names: Sequence[str], own: Path | None = None) -> Iterator[str]:
    """Yield a sentence for each name with letters that no font at hand has."""
    lacks = {*lacking("".join(names), own)}
    told = [name for name in names if lacks & {*name}]
    for name in told[:MOST_NAMED]:
        letters = [shown(one) for one in dict.fromkeys(name) if one in lacks]
        yield say("classroom", "letters", "lacks", name=shown(name), letters=letters)
    if len(told) > MOST_NAMED:
        yield say("classroom", "letters", "lack_too", count=len(told) - MOST_NAMED)
    if told:
        yield say("classroom", "letters", "other_font" if own else "name_a_font")
