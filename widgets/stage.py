"""The stage of an explorer: one picture, its numbers and its words.

The kernel sends all of it in one message; the browser lays it out, tells a
screen reader once the controls rest, and passes single keys back.
"""

from __future__ import annotations

import re
from dataclasses import replace
from html import escape
from pathlib import Path
from typing import TYPE_CHECKING, Any

import anywidget
import traitlets

from workbook.figures.drawing.labels import settle
from workbook.figures.drawing.rooms import ROOMS
from workbook.figures.drawing.svg import render, style_sheet
from workbook.language import say, text

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from workbook.figures.drawing.labels import Places
    from workbook.figures.drawing.marks import Sheet
    from workbook.figures.drawing.rooms import Room, Sheets

HERE = Path(__file__).parent
IMPORT = re.compile(r'^import [^;]* from "\./(\w+\.js)";\n', re.MULTILINE)


def module(name: str, done: set[str] | None = None) -> str:
    """Return a script after those that it imports, as one module: each of them once.

    A page takes one module of a widget. Names at the top of scripts must differ.
    """
    done = set() if done is None else done
    done.add(name)
    script = (HERE / name).read_text("utf-8")
    before = [module(one, done) for one in IMPORT.findall(script) if one not in done]
    return "".join([*before, IMPORT.sub("", script)])


def styles(*names: str) -> str:
    """Return some style sheets as one."""
    return "".join((HERE / name).read_text("utf-8") for name in names)


def shares() -> str:
    """Return the CSS of how picture and split share the width of a projector."""
    room = ROOMS["projector"]
    widths = {"wide": room.picture[0], "beside": room.beside[0]}
    rules = ";".join(f"--pw-{name}:{width:g}fr" for name, width in widths.items())
    return f".pw-explorer{{{rules}}}"


