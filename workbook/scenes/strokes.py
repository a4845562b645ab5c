"""A stroke that is played: one set-up from take-up on, the clamp staying or not."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Literal

import numpy as np

from workbook.mechanics.pull.stroke import stroke_path

if TYPE_CHECKING:
    from workbook.scenes.setups import Setup, SolvedPull

SUBSTEPS = 12  # to the end of a stroke; the clamp's place is good to a micrometre


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


def followed(setup: Setup) -> SolvedPull:
    """Solve a set-up, or many, whose clamp has followed from take-up to its stroke.

    Where the way cannot be followed to its end the clamp is where it was hooked on,
    and the rig refused for what it lacks there.

    Parameters
    ----------
    setup : Setup
        The set-ups, each at its own stroke.

    Returns
    -------
    SolvedPull
        Its rig has the clamp where it is then.

    Raises
    ------
    WorkbookError
        If a single rig does not stand there.

    Examples
    --------
    >>> from workbook.scenes.setups import Setup
    >>> out = followed(Setup(values={"stroke_mm": 100}))
    >>> round(float(out.followed), 3)
    0.129
    """
    taken_up, stroke = setup.rig(stroke=0.0), setup.array("stroke_mm")
    path = stroke_path(
        replace(taken_up, full_stroke=stroke),
        ram_force=1.0,
        points=2,
        substeps=SUBSTEPS,
    )
    there = path.clamp[..., -1, :]
    stands = path.pull.stands[..., -1, None]
    clamp = np.where(stands, there, setup.clamp)
    return setup.solved(replace(taken_up, clamp=clamp, stroke=stroke))
