"""The load path of one pull: what share of its own rating each part uses."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from workbook.figures.drawing.marks import Drawing, Label, Line, Mark, Panel, Sheet
from workbook.figures.drawing.scales import bar
from workbook.figures.drawing.texts import Text, said, where
from workbook.figures.pictures.ratings import first, of_governing, over, stop_words

if TYPE_CHECKING:
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.setups import SolvedPull

WIDTH, HEIGHT = 640.0, 200.0
LONGEST = 1.25  # ratings; a bar of more is cut off there
WORDS = 1.35  # ratings; where words begin, clear of every bar


def load_path_sheet(solved: SolvedPull, *, system: UnitSystem) -> Sheet:
    """Return the picture of each part's share of its own rating."""
    path, show = solved.load_path, system.show
    marks: list[Mark] = []
    for k, part in enumerate(path.parts):
        words = said(
            *(
                "picture",
                "pull",
                "load_path",
                np.where(part.share > 1, "past", "share"),
            ),
            show=show,
            share=part.share,
            rating=part.rating,
            basis=said("rating", "basis", part.basis, show=show),
        )
        *drawn, value = bar(
            -k,
            np.minimum(part.share, LONGEST),
            said("term", "place", part.place, show=show),
            words,
            "bar part",
            over=part.share > 1,
            name=part.place,
        )
        there = np.isfinite(part.share)
        beside = Label(
            (WORDS, -k), words, "text", (0, 0), "start", name=value.name, shown=there
        )
        marks += [*drawn, beside]
    limit = [(1.0, -5.6), (1.0, 0.7)]
    rating = said("picture", "pull", "load_path", "rating", show=show)
    drawing = Drawing(
        caption=said("picture", "pull", "load_path", "caption", show=show),
        window=(-0.5, 3.6, -6.5, 1.4),
        still=[
            Line(limit, "limit", "limit"),
            Label((1.0, -5.6), rating, "small text", (0, 9), name="label limit"),
        ],
        moving=marks,
        true_scale=False,
    )
    text = where(solved.stands, _text(solved, system), show=show)
    panel = Panel(drawing=drawing, left=0, top=0, width=WIDTH, height=HEIGHT)
    return Sheet(width=WIDTH, height=HEIGHT, text=text, panels=(panel,))


def _text(solved: SolvedPull, system: UnitSystem) -> Text:
    path, show = solved.load_path, system.show
    shown = said(
        *("picture", "pull", "load_path", "describe"),
        show=show,
        part=said("term", "place", path.governing, show=show),
        whose=said("rating", "whose", of_governing(path, "basis"), show=show),
        share=path.largest_share,
        force=path.highest_ram_force,
        pressure=path.highest_pressure,
    )
    return first(over(path), stop_words(path, show), shown, show)
