"""The explorer of the final check: limits, neighbours, one reading under load."""

import numpy as np
import pytest

from workbook.figures.pictures import subjects
from workbook.figures.pictures.final_check import describe, final_sheet
from workbook.mechanics.metal.rail import follow
from workbook.mechanics.metal.rail_parts import RailStage
from workbook.quantities.units import METRIC
from workbook.scenes.fields import checked
from workbook.scenes.final_list import POINTS, after_the_repair, rail_stiffness
from workbook.scenes.kestrin import kestrin_points
from workbook.scenes.straightening import PULL, front_end, nodes_of

FINAL = subjects()["final check"]
AGAINST = {"second_mm": -2.7}


def solved(**values):
    return FINAL.solve(checked(FINAL.fields, values))


def told(**values):
    return {name: value for name, (value, _) in FINAL.told(solved(**values)).items()}


def test_the_same_sizes_against_each_other_pass_every_limit_and_leave_a_large_step():
    in_step, against = told(), told(**AGAINST)

    for numbers in (in_step, against):
        assert numbers["rows outside their limit"] == 0
        assert numbers["largest difference of the list"] == pytest.approx(2.9e-3)
    # From -2.7 to +2.9; in step the largest is from the mount on to the root.
    assert against["largest step between neighbours"] == pytest.approx(5.6e-3)
    assert in_step["largest step between neighbours"] < 1.5e-3


@pytest.mark.parametrize(
    ("point", "node"), [("left-tip", 8), ("left-cross", 7), ("left-mount", 3)]
)
def test_a_reading_under_load_jumps_as_far_as_the_rail_itself_gives(point, node):
    ends = front_end(0.002)
    pulled = follow(ends, [RailStage(name=PULL, forces={PULL: 8e3})])
    let_go = follow(ends, [RailStage(name="go", forces={PULL: 0.0})], start=pulled)

    off, loaded = solved(), solved(load_kn=8, loaded_point=point)
    jumped = loaded.differences - off.differences
    moved = nodes_of(pulled)[node, 1]
    row = POINTS.index(point)
    assert jumped[row] == pytest.approx(moved, abs=2e-6)
    assert loaded.jump == pytest.approx(8e3 / rail_stiffness(point))
    assert np.delete(jumped, row) == pytest.approx(0, abs=1e-9)
    # Elastic: let go, nothing of it stays.
    assert nodes_of(let_go)[node, 1] == pytest.approx(0, abs=1e-9)


def test_the_list_is_that_of_the_survey_laid_over_its_places():
    ids = kestrin_points().ids
    rows = [ids.index(point) for point in POINTS]

    for axis, shown in enumerate(("length", "width", "height")):
        expected = after_the_repair()[rows, axis]
        found = solved(shown=shown).differences
        keep = [
            k
            for k, p in enumerate(POINTS)
            if axis != 1 or p[5:] not in "cross mid mount"
        ]
        assert found[keep] == pytest.approx(expected[keep], abs=1e-7)


def test_a_diagonal_is_longer_by_what_lies_along_it():
    # Left tip 1540, 440, 420 to right root 900, -440, 420: 640 along and 880 across. A
    # tip that stands 1 mm farther left makes it longer by 880 / 1088.1 mm.
    one, other = (
        solved(shown="diagonal"),
        solved(shown="diagonal", load_kn=1, loaded_point="left-tip"),
    )

    gained = (other.differences - one.differences) / other.jump
    assert gained[2] == pytest.approx(880 / 1088.1, abs=2e-3)
    assert gained[[1, 3, 4, 5]] == pytest.approx(0, abs=1e-9)


def test_only_the_largest_step_is_drawn_with_its_size():
    panels = final_sheet(solved(**AGAINST), system=METRIC).panels
    marks = [mark for panel in panels for mark in panel.drawing.marks if mark.visible]

    assert [m.name for m in marks if m.name.startswith("label step")] == [
        "label step 2"
    ]
    assert "step 5.6 mm" in [str(m.said) for m in marks if hasattr(m, "said")]


def test_a_point_outside_its_limit_is_filled_and_told():
    loaded = solved(load_kn=8)
    marks = final_sheet(loaded, system=METRIC).panels[0].drawing.marks

    filled = [m.name for m in marks if m.visible and m.name.startswith("outside ")]
    assert filled == ["outside 1"]
    words = describe(loaded, system=METRIC)
    assert "One row is outside its limit." in words
    assert "left cross was read under 8.0 kN, and stands 3.1 mm off" in words
    assert "load off" in describe(solved(), system=METRIC)
