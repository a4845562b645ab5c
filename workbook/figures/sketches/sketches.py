"""A small sketch for each exercise: what is given, named, and what is wanted, "?".

Where the answer is a force or a length, angles are drawn as given. Where it is an
angle, or would be seen in the picture, the sketch is not to scale and says so. The
exercise names the scene and what it is drawn with; its words are among its texts.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from workbook.exercises.wording import sketch_words
from workbook.figures.sketches import (
    bays,
    boards,
    bodies,
    boxes,
    bridles,
    chains,
    holds,
    left_over,
    lines,
    lists,
    looked_over,
    measures,
    metal,
    named,
    points,
    pulls,
    rams,
    rigs,
    slots,
    steps,
)
from workbook.figures.sketches.parts import Words, sheet
from workbook.quantities.units import METRIC

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from workbook.exercises.engine import Variant
    from workbook.figures.drawing.marks import Mark, Sheet
    from workbook.figures.sketches.parts import View
    from workbook.quantities.units import UnitSystem

SCENES: Mapping[str, Callable[..., list[View]]] = {
    draw.__name__: draw
    for draw in (
        *(pulls.one_pull, pulls.rising_pull, pulls.rising_anchor),
        *(pulls.leaning_pull, pulls.two_pulls, pulls.three_lines),
        *(rigs.rig, rigs.typical_rig, rigs.slack_rig, rigs.heights, rigs.to_set_out),
        *(slots.slot, slots.slot_from_above, slots.slot_to_set_out),
        *(boards.head_to_draw, boards.clamp_to_draw),
        *(boards.line_to_draw, boards.body_to_draw),
        *(boxes.skewed_box, boxes.corner_readings),
        *(boxes.twisted_box, boxes.unlike_rails),
        *(bridles.even_legs, bridles.two_legs),
        *(rams.cylinder, rams.load_path),
        *(bodies.pull_off_centre, bodies.pull_ahead_of_clamps),
        *(bodies.four_layouts, lines.rams_on_line, lines.two_on_one_side),
        *(bays.bay_from_above, bays.beside_a_chain),
        *(
            looked_over.hit_from_above,
            looked_over.uneven_gap,
            looked_over.gaps_from_above,
        ),
        *(points.point_from_above, points.point_in_space, points.pull_above_hold),
        *(measures.tilted_base, measures.two_widths, measures.sloping_tape),
        *(measures.difference_in_space, measures.six_limits),
        measures.three_planes,
        *(metal.springback_to_find, metal.three_readings, metal.clamp_at_edge),
        *(metal.two_bars, metal.curve_to_stop_on),
        *(holds.lever_hold, holds.redirect_between, holds.net_lift),
        *(holds.two_hold_downs, holds.four_holds),
        *(lists.twelve_points, lists.six_neighbours),
        *(left_over.left_from_above, left_over.left_in_space),
        *(left_over.before_and_now, left_over.next_force_to_find),
        left_over.two_lines_from_above,
        *(chains.hung_chain, chains.taut_chain, chains.two_springs),
        *(steps.force_triangle, steps.slope_to_bench, steps.line_over_bench),
        *(steps.two_parts, named.named_parts),
    )
}
"""The scenes by name: words and numbers in, views out."""


def sketch(
    variant: Variant,
    *,
    system: UnitSystem = METRIC,
    carried: bool = False,
    over: Sequence[Mark] = (),
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
    over : sequence of Mark
        What is drawn over its first view, such as the arrows of an answer.

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
    Sketch. A chain pulls 20 kN, 30° from the wanted line. Wanted: the ...
    """
    declared = variant.exercise.sketch
    if declared is None:
        return None
    words = sketch_words(variant, system=system, carried=carried)
    drawn = scene(declared.scene, words, **declared.numbers(variant.given))
    first, *more = drawn.panels
    marks = [*first.drawing.moving, *over]
    first = replace(first, drawing=replace(first.drawing, moving=marks))
    return replace(drawn, panels=[first, *more])


def scene(name: str, words: Mapping[str, str], /, **numbers: Any) -> Sheet:
    """Return the sketch of a scene, with its words and what it is drawn with."""
    said = Words(words)
    return sheet(SCENES[name](said, **numbers), text=said["text"])