class Stage(anywidget.AnyWidget):
    """Shows a result, or the reason of a refusal over what can be drawn of it.

    ``frame`` is what the browser shows: SVG, HTML, and the words to be spoken;
    ``says`` what the page itself says round it. The page tells how much ``room`` it
    has and how large ``letters`` of a picture are to be; ``widths`` is how wide a
    picture is drawn for each room. ``space`` is what the page needs to turn the
    picture, and ``move`` the newest move of the reader's hand in it.
    """

    _esm = module("stage.js")
    _css = style_sheet() + shares() + styles("stage.css", "hand.css")
    frame = traitlets.Dict().tag(sync=True)
    says = traitlets.Dict().tag(sync=True)
    room = traitlets.Enum([*ROOMS], "page").tag(sync=True)
    letters = traitlets.Float(1.0).tag(sync=True)
    widths = traitlets.Dict().tag(sync=True)
    space = traitlets.Dict().tag(sync=True)
    # A message of its own: changes of traits wait for one another's answers.
    move = traitlets.Dict()

    def __init__(
        self,
        *,
        on_key: Callable[[str], None],
        on_play: Callable[[Mapping[str, Any]], None],
        space: Mapping[str, object],
    ) -> None:
        self._count = 0
        self._places: dict[str, Places] = {}
        self._on_key, self._on_play = on_key, on_play
        says = {**text("explorer", "page"), **text("hand", "page")}
        given = {"says": says, "widths": WIDTHS, "space": dict(space)}
        super().__init__(frame=self._frame(), **given)
        self.on_msg(self._heard)

    def _heard(
        self, _widget: object, content: Mapping[str, Any], _more: object
    ) -> None:
        if "move" in content:
            self.move = content["move"]
        elif "key" in content:
            self._on_key(content["key"])
        else:
            self._on_play(content)

    @property
    def drawn_for(self) -> Room:
        """The room that pictures are drawn for now."""
        room = ROOMS[self.room]
        return replace(room, letters=room.letters * self.letters)

    def show(
        self,
        sheets: Sheets | None,
        *,
        three: Sequence[tuple[str, str]] = (),
        numbers: Sequence[Sequence[str]] = (),
        words: str,
        spoken: str = "",
        loaded: str = "",
        over: str = "",
        hand: Mapping[str, object] | None = None,
    ) -> None:
        """Show pictures, three numbers, all of them as rows, and a few sentences.

        A projector, which has no list of set-ups, says which is ``loaded``. What is
        said ``over`` the picture must not be passed over.

        Where a ``hand`` moves something, labels stay in their places if they can.
        """
        hand = hand or {}
        keep = bool(hand.get("moving"))
        parts = self.drawn(sheets, three=three, numbers=numbers, words=words, keep=keep)
        spoken = spoken or words
        told = {"loaded": escape(loaded), "refusal": _framed(over)}
        self.frame = self._frame(**parts, spoken=spoken, **told, **hand)

    def drawn(
        self,
        sheets: Sheets | None,
        *,
        three: Sequence[tuple[str, str]] = (),
        numbers: Sequence[Sequence[str]] = (),
        words: str,
        keep: bool,
    ) -> dict[str, str]:
        """Return what goes into each part of the page."""
        beside = sheets and sheets.beside
        more = sheets.more if sheets else ()
        picture = ""
        if sheets:
            # What is said in the words below it is not read aloud twice.
            below = str(sheets.picture.text) in words
            name = say("explorer", "page", "picture") if below else ""
            picture = self._svg("picture", sheets.picture, keep, name)
        return {
            "picture": picture,
            "beside": self._svg("beside", beside, keep) if beside else "",
            "more": "".join(map(_as_wide_as_drawn, more)),
            "three": _big(three),
            "numbers": _table(numbers),
            "words": escape(words),
        }

    def _svg(self, name: str, sheet: Sheet, keep: bool, named: str = "") -> str:
        before = self._places.get(name) if keep else None
        settled, self._places[name] = settle(sheet, before=before, keep=keep)
        return render(settled, name=named)

    def refuse(
        self,
        reason: str,
        sheets: Sheets | None = None,
        *,
        hand: Mapping[str, object] | None = None,
    ) -> None:
        """Show the reason of a refusal over what can be drawn of it, if anything."""
        words = say("explorer", "refused", reason=reason)
        picture = self._svg("picture", sheets.picture, keep=False) if sheets else ""
        self.frame = self._frame(
            picture=picture, refusal=_framed(words), spoken=words, **(hand or {})
        )

    def _frame(self, **shown: object) -> dict[str, object]:
        self._count += 1
        return {**dict.fromkeys(PARTS, ""), **shown, "count": self._count}


WIDTHS = {room.name: room.picture[0] for room in ROOMS.values()}
PARTS = (
    "picture", "refusal", "beside", "more", "three", "loaded", "numbers", "words",
    "spoken",
)  # fmt: skip


def _as_wide_as_drawn(sheet: Sheet) -> str:
    """Return a further picture that grows no wider than it was drawn for."""
    return f'<div style="max-width:{sheet.width:g}px">{render(sheet)}</div>'


def _framed(words: str) -> str:
    return words and f'<p class="pw-refusal">{escape(words)}</p>'


def _big(numbers: Sequence[tuple[str, str]]) -> str:
    return "".join(
        f"<p><b>{escape(value)}</b> <span>{escape(name)}</span></p>"
        for name, value in numbers
    )


def _table(numbers: Sequence[Sequence[str]]) -> str:
    named = escape(say("explorer", "page", "numbers"))
    rows = "".join(_row(row) for row in numbers)
    return f'<table aria-label="{named}">{rows}</table>'


def _row(row: Sequence[str]) -> str:
    name, *values = map(escape, row)
    if not name:  # heads of columns have none
        heads = "".join(f'<th scope="col">{value}</th>' for value in values)
        return f"<tr><td></td>{heads}</tr>"
    cells = "".join(f"<td>{value}</td>" for value in values)
    return f'<tr><th scope="row">{name}</th>{cells}</tr>'
