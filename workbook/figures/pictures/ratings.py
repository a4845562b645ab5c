"""What is said of ratings: the parts past theirs first, and whose a limit is."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from workbook.figures.drawing.marks import Drawing, Label, Panel
from workbook.figures.drawing.texts import Text, said

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from workbook.equipment import LoadPath
    from workbook.figures.drawing.texts import Show
    from workbook.scenes.hanging import HungChain

STRIP = 20.0  # height of the line above a picture that says stop [px]


def over(path: LoadPath) -> NDArray[np.str_]:
    """Return how many parts are past their ratings (...): none, part or parts."""
    count = _count(path)
    return np.where(count > 1, "parts", np.where(count > 0, "part", "none"))


def _count(path: LoadPath) -> NDArray[np.int_]:
    return np.asarray(np.sum([part.share > 1 for part in path.parts], axis=0))


def stop_words(path: LoadPath, show: Show, *, brief: bool = False) -> Text:
    """Say which part is past its rating, and furthest; nothing where none is."""
    return said(
        *("rating", "stop", *(["brief"] if brief else []), over(path)),
        show=show,
        count=_count(path),
        part=said("term", "place", path.governing, show=show),
        share=path.largest_share,
        rating=of_governing(path, "rating"),
    )


def of_governing(path: LoadPath, name: str) -> NDArray[Any]:
    """Return something of the part that governs, such as its rating (...)."""
    places = np.array([part.place for part in path.parts])
    at = np.argmax(np.asarray(path.governing)[..., None] == places, axis=-1)
    return np.asarray(np.array([getattr(part, name) for part in path.parts])[at])


def chain_over(
    solved: HungChain, show: Show, *, brief: bool = False
) -> tuple[NDArray[np.str_], Text]:
    """Return whether a hung chain is past its rating, ``chain`` or ``none``, and words.

    What counts is the greatest tension that is told of it: at its ends as it hangs,
    and twice the working tension.
    """
    chain = solved.given.chain
    twice = 2 * solved.given.array("working_kn")
    tension = np.maximum.reduce(
        np.broadcast_arrays(solved.hung.near_tension, solved.hung.far_tension, twice)
    )
    share = tension / chain.rating
    key = np.where(share > 1, "chain", "none")
    words = said(
        *("rating", "stop", *(["brief"] if brief else []), key),
        show=show,
        tension=tension,
        share=share,
        rating=chain.rating,
        basis=said("rating", "basis", chain.basis, show=show),
    )
    return key, words


def first(key: NDArray[np.str_], stop: Text, text: Text, show: Show) -> Text:
    """Return a text with what says stop before it, where something does."""
    return said("rating", "after", key, show=show, stop=stop, text=text)


def strip(
    stop: str | Text, *, width: float, top: float = 0, letters: float = 1.0
) -> Panel:
    """Return a line for the top of a picture that says stop, or stays empty."""
    line = Label((0.0, 0.5), stop, "strong text", (4.0, 0.0), "start", name="stop")
    drawing = Drawing(
        caption="", window=(0.0, 1.0, 0.0, 1.0), moving=[line], true_scale=False
    )
    return Panel(drawing=drawing, left=0, top=top, width=width, height=STRIP * letters)
