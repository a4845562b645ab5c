"""Labels of every explorer but the pull lie on nothing, in every room and view."""

from collections import defaultdict
from dataclasses import replace

import numpy as np
import pytest
from label_checks import CORNERS, boxes_of, each_once, in_trouble, meet

from workbook.course import lessons
from workbook.errors import WorkbookError
from workbook.figures.drawing.expected import Expected
from workbook.figures.drawing.labels import settle
from workbook.figures.drawing.rooms import GAP, ROOMS
from workbook.figures.drawing.views import VIEWS
from workbook.figures.pictures import subjects
from workbook.figures.subject import Look
from workbook.quantities.units import INCH, METRIC
from workbook.scenes.fields import Choice, starts

OTHERS = sorted({*subjects()} - {"pull"})  # which has a page of its own
RANDOM = 500
FEWER = {
    "springback": 40,
    "sheet edge": 100,
    "steps": 60,
}  # each follows a rail from its hit
ELSEWHERE = 5  # of them one in so many is drawn for a phone, and for a projector
GRIP = 8  # px, half as wide as the handle of what can be taken is drawn
TURNED = [  # the hit is taken close to what stands there
    starts(subjects()["hit"].fields) | {"from_deg": np.deg2rad(turn)}
    for turn in range(-75, 80, 10)
]
BARS = "bar "  # their words stand before and behind them, in rows


def numbers(name):
    fields = subjects()[name].fields
    return {n: f for n, f in fields.items() if not isinstance(f, Choice)}


def of_the_course(name):
    """Return the start, and the starts and named set-ups of every lesson."""
    start = starts(subjects()[name].fields)
    named = [
        {**start, **one.values(called)}
        for lesson in lessons().values()
        for one in lesson.explorers
        if one.subject == name
        for called in ("start", *one.named)
    ]
    return each_once([start, *named])


def slider_ends(name):
    return each_once(
        {**base, n: end}
        for base in of_the_course(name)
        for n, f in numbers(name).items()
        for end in (f.low, f.high)
    )


def by_chance(name):
    rng, fields, start = np.random.default_rng(11), numbers(name), of_the_course(name)
    found = []
    for k in range(FEWER.get(name, RANDOM)):
        few = rng.choice([*fields], size=min(3, len(fields)), replace=False)
        drawn = {n: rng.uniform(fields[n].low, fields[n].high) for n in few}
        drawn = {n: fields[n].checked(v) for n, v in drawn.items()}
        found.append({**start[k % len(start)], **drawn})
    return found


def together(name, rows):
    """Yield set-ups that differ in numbers only, as arrays, with how many they are."""
    fields = numbers(name)
    alike = defaultdict(list)
    for row in rows:
        alike[tuple(v for n, v in row.items() if n not in fields)].append(row)
    for some in alike.values():
        arrays = {n: np.array([row[n] for row in some]) for n in fields}
        yield {**some[0], **arrays}, len(some)


def sheets_of(name, rows, room):
    """Yield what is drawn of each set-up that stands: from one view after another."""
    subject, views = subjects()[name], [None]
    if subject.in_space is not None:
        views += [*VIEWS.values(), *CORNERS.values()]
    for values, count in together(name, rows):
        try:
            solved = subject.solve(values)
        except WorkbookError:
            continue  # nothing stands with such a choice
        for at, view in enumerate(views):
            look = Look(system=subject.units(METRIC), room=ROOMS[room], view=view)
            of_this = [k for k in range(count) if k % len(views) == at]
            of_this = [k for k in of_this if solved.stands[k]]
            if of_this:
                many = subject.sheets(solved, look)
                yield from (many.at(k) for k in of_this)


def troubled(sheets):
    """Return a label of each panel that lies on something, and how many panels."""
    found, drawn = [], 0
    for sheet in (sheet for one in sheets for sheet in one.each):
        if not all(map(in_rows, sheet.panels)):
            for panel in settle(sheet)[0].panels:
                if not in_rows(panel):
                    found += in_trouble(panel, sheet.letters)[:1]
                    drawn += 1
    return found, drawn


def in_rows(panel):
    """Tell whether the words of a panel stand in rows, and not where there is room."""
    names = (mark.name for mark in panel.drawing.moving)
    return any(name.startswith((BARS, "stop")) for name in names)


@pytest.mark.parametrize("room", sorted(ROOMS))
@pytest.mark.parametrize("rows", [of_the_course, slider_ends])
@pytest.mark.parametrize("name", OTHERS)
def test_labels_lie_on_nothing(name, rows, room):
    # Each from every side, where there are sides.
    views = 1 + (subjects()[name].in_space is not None) * len({*VIEWS, *CORNERS})
    all_round = [row for row in rows(name) for _ in range(views)]
    some = all_round if rows is of_the_course else rows(name)

    found, drawn = troubled(sheets_of(name, some, room))

    assert found == []
    assert drawn >= len(some) / 2


