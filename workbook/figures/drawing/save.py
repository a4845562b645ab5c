"""Drawings as files: PNG, SVG or PDF by the ending of the name."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

from workbook.errors import OutOfRangeError
from workbook.figures.drawing.svg import standalone
from workbook.files import write_whole

if TYPE_CHECKING:
    from pathlib import Path

    from workbook.figures.drawing.marks import Sheet
    from workbook.figures.drawing.styles import Theme


def save(sheet: Sheet, file: Path, *, theme: Theme = "light") -> None:
    """Write a sheet to a file.

    Parameters
    ----------
    sheet : Sheet
        What to draw.
    file : Path
        Where to; its ending says how: .png, .svg or .pdf.
    theme : {"light", "dark"}
        Paper.

    Raises
    ------
    OutOfRangeError
        If the ending is none of these.
    OSError
        If the file cannot be written.
    """
    kind = file.suffix.lower()
    if kind == ".svg":
        write_whole(file, standalone(sheet, theme=theme).encode())
    elif kind in {".png", ".pdf"}:
        from workbook.figures.drawing.on_axes import figure_of

        figure, picture = figure_of(sheet, theme=theme), io.BytesIO()
        figure.savefig(picture, format=kind[1:], dpi=192, facecolor="auto")
        write_whole(file, picture.getvalue())
    else:
        raise OutOfRangeError("picture.ending", file=file.name)
