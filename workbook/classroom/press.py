"""Setting pages and laying them together: typst does both, a part at a time.

A long document set in one go takes some five megabytes a student. So each part is
set by itself, and the whole is made of the parts' finished pages.
"""

from __future__ import annotations

import io
import json
from functools import cache, partial
from typing import TYPE_CHECKING, Any, NamedTuple, cast

import typst

from workbook.classroom.fonts import fonts_with

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence
    from pathlib import Path

    from workbook.figures.drawing.marks import Sheet

TOGETHER = 4  # files joined at a time
IN_ONE_FILE = 32  # students; joining takes some memory for each
KEPT_FOR = 10  # compilations after which typst forgets what it laid out
_JOINED = b"""
#for (file, pages) in json(bytes(sys.inputs.data)) {
  for number in range(1, pages + 1) {
    page(width: auto, height: auto, margin: 0pt, image(file, page: number))
  }
}
"""


def svg_of(sheet: Sheet) -> bytes:
    """Return a sheet as SVG with letters as outlines, the same wherever it is set."""
    from workbook.figures.drawing.on_axes import figure_of  # a key needs none

    stream = io.BytesIO()
    figure_of(sheet).savefig(stream, format="svg", metadata={"Date": None})
    return stream.getvalue()


class Press:
    """A template with its figures; text reaches it as data, never as markup.

    Parameters
    ----------
    template : bytes
        Typst source that reads ``sys.inputs.data``.
    figures : mapping of str to bytes
        SVG files that the template names; nothing else is looked at.
    font : Path, optional
        The reader's own; the template finds its families in ``sys.inputs.families``.
    """

    def __init__(
        self,
        template: bytes,
        figures: Mapping[str, bytes],
        *,
        font: Path | None = None,
    ) -> None:
        self._sources = cast("Any", {"main": template, **figures})
        self._at_hand = fonts_with(font)
        fonts = cast("Any", self._at_hand.fonts)
        self._typst = typst.Compiler(self._sources, font_paths=fonts)

    def pages(self, data: object) -> bytes:
        """Return the pages of one part as PDF."""
        made: object = self._typst.compile(
            input=self._sources, sys_inputs=self._inputs(data)
        )
        assert isinstance(made, bytes)
        return made

    def last_page(self, data: object) -> int:
        """Return the number on a part's last page: what it calls ``<pages>``."""
        found = typst.query(
            self._sources,
            "<pages>",
            field="value",
            one=True,
            sys_inputs=self._inputs(data),
        )
        return int(found)

    def _inputs(self, data: object) -> dict[str, str]:
        families = json.dumps(self._at_hand.families)
        return {"data": json.dumps(data), "families": families}


@cache
def _empty() -> Any:
    return typst.Compiler(cast("Any", {"main": b""}))


def forget() -> None:
    """Give back the memory of what was laid out."""
    for _ in range(KEPT_FOR + 1):
        _empty().compile(input=cast("Any", {"main": b""}))


class PrintedPart(NamedTuple):
    """A PDF file and how many pages it has."""

    file: Path
    pages: int


def kept(pdf: bytes, file: Path, *, pages: int) -> PrintedPart:
    """Keep a part in a file till it is joined."""
    file.write_bytes(pdf)
    return PrintedPart(file, pages)


def for_all(
    name: str, parts: Sequence[PrintedPart], *, count: int
) -> dict[str, Callable[[], bytes]]:
    """Return the files with the pages of all, by name, a class in each.

    Parameters
    ----------
    name : str
        Such as ``"L07 whole class"``; numbered where there are several.
    parts : sequence of PrintedPart
        A student's each; only looked at when a file is made.
    count : int
        How many there will be.

    Examples
    --------
    >>> [*for_all("all", [], count=32)], [*for_all("all", [], count=33)]
    (['all.pdf'], ['all 1.pdf', 'all 2.pdf'])
    """

    def file(first: int) -> bytes:
        return joined(parts[first : first + IN_ONE_FILE])

    firsts = range(0, count, IN_ONE_FILE)
    if len(firsts) == 1:
        return {f"{name}.pdf": partial(file, 0)}
    return {f"{name} {n}.pdf": partial(file, k) for n, k in enumerate(firsts, 1)}


def joined(parts: Sequence[PrintedPart]) -> bytes:
    """Return all pages of parts in one folder as one PDF; a single part as it is."""
    if len(parts) == 1:
        return parts[0].file.read_bytes()
    if len(parts) > TOGETHER:  # in groups first, which takes less memory
        return joined([_group(parts, at) for at in range(0, len(parts), TOGETHER)])
    forget()
    folder = parts[0].file.parent
    source = folder / "joined.typ"
    source.write_bytes(_JOINED)
    listed = json.dumps([(part.file.name, part.pages) for part in parts])
    made: object = typst.compile(
        source,
        root=folder,
        sys_inputs={"data": listed},
        pdf_tags=False,  # each student's own file has them
    )
    assert isinstance(made, bytes)
    return made


def _group(parts: Sequence[PrintedPart], at: int) -> PrintedPart:
    own = parts[at : at + TOGETHER]
    file = own[0].file.with_suffix(".group.pdf")
    return kept(joined(own), file, pages=sum(part.pages for part in own))
