"""A small sketch for each exercise: what is given, named, and what is wanted, "?".

Where the answer is a force or a length, angles are drawn as given. Where it is an
angle, or would be seen in the picture, the sketch is not to scale and says so.
"""

from __future__ import annotations

from math import atan2, cos, radians, sin
from typing import TYPE_CHECKING

from workbook.exercises.wording import shown
from workbook.figures.sketches import sketch_scenes as scenes
from workbook.figures.sketches.sketch_scenes import (
    FROM_ABOVE,
    HEIGHT,
    NOT_TO_SCALE,
    TRUE_ANGLES,
)
from workbook.quantities.units import METRIC

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from workbook.exercises.engine import Given, Variant
    from workbook.figures.drawing.marks import Mark, Sheet
    from workbook.quantities.units import UnitSystem

Says = dict[str, str]
TYPICAL_RIG = (radians(70), radians(50), radians(18))  # ram, anchor and pull leg
OUT = 200.0  # pixels for a metre that the head stands outward


def sketch(
    variant: Variant, *, system: UnitSystem = METRIC, carried: bool = False
) -> Sheet | None:
    """Return the sketch of an exercise with these numbers, without its answer.

    Parameters
    ----------
    variant : Variant
        The exercise with its numbers.
    system : UnitSystem
        The reader's units, as in `workbook.exercises.wording.question`.
    carried : bool
        Whether it goes on from the learner's own earlier answer, which the sketch
        then names without a number.

    Returns
    -------
    Sheet or None
        None for an exercise that has no sketch.

    Examples
    --------
    >>> from workbook.exercises import exercise
    >>> from workbook.exercises.engine import variant_from
    >>> copy = variant_from(exercise("2.1"), {"tension": 20.0, "angle": 30.0})
    >>> print(sketch(copy).text)  # doctest: +ELLIPSIS
    Sketch. A chain pulls 20 kN, 30° from the wanted line. Wanted: its ...
    """
    draw = SKETCHES.get(variant.exercise.key)
    if draw is None:
        return None
    says, carry = shown(variant, system), variant.exercise.carry
    if carried and carry:
        says[carry.name] = CARRIED[carry.name]
    return draw(variant.given, says)


CARRIED = {"new_angle": "your angle", "shift": "your shift"}


def _one(caption: str, marks: list[Mark], text: str) -> Sheet:
    return scenes.sheet((caption, marks, HEIGHT), text=f"Sketch. {text}")


def _part_along(g: Given, says: Says) -> Sheet:
    marks = scenes.one_pull(
        g.angle,
        line="wanted line",
        angle_text=f"{says['angle']} from wanted line",
        chain=f"chain {says['tension']}",
        along="useful ?",
    )
    text = (
        f"A chain pulls {says['tension']}, {says['angle']} from the wanted line. "
        "Wanted: its useful part, along that line."
    )
    return _one(f"from above; {TRUE_ANGLES}", marks, text)


def _lift(g: Given, says: Says) -> Sheet:
    marks = scenes.one_pull(
        g.rise,
        line="floor",
        angle_text=f"{says['rise']} from floor",
        chain=f"chain {says['tension']}",
        across="lift ?",
    )
    text = (
        f"From the side: a chain pulls {says['tension']} and rises {says['rise']} "
        "from the floor. Wanted: its upward part."
    )
    return _one(f"from the side; {TRUE_ANGLES}", marks, text)


def _forward(g: Given, says: Says) -> Sheet:
    marks = scenes.one_pull(
        g.angle_from_vertical,
        line="vertical",
        angle_text=f"{says['angle_from_vertical']} from vertical",
        chain=f"chain {says['tension']}",
        along="forward ?",
        from_vertical=True,
    )
    text = (
        f"From the side: a chain pulls {says['tension']}, "
        f"{says['angle_from_vertical']} from the vertical. "
        "Wanted: its forward part, level with the floor."
    )
    return _one(f"from the side; {TRUE_ANGLES}", marks, text)


def _joint_size(g: Given, says: Says) -> Sheet:
    joint = atan2(g.second * sin(g.between), g.first + g.second * cos(g.between))
    marks = scenes.two_pulls(
        g.between,
        joint,
        names=(says["first"], says["second"]),
        sizes=(g.first, g.second),
        between_text=f"{says['between']} between",
        joint_text="joint pull ?",
    )
    text = (
        f"Two chains pull on one point, {says['first']} and {says['second']}, with "
        f"{says['between']} between them. Wanted: the size of the joint pull."
    )
    return _one("angles as given; the joint pull's line only", marks, text)