def test_no_label_lies_under_what_can_be_taken():
    view, seen, found = VIEWS["home"], 0, []
    for name in OTHERS:
        subject = subjects()[name]
        if subject.grips is None:
            continue
        for values in (*of_the_course(name), *(TURNED if name == "hit" else ())):
            solved = subject.solve(values)
            sheet = subject.sheets(solved, Look(system=METRIC, view=view)).picture
            panel = settle(sheet)[0].panels[0]
            for grip, taken in subject.grips(solved, view, sheet).items():
                seen += 1
                for label, box in boxes_of(panel, sheet.letters).items():
                    off = np.maximum(box[:2] - taken.at, taken.at - box[2:])
                    if np.hypot(*np.maximum(off, 0)) < GRIP:
                        found.append((name, grip, label))

    assert found == []
    assert seen > 60


@pytest.mark.parametrize("room", sorted(ROOMS))
@pytest.mark.parametrize("name", OTHERS)
def test_labels_of_set_ups_by_chance_lie_on_nothing(name, room):
    some = by_chance(name)[:: 1 if room == "page" else ELSEWHERE]

    found, drawn = troubled(sheets_of(name, some, room))

    # Seen from a corner, a very few of the wildest leave no way round a hatched zone.
    assert len({label for label, _ in found}) <= 1
    assert len(found) <= 0.01 * len(some)
    assert drawn > len(some) / 2


@pytest.mark.parametrize("room", sorted(ROOMS))
@pytest.mark.parametrize(
    "one",
    [one for lesson in lessons().values() for one in lesson.explorers if one.observe],
    ids=lambda one: f"{one.lesson} {one.name}",
)
def test_what_is_expected_has_its_words_clear_of_all_else(one, room):
    subject = subjects()[one.subject]
    amount = one.observe.amount
    if amount not in subject.expects:
        return
    values = [one.values(**changes) for changes in ({}, *one.observe.at)]
    for solved in (subject.solve({**starts(subject.fields), **v}) for v in values):
        shown, kind = subject.told(solved)[amount]
        for share in (0.25, 0.6, 1.0, 1.7):
            guess = Expected(amount=amount, value=share * shown, kind=kind, within=0.02)
            for view in (None, *VIEWS.values()) if subject.in_space else (None,):
                look = Look(
                    system=subject.units(METRIC),
                    room=ROOMS[room],
                    view=view,
                    expected=guess,
                )
                found, _ = troubled([subject.sheets(solved, look)])
                assert found == [], (share, view)


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


@pytest.mark.parametrize("room", sorted(ROOMS))
@pytest.mark.parametrize("system", [METRIC, INCH], ids=lambda system: system.name)
@pytest.mark.parametrize("force", [5, 25, 60, 100])
def test_the_load_path_keeps_its_words_apart_and_whole_in_every_room(
    force, system, room
):
    pull, wide = subjects()["pull"], ROOMS[room].picture[0]
    solved = pull.solve({**starts(pull.fields), "ram_force_kn": force})
    # As a page has it, and where a reader has asked for larger letters.
    for letters in (1.0, 1.1):
        larger = replace(ROOMS[room], letters=letters * ROOMS[room].letters)
        look = Look(system=system, room=larger, extras=["load path"])

        (sheet,) = pull.sheets(solved, look).more

        assert sheet.width == wide + (room == "projector") * larger.beside[0]
        assert sheet.letters == larger.letters
        assert_words_apart_and_whole(*sheet.panels, sheet.letters)


@pytest.mark.parametrize("system", [METRIC, INCH], ids=lambda system: system.name)
def test_the_load_path_stands_over_the_split_where_a_lesson_wants_it(system):
    pull, page = subjects()["pull"], ROOMS["page"]
    for force in (5, 25, 60, 100):
        solved = pull.solve({**starts(pull.fields), "ram_force_kn": force})
        look = Look(system=system, room=page, extras=["load path"])
        split = pull.beside(solved, system=system, room=page)

        sheets = replace(pull, first_beside="load path").sheets(solved, look)

        first, *rest = sheets.beside.panels
        assert sheets.more == ()
        assert sheets.beside.width == page.beside[0]
        assert sheets.beside.height == first.height + GAP + split.height
        tops = [panel.top - first.height - GAP for panel in rest]
        assert tops == pytest.approx([panel.top for panel in split.panels])
        assert_words_apart_and_whole(first, 1.0)


def assert_words_apart_and_whole(panel, letters):
    boxes = boxes_of(panel, letters)
    assert len(boxes) == 13  # a name and words of each of six parts, and the rating's
    for name, box in boxes.items():
        others = np.array([b for other, b in boxes.items() if other != name])
        assert not meet(box[:2], box[2:], others[:, :2], others[:, 2:]).any(), name
        assert (box[:2] >= 0).all(), name
        assert (box[2:] <= (panel.width, panel.height)).all(), name
