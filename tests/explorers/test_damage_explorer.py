"""The explorer of kinds of damage against tapes and fits worked by hand."""

import numpy as np
import pytest

from widgets import EXPLORERS
from workbook.figures.drawing.views import VIEWS, Viewpoint
from workbook.figures.pictures import subjects
from workbook.figures.subject import Look
from workbook.quantities.units import METRIC
from workbook.scenes.damaged_box import POINTS, SPECIFIED, BoxGiven
from workbook.scenes.fields import starts

DAMAGE = subjects()["damage"]


def solved(**values):
    return DAMAGE.solve({**starts(DAMAGE.fields), **values})


def numbers(**values):
    return dict(DAMAGE.numbers(solved(**values), METRIC))


def picture(view=None, **values):
    look = Look(system=METRIC, view=view)
    return DAMAGE.sheets(solved(**values), look).picture


def mark(sheet, name, panel=0):
    return next(m for m in sheet.panels[panel].drawing.marks if m.name == name)


def test_twelve_millimetres_of_diamond_set_the_diagonals_19_apart():
    # sqrt(1412^2 + 1100^2) - sqrt(1388^2 + 1100^2) = 18.9 mm; the sides stay 1400 mm.
    told = numbers(diamond_mm=12)

    assert told["diagonal difference"] == "18.9 mm"
    assert told["left side, length"] == told["right side, length"] == "1400.0 mm"
    assert told["read as diamond"] == "12.0 mm"


def test_twelve_millimetres_of_one_sided_mash_shorten_one_side_and_one_diagonal():
    # sqrt(1400^2 + 1100^2) - sqrt(1388^2 + 1100^2) = 9.4 mm.
    told = numbers(mash_mm=12, mash_side="left")

    assert told["diagonal difference"] == "9.4 mm"
    assert told["left side, length"] == "1388.0 mm"
    assert told["right side, length"] == "1400.0 mm"
    assert told["share that no kind explains"] == "0%"


def test_what_turns_the_front_is_twist_and_what_only_lowers_it_is_not():
    # A turn of 1 degree over 1100 mm: 1100 * 0.017453 = 19.2 mm at the front corners.
    turned, low = solved(twist_deg=1), solved(sag_mm=19)

    left, right = turned.differences[:2, 2] * 1e3
    assert left - right == pytest.approx(19.2, abs=0.05)
    assert np.degrees(turned.twist) == pytest.approx(1, abs=1e-3)
    assert low.twist == pytest.approx(0, abs=1e-12)
    lowered = (low.differences[:, 2] * 1e3).round(3).tolist()
    assert lowered == [-19, -19, -9.5, -9.5, 0, 0]


def test_a_sag_half_way_is_lowest_there_and_level_at_both_ends():
    low = solved(sag_mm=10, sag_lowest="half-way").differences[:, 2] * 1e3

    assert low.round(3).tolist() == [0, 0, -10, -10, 0, 0]


def test_a_corner_alone_is_none_of_the_kinds():
    # By least squares of its 18 readings on the kinds' columns, worked apart from the
    # engine with NumPy's own solver.
    alone = solved(corner_mm=10)
    basis = np.stack(
        [solved(**{f: 1}).differences.ravel() for f in FIELDS_OF_KINDS], axis=1
    )
    moved = np.zeros(SPECIFIED.shape)
    moved[0, 0] = -0.010

    left = moved.ravel() - basis @ np.linalg.lstsq(basis, moved.ravel())[0]

    share = (left @ left) / (moved.ravel() @ moved.ravel())
    assert alone.reading.share_unexplained == pytest.approx(share)
    assert share > 0.2
    assert solved(mash_mm=10, twist_deg=1).reading.share_unexplained < 1e-12


FIELDS_OF_KINDS = ("mash_mm", "sidesway_mm", "sag_mm", "twist_deg", "diamond_mm")


def test_each_survey_scatters_in_its_own_way_as_far_as_is_set():
    surveys = [
        solved(scatter_mm=2, survey=name).differences
        for name in DAMAGE.fields["survey"].options
    ]

    assert len({survey.tobytes() for survey in surveys}) == 4
    # Of 72 normal readings the root mean square is within a quarter of the true one.
    assert np.std(surveys) == pytest.approx(0.002, rel=0.25)
    assert solved(scatter_mm=1).differences * 2 == pytest.approx(surveys[0])


def test_scatter_alone_is_read_as_no_kind():
    for name in DAMAGE.fields["survey"].options:
        drawing = DAMAGE.beside(solved(scatter_mm=1, survey=name), system=METRIC)
        seen = {mark.name for mark in drawing.panels[1].drawing.seen}

        assert "bar in scatter sidesway" in seen


def test_the_frame_is_bent_ten_times_what_was_read_and_points_stand_where_measured():
    sheet = picture(mash_mm=10, corner_mm=6)
    result = solved(mash_mm=10, corner_mm=6)

    bent = mark(sheet, "left lower damaged").points[-1]
    straight = mark(sheet, "left lower specified").points[-1]
    point = next(
        m for m in sheet.panels[0].drawing.marks if m.name == "measured left front"
    )
    gap = mark(sheet, "unexplained left front").points

    sizes = result.reading.sizes
    moved = [-sizes.mash - sizes.diamond / 2, sizes.sidesway]
    assert bent - straight == pytest.approx(10 * np.array(moved))
    assert point.at - straight == pytest.approx([-0.16, 0])
    assert gap[1] == pytest.approx(point.at)
    assert gap[0] == pytest.approx(bent)


def test_words_and_table_have_the_same_numbers():
    explorer = EXPLORERS["damage"]()
    explorer.set(diamond_mm=12, twist_deg=0.5, scatter_mm=0.5)

    words = explorer.stage.frame["words"]
    told = dict(explorer.subject.numbers(explorer.result, explorer.system))
    assert "Held fixed: specified box, 1400 mm long" in words
    assert f"diagonal is {told['right-front diagonal']}" in words
    assert f"diamond +{told['read as diamond']}" in words
    apart = told["diagonal difference"]
    assert f"{apart} apart" in words
    for name in POINTS:
        reading = explorer.result.differences[POINTS.index(name), 0] * 1e3
        assert told[f"{name}, ahead"] == f"{reading:.1f} mm".replace("-", "−")


@pytest.mark.parametrize("kind", ["mash", "sidesway", "sag", "diamond", "twist"])
def test_a_hand_moves_a_kind_as_far_as_its_grip_goes(kind):
    view = Viewpoint(azimuth=0.2, elevation=0.5)
    name = {"twist": "twist_deg"}.get(kind, f"{kind}_mm")
    sheets = [picture(view, **{name: value}) for value in (0, 1)]
    first, second = (
        DAMAGE.grips(solved(**{name: value}), view, sheet)[kind]
        for value, sheet in zip((0, 1), sheets, strict=True)
    )

    assert second.at - first.at == pytest.approx(first.way, rel=1e-6)
    assert first.moved(first.way) == pytest.approx(1)


def test_from_above_no_hand_follows_what_goes_up_or_down():
    grips = DAMAGE.grips(solved(), VIEWS["above"], picture(VIEWS["above"]))

    locked = {kind for kind, grip in grips.items() if grip.at_the_reader}
    assert locked == {"sag", "twist"}


def test_a_mix_is_kept_to_its_limits():
    with pytest.raises(ValueError, match="outside"):
        BoxGiven(values={"mash_mm": 21})