def _joint_angle(_: Given, says: Says) -> Sheet:
    marks = scenes.two_pulls(
        radians(66),
        radians(30),
        names=(f"first {says['first']}", f"second {says['second']}"),
        sizes=(1.0, 0.8),
        between_text=f"{says['between']} between",
        joint_text="joint pull",
        joint_angle_text="? from first",
    )
    text = (
        f"Two chains pull on one point, the first {says['first']}, the second "
        f"{says['second']}, with {says['between']} between them. Wanted: the angle "
        "from the first to the joint pull. The sketch is not to scale."
    )
    return _one(NOT_TO_SCALE, marks, text)


def _tension(g: Given, says: Says) -> Sheet:
    marks = scenes.one_pull(
        g.angle,
        line="wanted line",
        angle_text=f"{says['angle']} from wanted line",
        chain="chain ?",
        along=f"useful {says['useful_pull']}",
    )
    text = (
        f"A chain runs {says['angle']} from the wanted line. Its useful part, along "
        f"that line, is {says['useful_pull']}. Wanted: the tension in the chain."
    )
    return _one(f"from above; {TRUE_ANGLES}", marks, text)


def _side_force(g: Given, says: Says) -> Sheet:
    marks = scenes.one_pull(
        g.side_angle,
        line="wanted line",
        angle_text=f"side angle {says['side_angle']} from wanted line",
        chain=f"level part {says['level_part']}",
        across="side force ?",
    )
    text = (
        f"From above: the level part of a pull, {says['level_part']}, has a side angle "
        f"of {says['side_angle']} from the wanted line. Wanted: the side force."
    )
    return _one(f"from above; {TRUE_ANGLES}", marks, text)


def _steepness(_: Given, says: Says) -> Sheet:
    marks = scenes.heights(
        head_height=says["head_height"],
        clamp_height=says["clamp_height"],
        distance=says["distance"],
        angle_text="? from level",
    )
    return _one(
        f"from the side, {NOT_TO_SCALE}",
        marks,
        f"{_heights_words(says)} Wanted: the angle of the pull leg from the level. "
        "The sketch is not to scale.",
    )


def _heights_words(says: Says) -> str:
    return (
        f"From the side: ram head H {says['head_height']} above the floor, clamp C "
        f"{says['clamp_height']} above it, {says['distance']} apart, measured level."
    )


def _new_steepness(_: Given, says: Says) -> Sheet:
    marks = scenes.heights(
        head_height=says["head_height"],
        clamp_height=says["clamp_height"],
        distance=says["distance"],
        raised=says["extension"],
        angle_text="? from level",
    )
    text = (
        f"{_heights_words(says)} Then an extension raises the head by "
        f"{says['extension']}. Wanted: the new angle of the pull leg from the level. "
        "The sketch is not to scale."
    )
    return _one(f"from the side, {NOT_TO_SCALE}", marks, text)


def _new_forward(_: Given, says: Says) -> Sheet:
    marks = scenes.heights(
        head_height=says["head_height"],
        clamp_height=says["clamp_height"],
        distance=says["distance"],
        raised=says["extension"],
        angle_text=f"{says['new_angle']} from level",
        tension=says["tension"],
        forward="forward ?",
    )
    text = (
        f"{_heights_words(says)} Then an extension raises the head by "
        f"{says['extension']}: the pull leg carries {says['tension']}, "
        f"{says['new_angle']} from the level. Wanted: its forward part. "
        "The sketch is not to scale."
    )
    return _one(f"from the side, {NOT_TO_SCALE}", marks, text)


def _angles_of(g: Given) -> tuple[float, float, float]:
    return g.ram_angle, g.anchor_angle, g.pull_angle


def _angle_texts(says: Says) -> tuple[str, str, str]:
    return (
        f"{says['ram_angle']} from floor",
        f"{says['anchor_angle']} from floor",
        f"{says['pull_angle']} from level",
    )


def _rig_words(says: Says) -> str:
    return (
        f"From the side: the ram stands {says['ram_angle']} from the floor, the anchor "
        f"leg {says['anchor_angle']} from the floor, and the pull leg "
        f"{says['pull_angle']} from the level; the chain is locked in the head H."
    )


def _split(wanted: str) -> Callable[[Given, Says], Sheet]:
    """Return the sketch of a force split that asks for one of its two legs."""

    def draw(g: Given, says: Says) -> Sheet:
        marks = scenes.rig(
            _angles_of(g),
            angle_texts=_angle_texts(says),
            pull_leg="pull leg ?" if wanted == "pull leg" else "pull leg",
            anchor_leg="anchor leg ?" if wanted == "anchor leg" else "anchor leg",
            above=f"ram force {says['ram_force']}",
        )
        text = (
            f"{_rig_words(says)} The ram pushes {says['ram_force']}. "
            f"Wanted: the tension in the {wanted}."
        )
        return _one(TRUE_ANGLES, marks, text)

    return draw


