"""A stroke that is played: one set-up at every step from take-up to the ram's end."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from workbook.mechanics.pull.stroke import stroke_path

if TYPE_CHECKING:
    from workbook.scenes.setups import Setup, SolvedPull


def strokes(
    setup: Setup, *, steps: int = 61, clamp: Literal["stays", "follows"] = "follows"
) -> SolvedPull:
    """Solve a set-up at evenly spaced strokes, all in one call.

    Two models of what the metal does stand in for it, and neither knows its strength:
    a clamp that ``stays`` gives no way, so that only the chain stretches; one that
    ``follows`` goes along the pull leg as far as the leg draws it, the leg keeping
    its length. What is held fixed is held at every step.

    Parameters
    ----------
    setup : Setup
        One set-up; its own stroke does not count.
    steps : int
        How many, take-up and the end of the ram's stroke among them.
    clamp : {"stays", "follows"}
        What the clamp does.

    Returns
    -------
    SolvedPull
        Of shape (steps,): its values have the stroke at each step, its rig has the
        clamp where it is then; a step that does not stand is refused.

    Raises
    ------
    WorkbookError
        If the clamp is to do something else, or nothing stands with such a chain.

    Examples
    --------
    >>> from workbook.scenes.setups import Setup
    >>> played = strokes(Setup(), steps=3)
    >>> played.setup.values["stroke_mm"].tolist()
    [0.0, 100.0, 200.0]
    >>> played.pull.side_angle.shape
    (3,)
    """
    taken_up = setup.rig(stroke=0.0)
    path = stroke_path(taken_up, ram_force=1.0, clamp=clamp, points=steps)
    at_each = {**setup.values, "stroke_mm": path.stroke * 1e3}
    rig = replace(taken_up, clamp=path.clamp, stroke=path.stroke)
    return replace(setup, values=at_each).solved(rig)
