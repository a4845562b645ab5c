"""Scenes on which arrows are drawn: the points where one can act, and the scale.

Everything stands in its place, so that an arrow drawn at a point has its direction.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import cos, hypot, pi, sin
from typing import TYPE_CHECKING

from workbook.exercises.answers.draw_it import DrawIt
from workbook.figures.drawing.marks import Arrow, Label, Line, Marker, Polygon
from workbook.figures.drawing.named import arc
from workbook.figures.sketches.parts import View, towards
from workbook.language import say

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from workbook.exercises.answers.draw_it import DrawnArrow
    from workbook.exercises.engine import Variant
    from workbook.exercises.replay import Work
    from workbook.figures.drawing.marks import Mark, Point
    from workbook.figures.sketches.parts import Words

HEIGHT, FULL = 340.0, 96.0  # of the picture, and of an arrow of full length
SHORT, LONG = 12.0, 150.0  # pixels of the shortest and longest arrow that is shown
WRONG = "✗"
HEAD, CLAMP = (205.0, 222.0), (190.0, 168.0)
MIDDLE, ACROSS, AHEAD = (170.0, 182.0), 150.0, 112.0  # of a body's clamps; its hook
RAM, PULL, ANCHOR, CHAIN = 104.0, 150.0, 122.0, 130.0  # how far the other ends are


def _head_places(*, ram: float, anchor: float, pull: float) -> dict[str, Point]:
    return {
        "H": HEAD,
        "C": towards(HEAD, pi + pull, PULL),
        "A": towards(HEAD, -anchor, ANCHOR),
        "B": towards(HEAD, pi + ram, RAM),
    }


def _clamp_places(*, between: float) -> dict[str, Point]:
    return {
        "C": CLAMP,
        "F": towards(CLAMP, 0.0, CHAIN),
        "S": towards(CLAMP, between, CHAIN),
    }


def _body_places(*, offset: float, width: float) -> dict[str, Point]:
    x, y = MIDDLE
    across = ACROSS / width
    return {
        "L": (x, y + ACROSS / 2),
        "R": (x, y - ACROSS / 2),
        "H": (x + AHEAD, y + across * offset),
    }


def head_to_draw(words: Words, *, ram: float, anchor: float, pull: float) -> list[View]:
    """Draw head, ram and both legs thinly, with four points where arrows can act.

    Words: ``ram``, ``anchor`` and ``pull`` for their angles, ``force`` of the ram, and
    ``wanted``.
    """
    at = _head_places(ram=ram, anchor=anchor, pull=pull)
    listed = (words[name] for name in ("force", "ram", "anchor", "pull"))
    marks: list[Mark] = [
        Line([HEAD, (412, HEAD[1])], "reference"),
        Line([at["B"], HEAD], "extension"),
        Line([at["C"], HEAD], "take-up"),
        Line([HEAD, at["A"]], "anchor core"),
        *_points(at),
        *_list(listed, words["wanted"]),
    ]
    return [View(words["caption"], marks, HEIGHT)]


def clamp_to_draw(words: Words, *, between: float) -> list[View]:
    """Draw a clamp and the chains to two far ends, with points where arrows can act.

    Words: ``first``, ``second``, ``between``, and ``wanted``.
    """
    at = _clamp_places(between=between)
    marks: list[Mark] = [
        Line([CLAMP, at["F"]], "take-up"),
        Line([CLAMP, at["S"]], "anchor core"),
        Line(arc(CLAMP, 34, 0.0, between), "angle"),
        Label(
            towards(CLAMP, between / 2, 52.0), words["between"], "angle text", (0, 0)
        ),
        *_points(at),
        *_list((words["first"], words["second"]), words["wanted"]),
    ]
    return [View(words["caption"], marks, HEIGHT)]


def line_to_draw(words: Words, *, between: float, wanted: float) -> list[View]:
    """Draw a clamp, the chains to two far ends, and the line both are to pull along.

    Words: ``first``, ``between``, ``line`` for the wanted one and ``wanted``.
    """
    at = _clamp_places(between=between)
    marks: list[Mark] = [
        Line([CLAMP, towards(CLAMP, wanted, CHAIN)], "wanted"),
        Line([CLAMP, at["F"]], "take-up"),
        Line([CLAMP, at["S"]], "anchor core"),
        Line(arc(CLAMP, 34, 0.0, wanted), "angle"),
        *_points(at),
        *_list((words["first"], words["between"], words["line"]), words["wanted"]),
    ]
    return [View(words["caption"], marks, HEIGHT)]


def body_to_draw(words: Words, *, offset: float, width: float) -> list[View]:
    """Draw a body from above, with points where arrows can act: hook and both sides.

    Words: ``pull``, ``offset``, ``width``, and ``wanted``.
    """
    at = _body_places(offset=offset, width=width)
    x, y = MIDDLE
    half, ahead = ACROSS / 2 - 6, x + AHEAD - 34
    body = [
        (x - 86, y - half),
        (ahead, y - half),
        (ahead, y + half),
        (x - 86, y + half),
    ]
    marks: list[Mark] = [
        Polygon(body, "body"),
        Line([(x - 130, y), (412, y)], "reference"),
        Line([(ahead, at["H"][1]), at["H"]], "sill"),
        Line([(ahead, y - half), (ahead, y + half)], "sill"),
        *_points(at),
        *_list((words["pull"], words["offset"], words["width"]), words["wanted"]),
    ]
    return [View(words["caption"], marks, HEIGHT)]


def _points(at: Mapping[str, Point]) -> list[Mark]:
    """Mark the points, each with its letter away from the others."""
    marks: list[Mark] = []
    for letter, (x, y) in at.items():
        others = [point for name, point in at.items() if name != letter]
        dx = x - sum(x for x, _ in others) / len(others)
        dy = y - sum(y for _, y in others) / len(others)
        far = hypot(dx, dy)
        marks += [
            Marker((x, y), "disc", "head"),
            Label((x, y), letter, "strong text", (18 * dx / far, -18 * dy / far)),
        ]
    return marks


def _list(texts: Iterable[str], wanted: str) -> list[Mark]:
    """Return what is given as lines at the foot, and what is wanted at the top."""
    lines = [text for text in texts if text]
    return [
        *(
            Label((8, 14 + 18 * k), text, "small text", (0, 0), "start")
            for k, text in enumerate(reversed(lines))
        ),
        Label((8, HEIGHT - 26), wanted, "strong text", (0, 0), "start"),
    ]


PLACES: Mapping[str, Callable[..., dict[str, Point]]] = {
    "head_to_draw": _head_places,
    "clamp_to_draw": _clamp_places,
    "line_to_draw": lambda *, between, wanted: _clamp_places(between=between),
    "body_to_draw": _body_places,
}


@dataclass(frozen=True, kw_only=True)
class Board:
    """Where arrows can be drawn: places by letter, y down, and pixels of a newton."""

    places: Mapping[str, Point]
    scale: float


def board(variant: Variant) -> Board:
    """Return where arrows can be drawn on the sketch of an exercise.

    Examples
    --------
    >>> from workbook.exercises import exercise
    >>> from workbook.exercises.engine import variant_from
    >>> legs = {"ram_angle": 55.0, "anchor_angle": 45.0, "pull_angle": 20.0}
    >>> on = board(variant_from(exercise("7.8"), {"ram_force": 40.0, **legs}))
    >>> on.places["H"], round(40e3 * on.scale)
    ((205.0, 118.0), 96)
    """
    answer, sketch = variant.exercise.answer, variant.exercise.sketch
    assert isinstance(answer, DrawIt)
    assert sketch is not None
    at = PLACES[sketch.scene](**sketch.numbers(variant.given))
    return Board(
        places={letter: (x, HEIGHT - y) for letter, (x, y) in at.items()},
        scale=FULL / answer.full_size(variant.given),
    )


def drawn_back(work: Work) -> list[Mark]:
    """Return the arrows of the last answer on their sketch, and in the end the right.

    One that is wrong has a cross and its number; a force without a right arrow gets one
    with its name.
    """
    variant, last = work.variant, work.last
    answer = variant.exercise.answer
    if not isinstance(answer, DrawIt):
        return []
    marks: list[Mark] = []
    made = answer.read(work.typed, variant.given).made or () if last else ()
    if made:
        seen = answer.seen(made, variant)
        signs = [WRONG if k in seen.wrong else "" for k in range(len(made))]
        names = [f"{sign} {k}" if sign else "" for k, sign in enumerate(signs, 1)]
        marks += _arrows(variant, made, role="part", names=names)
    if work.given_up or (last is not None and last.answer_shown):
        forces = [f for f in answer.forces(variant.given) if not f.has_one_of(made)]
        names = [say("outcome", answer.says, "force", force.name) for force in forces]
        right = [force.arrow for force in forces]
        marks += _arrows(variant, right, role="wanted", names=names)
    return marks


def _arrows(
    variant: Variant, made: Sequence[DrawnArrow], *, role: str, names: Sequence[str]
) -> list[Mark]:
    on = board(variant)
    marks: list[Mark] = []
    for arrow, name in zip(made, names, strict=True):
        x, y = on.places[arrow.at]
        tail = (x, HEIGHT - y)
        long = min(max(arrow.size * on.scale, SHORT), LONG)
        tip = towards(tail, arrow.angle, long)
        marks.append(Arrow(tail, tip, role))
        if name:  # beyond the tip, where the reader's own number may stand
            along, up = cos(arrow.angle), sin(arrow.angle)
            align = "start" if along > -0.3 else "end"
            beyond = (26 * along, -26 * up)
            if abs(along) < 0.3:
                beyond = (18.0, 0.0)
            elif abs(up) < 0.3:  # the far end of a chain may lie there
                beyond = (0.0, -18.0)
            marks.append(Label(tip, name, "strong text", beyond, align))
    return marks