def _equal_legs(_: Given, says: Says) -> Sheet:
    asked = {**says, "ram_angle": "?"}
    marks = scenes.rig(
        TYPICAL_RIG,
        angle_texts=_angle_texts(asked),
        pull_leg="pull leg",
        anchor_leg="as much",
    )
    text = (
        f"From the side: the anchor leg stands {says['anchor_angle']} from the floor, "
        f"the pull leg {says['pull_angle']} from the level, and both carry as much. "
        "Wanted: the angle of the ram from the floor. The sketch is not to scale."
    )
    return _one(NOT_TO_SCALE, marks, text)


def _travel(g: Given, says: Says) -> Sheet:
    marks = scenes.rig(
        _angles_of(g),
        angle_texts=_angle_texts(says),
        pull_leg="clamp end moves ?",
        anchor_leg="anchor leg",
        above=f"stroke {says['stroke']}",
    )
    text = (
        f"{_rig_words(says)} The ram makes a stroke of {says['stroke']}. "
        "Wanted: how far the clamp end of the chain moves."
    )
    return _one(TRUE_ANGLES, marks, text)


def _slack_eats_stroke(_: Given, says: Says) -> Sheet:
    marks = scenes.rig(
        TYPICAL_RIG,
        pull_leg=f"slack {says['slack_at_hook']}",
        anchor_leg="anchor leg",
        above=f"pull leg {says['ratio']} × ram force",
        beside_ram="stroke ?",
        slack=True,
    )
    text = (
        f"From the side: there is {says['slack_at_hook']} of slack in the pull leg at "
        f"the hook. The pull leg carries {says['ratio']} times the ram force. Wanted: "
        "the stroke that takes up the slack. The sketch is not to scale."
    )
    return _one(NOT_TO_SCALE, marks, text)


def _out_words(says: Says) -> str:
    return f"{says['head_out']} outward"


def _shift(g: Given, says: Says) -> Sheet:
    out = OUT * g.head_out
    side = scenes.offset_from_the_side(
        head_out=out, clamp_height=says["clamp_height"], head_up=says["head_up"]
    )
    above = scenes.offset_from_above(
        head_out=out,
        out_text=_out_words(says),
        offset=says["offset"],
        clamp_distance=says["clamp_distance"],
        fork=says["fork"],
        shift="? sideways",
    )
    text = (
        f"Sketch, from the side and from above, not to scale. Clamp C is "
        f"{says['clamp_distance']} in front of the base B and {says['clamp_height']} "
        f"up, the fork {says['fork']} behind it. Head H stands {_out_words(says)} of "
        f"the base and {says['head_up']} up. Anchor A is {says['offset']} to the left "
        "of the set-out line. Wanted: how far the head moves sideways."
    )
    return scenes.sheet(
        (f"from the side, {NOT_TO_SCALE}", side, 145.0),
        (FROM_ABOVE, above, HEIGHT),
        text=text,
    )


def _side_angle(g: Given, says: Says) -> Sheet:
    marks = scenes.offset_from_above(
        head_out=OUT * g.head_out,
        out_text=_out_words(says),
        offset=says["offset"],
        clamp_distance=says["clamp_distance"],
        shift=says["shift"],
        side_angle="side angle ?",
    )
    text = (
        f"From above, not to scale. Anchor A is {says['offset']} to the left of the "
        f"set-out line, and head H has moved {says['shift']} to the left. Clamp C is "
        f"{says['clamp_distance']} in front of the base B, and the head stands "
        f"{_out_words(says)} of it. Wanted: the side angle of the pull from the "
        "set-out line."
    )
    return _one(FROM_ABOVE, marks, text)


def _even_leg(g: Given, says: Says) -> Sheet:
    marks = scenes.two_legs(
        g.between / 2,
        g.between / 2,
        pull=says["pull"],
        first_leg="each leg ?",
        between=f"{says['between']} between",
    )
    text = (
        f"From above: two equal legs with {says['between']} between them hold a pull "
        f"of {says['pull']}. Wanted: the tension in each leg."
    )
    return _one(f"from above; {TRUE_ANGLES}", marks, text)


