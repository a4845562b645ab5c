"""Marks whose places, texts and visibility are arrays over set-ups."""

from xml.etree import ElementTree

import numpy as np
import pytest

from workbook.errors import OutOfRangeError
from workbook.figures.drawing.marks import (
    Arrow,
    Drawing,
    Label,
    Line,
    Marker,
    Panel,
    Polygon,
    Sheet,
    path,
)
from workbook.figures.drawing.named import angle_mark
from workbook.figures.drawing.on_axes import figure_of
from workbook.figures.drawing.save import save
from workbook.figures.drawing.scales import round_up, scale_bar
from workbook.figures.drawing.svg import render
from workbook.figures.drawing.texts import Amount, common_shape, said
from workbook.figures.drawing.windows import window_for
from workbook.quantities.units import METRIC

X = np.array([1.0, 2.0, np.nan])


def sheet():
    """Return a sheet over three set-ups, the last of which has a mark of no place."""
    marks = [
        Line([(0.0, 0.0), (X, 1.0)], "ram", "ram"),
        Polygon([(0, 0), (1, 0), (1, 1)], "body", "body"),
        Marker((X, X), "disc", "head", "head", shown=[True, False, True]),
        Arrow((0, 0), (1, X), "wanted", "wanted"),
        Label((X, 0), Amount(1e3 * X, "force", METRIC.show), name="force"),
    ]
    drawing = Drawing(
        caption="view", window=(0.0, 4.0 * X[:2].max(), 0, 4), moving=marks
    )
    panel = Panel(drawing=drawing, left=0, top=0, width=100, height=100)
    return Sheet(width=100, height=100, panels=(panel,), text="words")


def test_a_sheet_has_the_shape_of_its_set_ups_and_gives_each_of_them():
    many = sheet()

    ones = [many.at(k) for k in range(3)]

    assert many.shape == (3,)
    for one, x in zip(ones, X, strict=True):
        line, _, _, arrow, _ = one.panels[0].drawing.marks
        assert one.shape == ()
        assert np.array_equal(line.points, [(0, 0), (x, 1)], equal_nan=True)
        assert np.array_equal(arrow.head, (1, x), equal_nan=True)
    assert ones[1].panels[0].drawing.marks[-1].text == "2.0 kN"


@pytest.mark.parametrize(
    ("index", "names"),
    [
        (0, ["ram", "body", "head", "wanted", "force"]),
        (1, ["ram", "body", "wanted", "force"]),  # its head is not shown
        (2, ["body"]),  # and here everything else has no place
    ],
)
def test_what_is_not_shown_or_has_no_place_is_drawn_by_nobody(index, names):
    one = sheet().at(index)

    (root,) = ElementTree.fromstring(render(one))
    (axes,) = figure_of(one).axes

    drawing = one.panels[0].drawing
    assert [mark.name for mark in drawing.seen] == names
    arrows = names.count("wanted")
    assert len(root) == len(names) + arrows + 1  # an arrow is two, and the caption
    drawn = len(axes.lines) + len(axes.patches) + len(axes.texts)
    assert drawn == len(names) + arrows + 1


@pytest.mark.parametrize("shape", ["square", "diamond", "triangle", "cross"])
def test_a_printed_marker_has_all_its_edges(shape):
    marker = Marker((0.0, 0.0), shape, "support")
    drawing = Drawing(caption="", window=(-1, 1, -1, 1), moving=[marker])
    panel = Panel(drawing=drawing, left=0, top=0, width=100, height=100)

    (axes,) = figure_of(Sheet(panels=(panel,), width=100, height=100)).axes

    outline = axes.lines[0].get_marker()
    assert outline.codes[-1] == outline.CLOSEPOLY
    assert (outline.vertices[0] == outline.vertices[-1]).all()


def test_a_drawing_without_a_window_shows_nothing():
    many = Drawing(
        caption="", window=(0, X, 0, 1), moving=[Line([(0, 0), (1, 1)], "ram")]
    )

    assert [len(many.at(k).seen) for k in range(3)] == [1, 1, 0]


def test_points_may_each_have_a_shape_of_their_own():
    mixed = path([(0.0, X[:, None]), (np.arange(4.0), 1.0), np.zeros(2)])

    assert mixed.shape == (3, 4, 3, 2)
    assert mixed[1, 2].tolist() == [[0.0, 2.0], [2.0, 1.0], [0.0, 0.0]]


def test_a_text_is_of_the_shape_of_its_keys_and_values_together():
    text = said(
        "kind",
        np.array(["length", "force"]),
        show=METRIC.show,
        inner=Amount(np.ones((3, 1)), "force", METRIC.show),
    )

    assert text.shape == common_shape([text]) == (3, 2)
    assert [text.at((0, k)) for k in (0, 1)] == ["a length", "a force"]


def test_a_window_takes_no_heed_of_points_without_a_place():
    window = window_for([(X, 0.0), (0.3, X)], step=1.0)

    assert np.array(window).tolist() == [[0, 0, 0], [1, 2, 1], [0, 0, 0], [1, 2, 0]]


@pytest.mark.parametrize("step", [1e-9, 0.07, 1.0, 3e5])
def test_round_numbers_of_many_are_those_of_each(step):
    values = step * np.array([[1.0, 1.1, 2.0], [4.9, 5.0, 9.99]])

    rounded = round_up(values, unit=0.3)

    each = [[float(round_up(v, unit=0.3)) for v in row] for row in values]
    assert rounded.tolist() == each
    assert (rounded >= values * (1 - 1e-8)).all()
    assert (rounded <= 2.5 * values).all()


def test_a_number_that_is_round_but_for_rounding_is_round():
    assert float(round_up(50 * (1 + 1e-12))) == pytest.approx(50)


def test_angles_and_scales_broadcast():
    turn = np.array([0.1, 1.0, 3.0])

    line, label = angle_mark((0, 0), 1.0, 0.0, turn, "a", name="lean")
    bar = scale_bar((0.0, turn, 0.0, 1.0), METRIC)

    assert line.points[:, -1, 0] == pytest.approx(np.cos(turn))
    assert label.at[:, 1] == pytest.approx(np.sin(turn / 2))
    assert {mark.batch for mark in bar} == {(3,)}
    assert bar[-1].of(1, (3,)).text == "100 mm"


def test_a_picture_of_no_known_kind_is_refused(tmp_path):
    with pytest.raises(
        OutOfRangeError, match=r"end in \.png, \.svg or \.pdf.*'a\.gif'"
    ):
        save(sheet().at(0), tmp_path / "a.gif")
