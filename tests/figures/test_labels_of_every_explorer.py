"""Labels of arrow, bridle, chain sag and roller lie on nothing, in every room."""

import numpy as np
import pytest
from label_checks import in_trouble

from workbook.course import lessons
from workbook.errors import WorkbookError
from workbook.figures.drawing.labels import settle
from workbook.figures.drawing.rooms import ROOMS
from workbook.figures.drawing.views import VIEWS
from workbook.figures.pictures import subjects
from workbook.figures.subject import Look
from workbook.quantities.units import METRIC
from workbook.scenes.fields import Choice, starts

OTHERS = sorted({*subjects()} - {"pull"})  # which has a page of its own
RANDOM = 100
BARS = "bar "  # their words stand before and behind them, in rows


def rows(name):
    """Return the start, the course's set-ups, slider ends and some by chance."""
    subject = subjects()[name]
    start = starts(subject.fields)
    numbers = {n: f for n, f in subject.fields.items() if not isinstance(f, Choice)}
    found = [start] + [
        {**start, **one.values(called)}
        for lesson in lessons().values()
        for one in lesson.explorers
        if one.subject == name
        for called in ("start", *one.named)
    ]
    found += [
        {**base, n: end}
        for base in found[:6]
        for n, f in numbers.items()
        for end in (f.low, f.high)
    ]
    rng = np.random.default_rng(11)
    for _ in range(RANDOM):
        few = rng.choice([*numbers], size=min(3, len(numbers)), replace=False)
        drawn = {n: rng.uniform(numbers[n].low, numbers[n].high) for n in few}
        found.append({**start, **{n: numbers[n].checked(v) for n, v in drawn.items()}})
    if name == "arrow":
        found += [{**row, "second": "at the same point"} for row in found]
    return found


@pytest.mark.parametrize("room", sorted(ROOMS))
@pytest.mark.parametrize("name", OTHERS)
def test_labels_lie_on_nothing(name, room):
    subject, drawn = subjects()[name], 0
    for values in rows(name):
        try:
            solved = subject.solve(values)
        except WorkbookError:
            continue
        look = {"system": subject.units(METRIC), "room": ROOMS[room]}
        for sheet in (subject.picture(solved, **look), subject.beside(solved, **look)):
            settled, _ = settle(sheet)
            for panel in settled.panels:
                marks = panel.drawing.moving
                if any(mark.name.startswith((BARS, "stop")) for mark in marks):
                    continue
                assert in_trouble(panel, sheet.letters) == [], values
                drawn += 1
    assert drawn > 80


@pytest.mark.parametrize("way", [None, "home"])
@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"shift_mm": 500}, "ring: not between the clamps"),
        ({"between_deg": 180}, "ring: the legs lie flat"),
    ],
)
def test_a_bridle_that_there_is_none_of_is_drawn_as_far_as_it_goes(values, words, way):
    bridle = subjects()["bridle"]
    look = Look(system=METRIC, view=VIEWS.get(way))

    (panel,) = bridle.refused({**starts(bridle.fields), **values}, look).picture.panels

    seen = {mark.name: mark for mark in panel.drawing.seen}
    assert seen["label refused"].text == words
    assert {"fails", "as it would be", "left clamp", "right clamp"} <= {*seen}
    assert not {"left leg", "pull", "ring", "label between"} & {*seen}


@pytest.mark.parametrize("room", ["page", "phone"])
@pytest.mark.parametrize(
    ("name", "values", "words", "drawn"),
    [
        (
            "arrow",
            {"held": "useful pull", "angle_deg": 90},
            "chain: no part along the wanted line",
            {"as it would be", "asked for", "wanted", "angle"},
        ),
        (
            "arrow",
            {"held": "useful pull", "angle_deg": -90, "second": "at the same point"},
            "chain: no part along the wanted line",
            {"as it would be", "asked for", "second"},
        ),
        (
            "chain sag",
            {"slack_mm": 0},
            "straight: no tension is enough",
            {"as it would be", "clamp", "head"},
        ),
        (
            "chain sag",
            {"set_by": "chain sag", "sag_mm": 0, "rise_mm": 400},
            "straight: no tension is enough",
            {"as it would be", "clamp", "head"},
        ),
        (
            "chain sag",
            {"set_by": "chain tension", "take_up_kn": 0.001, "span_mm": 3000},
            "this tension does not carry the chain",
            {"straight", "clamp", "head"},
        ),
    ],
)
def test_what_there_is_none_of_is_drawn_as_far_as_it_goes(
    name, values, words, drawn, room
):
    subject = subjects()[name]
    look = Look(system=subject.units(METRIC), room=ROOMS[room])
    refused = {**starts(subject.fields), **values}
    with pytest.raises(WorkbookError):
        subject.solve(refused)

    sheet, _ = settle(subject.refused(refused, look).picture)

    panel = sheet.panels[0]
    seen = {mark.name: mark for mark in panel.drawing.seen}
    assert seen["label refused"].text == words
    assert {"fails", *drawn} <= {*seen}
    assert not {"chain", "first", "sag", "label first", "label slope at C"} & {*seen}
    left, right, low, top = panel.drawing.window
    x, y = seen["fails"].at
    assert left < x < right
    assert low < y < top
    assert in_trouble(panel, sheet.letters) == []