def _first_leg(g: Given, says: Says) -> Sheet:
    first, second = says["first_angle"], says["second_angle"]
    marks = scenes.two_legs(
        g.first_angle,
        g.second_angle,
        pull=says["pull"],
        first_leg="first leg ?",
        second_leg="second leg",
        angles=(f"{first} off line of pull", f"{second} off line of pull"),
    )
    text = (
        f"From above: two legs hold a pull of {says['pull']}, the first {first} off "
        f"the line of pull, the second {second} off it on the other side. "
        "Wanted: the tension in the first leg."
    )
    return _one(f"from above; {TRUE_ANGLES}", marks, text)


def _leg_length(g: Given, says: Says) -> Sheet:
    marks = scenes.two_legs(
        g.between / 2,
        g.between / 2,
        first_leg="leg length ?",
        between=f"{says['between']} between",
        spacing=f"{says['spacing']} apart",
    )
    text = (
        f"From above: two clamps {says['spacing']} apart share a bridle of equal legs; "
        f"the largest angle allowed between the legs is {says['between']}. "
        "Wanted: how short each leg may be."
    )
    return _one(f"from above; {TRUE_ANGLES}", marks, text)


def _sag_from_slack(_: Given, says: Says) -> Sheet:
    marks = scenes.hung_chain(
        span=f"span {says['span']}",
        sag="chain sag ?",
        below=f"slack {says['slack']}",
    )
    text = (
        f"A chain hangs level over a span of {says['span']} with {says['slack']} of "
        "slack. Wanted: its chain sag. The sketch is not to scale."
    )
    return _one(NOT_TO_SCALE, marks, text)


def _sag_from_tension(_: Given, says: Says) -> Sheet:
    marks = scenes.hung_chain(
        span=f"span {says['span']}",
        sag="chain sag ?",
        below=f"weighs {says['weight']}",
        at_end=says["tension"],
    )
    text = (
        f"A chain that weighs {says['weight']} hangs level over a span of "
        f"{says['span']} and carries {says['tension']}. Wanted: its chain sag. "
        "The sketch is not to scale."
    )
    return _one(NOT_TO_SCALE, marks, text)


def _tension_from_sag(_: Given, says: Says) -> Sheet:
    marks = scenes.hung_chain(
        span=f"span {says['span']}",
        sag=f"chain sag {says['sag']}",
        below=f"weighs {says['weight']}",
        at_end="tension ?",
    )
    text = (
        f"A chain that weighs {says['weight']} hangs level over a span of "
        f"{says['span']} with a chain sag of {says['sag']}. Wanted: the tension it "
        "carries. The sketch is not to scale."
    )
    return _one(NOT_TO_SCALE, marks, text)


def _energy(_: Given, says: Says) -> Sheet:
    marks = scenes.taut_chain(
        tension=says["tension"],
        length=f"length {says['length']}",
        metre=f"one metre: stiffness {says['stiffness']}",
        energy="stored energy ?",
    )
    text = (
        f"A chain {says['length']} long carries {says['tension']}; one metre of it has "
        f"a stiffness of {says['stiffness']}. Wanted: the energy it stores. "
        "The sketch is not to scale."
    )
    return _one(NOT_TO_SCALE, marks, text)


def _times_the_energy(_: Given, says: Says) -> Sheet:
    marks = scenes.two_springs(
        once="tension T, energy E", more=f"tension {says['times']} × T, energy ? × E"
    )
    text = (
        "A chain drawn as a spring, twice: under a tension T it stores an energy E; "
        f"then the tension is {says['times']} times T. Wanted: how many times E it "
        "stores. The sketch is not to scale."
    )
    return _one(NOT_TO_SCALE, marks, text)


SKETCHES: Mapping[str, Callable[[Given, Says], Sheet]] = {
    "2.1 v1": _part_along,
    "2.2 v1": _lift,
    "2.3 v1": _forward,
    "2.4 v1": _joint_size,
    "2.5 v1": _joint_angle,
    "2.6 v1": _tension,
    "7.1 v1": _steepness,
    "7.2 v1": _split("pull leg"),
    "7.3 v1": _split("anchor leg"),
    "7.4 v1": _equal_legs,
    "7.5 v1": _travel,
    "7.6a v1": _new_steepness,
    "7.6b v1": _new_forward,
    "8.1 v1": _shift,
    "8.2 v1": _side_angle,
    "8.3 v1": _side_force,
    "8.4 v1": _even_leg,
    "8.5 v1": _first_leg,
    "8.6 v1": _leg_length,
    "9.1 v1": _sag_from_slack,
    "9.2 v1": _sag_from_tension,
    "9.3 v1": _tension_from_sag,
    "9.4 v1": _slack_eats_stroke,
    "9.5 v1": _energy,
    "9.6 v1": _times_the_energy,
}
"""How each exercise is sketched, by `Exercise.key`: a new version, a new look."""
