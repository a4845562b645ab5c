"""Scenes of a bay from above: people and loaded chains, who stands off a line."""

from __future__ import annotations

from string import ascii_lowercase
from typing import TYPE_CHECKING

import numpy as np

from workbook.figures.drawing.marks import Label, Line, Marker, Polygon, Strokes
from workbook.figures.drawing.named import arc
from workbook.figures.sketches.parts import WIDTH, View, dimension, role_of

if TYPE_CHECKING:
    from workbook.figures.drawing.marks import Mark
    from workbook.figures.sketches.parts import Words
    from workbook.mechanics.vectors import Array

ENDS = ("clamp_one", "anchor_one", "clamp_two", "anchor_two")
# The bay in metres: forward and left, from the middle of the car; the car in it.
FORWARD, LEFT = (-4.5, 6.0), (-3.9, 3.9)
NOSE, TAIL, HALF = 2.2, -2.4, 0.85
SCALE = WIDTH / (FORWARD[1] - FORWARD[0])  # px per metre
ABOVE, ROW = 116.0, 18.0  # px, for the caption and the words below it, and each of them
HIGH = SCALE * (LEFT[1] - LEFT[0]) + ABOVE


def bay_from_above(words: Words, *, places: Array) -> list[View]:
    """Draw a bay to scale: people by letter, then both ends of each chain, in metres.

    Words: ``half_angle`` of the wedges, and ``clamp_one`` and the other ends.
    """
    at = _px(places)
    people, ends = at[:-4], at[-4:].reshape(2, 2, 2)
    marks: list[Mark] = [
        Strokes(_metres(), "grid"),
        *_car(),
        *(Line([*chain], "pull leg") for chain in ends),
        *(Marker(chain[0], "square", "clamp") for chain in ends),
        *(Marker(chain[1], "diamond", "anchor") for chain in ends),
        *(Marker(spot, "ring", "head") for spot in people),
        *(
            Label(spot, letter, "strong text", (11, -9))
            for letter, spot in zip(ascii_lowercase, people, strict=False)
        ),
        *(
            Label(
                (8, HIGH - 32 - ROW * row), words[name], "small text", (0, 0), "start"
            )
            for row, name in enumerate(("half_angle", *ENDS))
        ),
    ]
    return [View(words["caption"], marks, HIGH)]


def _px(places: Array) -> Array:
    """Return places of the bay in pixels of the view."""
    return np.asarray(SCALE * (places - (FORWARD[0], LEFT[0])))


def _metres() -> Array:
    """Return a line at every whole metre, both ways, (n, 2, 2)."""
    ahead = np.arange(np.ceil(FORWARD[0]), FORWARD[1])
    aside = np.arange(np.ceil(LEFT[0]), LEFT[1])
    upright = [[(x, LEFT[0]), (x, LEFT[1])] for x in ahead]
    level = [[(FORWARD[0], y), (FORWARD[1], y)] for y in aside]
    return _px(np.array([*upright, *level]))


def _car() -> list[Mark]:
    """Draw the car from above, its nose to the right, and its middle."""
    body = [
        (TAIL, -HALF), (TAIL, HALF), (1.6, HALF), (NOSE, 0.6), (NOSE, -0.6),
        (1.6, -HALF),
    ]  # fmt: skip
    glass = [(0.4, -0.7), (0.4, 0.7)]
    return [
        Polygon(_px(np.array(body)), "body"),
        Line(_px(np.array(glass)), "reference"),
        Marker(_px(np.zeros(2)), "cross", "angle"),
    ]


def beside_a_chain(words: Words) -> list[View]:
    """Draw a person beside the line of a chain, seen from above.

    Words: ``along`` and ``aside``, ``angle``, ``clamp`` and ``person``.
    """
    start, hook, end = (16.0, 52.0), (110.0, 52.0), (404.0, 52.0)
    person = (262.0, 150.0)
    turn = np.arctan2(person[1] - hook[1], person[0] - hook[0])
    foot = (person[0], hook[1])
    marks: list[Mark] = [
        Line([start, hook], "pull leg"),
        Line([hook, end], "reference"),
        Line([hook, person], "angle"),
        Line(arc(hook, 70, 0.0, turn), "angle"),
        *dimension((hook[0], 26), (foot[0], 26), words["along"], shift=(0, 13)),
        *dimension(foot, person, words["aside"], shift=(8, 0), align="start"),
        Marker(hook, "square", "clamp"),
        Marker(person, "ring", "head"),
        Label(hook, words["clamp"], "strong text", (-8, -16)),
        Label(person, words["person"], "strong text", (0, -16)),
        Label((60, 112), words["angle"], role_of(words["angle"]), (0, 0), "start"),
    ]
    return [View(words["caption"], marks, 190.0)]
