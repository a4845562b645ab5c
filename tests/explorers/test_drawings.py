"""One description, two renderers: the same marks, readable, in light and dark."""

import re
from collections import Counter
from xml.etree import ElementTree

import numpy as np
import pytest
from matplotlib import colors

from workbook.figures.drawing.labels import settle
from workbook.figures.drawing.marks import Arrow, Label, Line, Marker, Polygon
from workbook.figures.drawing.on_axes import figure_of
from workbook.figures.drawing.rooms import ROOMS
from workbook.figures.drawing.styles import INK, PAPER, STYLES, contrast, css_name
from workbook.figures.drawing.svg import render, standalone
from workbook.figures.pictures import subjects
from workbook.figures.subject import Look

SVG = "{http://www.w3.org/2000/svg}"
NUMBER = re.compile(r"−?\d+(?:\.\d+)?(?:°| (?:kN|N|mm|J|lbf|in)\b)")


@pytest.fixture
def sheets(made, settings):
    """Every sheet of an explorer in every setting, for a screen and a projector."""
    drawn = []
    explorer = made()
    explorer.freeze()
    for setting in settings:
        explorer.set(**{**explorer.start, **setting})
        for room in (ROOMS["page"], ROOMS["projector"]):
            look = Look(
                system=explorer.system,
                ghosts=explorer.compare.ghosts,
                room=room,
            )
            sheets = explorer.subject.sheets(explorer.result, look).each
            drawn += [settle(sheet)[0] for sheet in sheets]
    return drawn


def plain(explorer):
    """Return the sheets of an explorer's answer with nothing frozen."""
    look = Look(system=explorer.system)
    return explorer.subject.sheets(explorer.result, look).each


def marks(sheet):
    return [mark for panel in sheet.panels for mark in panel.drawing.seen]


def kinds(sheet):
    return Counter(type(mark) for mark in marks(sheet))


def words(sheet):
    """Return what is written in a sheet."""
    labels = [mark.text for mark in marks(sheet) if isinstance(mark, Label)]
    return Counter([*labels, *(panel.drawing.caption for panel in sheet.panels)])


def test_every_mark_appears_on_the_screen(sheets):
    for sheet in sheets:
        (root,) = ElementTree.fromstring(render(sheet))

        drawn = Counter(element.tag.removeprefix(SVG) for element in root)
        tips = sum("pw-tip" in element.get("class", "") for element in root)
        count = kinds(sheet)
        round_marks = sum(
            isinstance(m, Marker) and m.shape in {"disc", "ring"} for m in marks(sheet)
        )
        assert drawn["polyline"] == count[Line]
        assert drawn["line"] == tips == count[Arrow]
        assert drawn["circle"] == round_marks
        assert drawn["polygon"] == (
            count[Polygon] + count[Arrow] + count[Marker] - round_marks
        )
        assert Counter(t.text or "" for t in root.iter(f"{SVG}text")) == words(sheet)


def test_every_mark_appears_in_print_where_it_is_on_the_screen(sheets):
    for sheet in sheets:
        root = ElementTree.fromstring(render(sheet))
        (axes,) = figure_of(sheet).axes

        count = kinds(sheet)
        assert len(axes.lines) == count[Line] + count[Arrow] + count[Marker]
        assert len(axes.patches) == count[Polygon] + count[Arrow]
        assert Counter(text.get_text() for text in axes.texts) == words(sheet)
        lines = [line.get_xydata() for line in axes.lines if len(line.get_xydata()) > 2]
        paths = [
            np.array([p.split(",") for p in element.get("points").split()], dtype=float)
            for element in root.iter(f"{SVG}polyline")
        ]
        paths = [path for path in paths if len(path) > 2]
        assert len(lines) == len(paths)
        for line, path in zip(lines, paths, strict=True):
            assert line == pytest.approx(path, abs=0.051)  # SVG: a tenth of a pixel


def test_the_screen_and_a_file_are_well_formed_and_named(sheets):
    for sheet in sheets:
        root = ElementTree.fromstring(render(sheet))
        file = ElementTree.fromstring(standalone(sheet))

        assert root.get("role") == "img"
        assert root.get("aria-label") == sheet.text
        # Its letters and numbers are not read aloud one by one besides.
        assert [(part.tag, part.get("aria-hidden")) for part in root] == [
            (f"{SVG}g", "true")
        ]
        looks = file.find(f"{SVG}style").text
        assert all(f".{css_name(mark.role)}" in looks for mark in marks(sheet))


def test_the_same_description_gives_the_same_picture(made, moved):
    first, second = made(moved), made(moved)

    for one, other in zip(plain(first), plain(second), strict=True):
        assert render(one) == render(other)
        assert one is not other


@pytest.mark.parametrize("subject", ["pull", "bridle"], indirect=True)
def test_forces_drawn_end_to_end_close(sheets):
    closed = 0
    for sheet in sheets:
        for panel in sheet.panels:
            if "end to end" not in panel.drawing.caption:
                continue
            arrows = [m for m in panel.drawing.moving if isinstance(m, Arrow)]
            size = max(np.ptp([*a.tail, *a.head]) for a in arrows)
            following = [*arrows[1:], arrows[0]]
            for arrow, after in zip(arrows, following, strict=True):
                assert arrow.head == pytest.approx(after.tail, abs=1e-6 * size)
                assert len(arrows) == 3
            closed += 1
    assert closed >= len(sheets) / 4  # beside every picture of a page


# The pull explorer's side view measures angles that only the picture gives.
@pytest.mark.parametrize("subject", sorted({*subjects()} - {"pull"}), indirect=True)
def test_every_number_written_in_a_picture_is_also_said_beside_it(made, settings):
    for setting in settings:
        explorer = made(setting)

        drawn = {
            number
            for sheet in plain(explorer)
            for panel in sheet.panels
            for mark in panel.drawing.seen
            if mark in panel.drawing.moving and isinstance(mark, Label)
            for number in NUMBER.findall(mark.text.replace("−", ""))
        }

        told = f"{explorer.stage.frame['words']} {explorer.stage.frame['numbers']}"
        told_sizes = {number.lstrip("−") for number in NUMBER.findall(told)}
        assert drawn
        # Along a line is said in words: it has no number.
        assert drawn <= told_sizes | {"0.0°"}


def test_no_words_are_cut_by_the_edge_of_the_sheet(made, settings):
    for setting in settings:
        explorer = made(setting)
        for sheet in plain(explorer):
            figure = figure_of(sheet)
            figure.canvas.draw()

            for text in figure.axes[0].texts:
                box = text.get_window_extent()

                assert box.x0 >= -1, (setting, text.get_text())
                assert box.x1 <= sheet.width + 1, (setting, text.get_text())
                assert box.y0 >= -1, (setting, text.get_text())
                assert box.y1 <= sheet.height + 1, (setting, text.get_text())


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_lines_and_words_stand_out_from_the_paper(theme):
    # WCAG 2.2, 1.4.11 (graphics 3 : 1) and 1.4.3 (text 4.5 : 1).
    for role, style in STYLES.items():
        ink = (style.stroke or INK)[theme]
        least = 4.5 if "text" in role else 3.0
        if style.quiet:  # ground and shade, which nobody need make out
            continue

        assert contrast(ink, PAPER[theme]) >= least, role


def test_contrast_is_that_of_the_standard():
    # WCAG 2.2, contrast ratio: black on white is 21, a colour on itself 1; #767676 is
    # the lightest grey that passes 4.5 on white (W3C, Understanding 1.4.3).
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#0072b2", "#0072b2") == 1
    assert contrast("#767676", "#ffffff") >= 4.5 > contrast("#777777", "#ffffff")


def test_print_shows_dark_paper_where_it_is_asked_for(explorer):
    (sheet,) = plain(explorer)[:1]

    for theme in ("light", "dark"):
        face = figure_of(sheet, theme=theme).get_facecolor()

        assert colors.to_hex(face) == PAPER[theme]
