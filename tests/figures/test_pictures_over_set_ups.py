"""Pictures over arrays of set-ups are those of each, from a fixed list of marks."""

from functools import cache

import numpy as np
import pytest

from workbook.course import lessons
from workbook.errors import WorkbookError
from workbook.figures.drawing.marks import Label
from workbook.figures.drawing.rooms import ROOMS
from workbook.figures.drawing.svg import render
from workbook.figures.pictures import subjects
from workbook.figures.pictures.arrow import GRID_LINES
from workbook.figures.pictures.pull_load_path import load_path_sheet
from workbook.figures.subject import Look
from workbook.quantities.units import INCH, METRIC
from workbook.scenes.fields import Choice, starts

SUBJECTS = sorted(subjects())
# Choices that change what there is to draw, besides the start's.
CHOICES = {
    "anchoring": [
        {},
        {"hold": "both ways"},
        {"tie": "back"},
        {"tie": "down", "hold": "both ways"},
    ],
    "arrow": [
        {},
        {"held": "useful pull"},
        {"second": "at the same point"},
    ],
    "bridle": [{}],
    "chain sag": [{}, {"set_by": "chain tension"}, {"set_by": "chain sag"}],
    "measuring": [
        {},
        {"shown": "three points", "car": "after the crash", "point": "left-tail"},
        {
            **{"shown": "whole survey", "car": "after the crash"},
            **{"bent": "left-sill-mid", "left_out": "right-sill-rear"},
        },
    ],
    "damage": [{}, {"mash_side": "left", "sag_lowest": "half-way"}],
    "fire": [
        {},
        {"fails": "pull leg", "rams": "three rams", "cable": "through two clamps"},
        {"fails": "clamp", "cable": "over an edge"},
    ],
    "final check": [{}, {"shown": "diagonal", "loaded_point": "left-tip"}],
    "hit": [{}, {"second_corner": "left rear"}],
    "pull": [
        {},
        {"held": "useful pull", "fork": "long fork"},
        {"held": "chain tension"},
        {"chain_at_head": "over a fixed roller"},
    ],
    "pull line": [{}],
    "holding": [{}, {"way": "up"}],
    "rams": [{}, {"second_valve": "closed"}],
    "roller": [{}],
    "springback": [{}, {"stage": "hammered"}, {"stage": "let go"}],
    "sheet edge": [{}, {"clamps": "two"}],
    "steps": [
        {},
        {"moment": "2 let go", "decision_2": "new line"},
        {"moment": "3 under load", "decision_3": "move the clamp"},
    ],
}
CASES = [
    pytest.param(name, choice, id=f"{name} {' '.join(choice.values())}".strip())
    for name in SUBJECTS
    for choice in CHOICES[name]
]
RANDOM = 40
# In turn: a mark stands in one room as in the other, and in both systems.
TURNS = [(system, room) for room in ("page", "projector") for system in (METRIC, INCH)]
RENDERED = 16  # set-ups, of each case; what is rendered is compared of them all
# The choices that say what there is to draw.
WHAT_IS_DRAWN = (
    *("second", "chain_at_head", "fork", "tie"),
    *("shown", "point", "left_out", "stage"),
    *("rams", "fails", "cable", "second_valve", "way"),
    *("moment", "decision_2", "decision_3"),
)


def numbers(name):
    """Return every field of a subject that is a number."""
    fields = subjects()[name].fields
    return {n: f for n, f in fields.items() if not isinstance(f, Choice)}


@cache
def rows(name):
    """Return values for many set-ups, one a row: start, ends of sliders, random."""
    fields = numbers(name)
    start = {n: float(f.start) for n, f in fields.items()}
    found = [start]
    found += [{**start, n: end} for n, f in fields.items() for end in (f.low, f.high)]
    rng = np.random.default_rng(9)
    for _ in range(RANDOM):
        few = rng.choice([*fields], size=min(3, len(fields)), replace=False)
        drawn = {n: rng.uniform(fields[n].low, fields[n].high) for n in few}
        found.append({**start, **{n: fields[n].checked(v) for n, v in drawn.items()}})
    return found


@cache
def single(name, row, choice):
    """Return what one set-up gives, or its refusal."""
    try:
        return subjects()[name].solve({**rows(name)[row], **dict(choice)})
    except WorkbookError as refusal:
        return refusal


@cache
def solved_at_once(name, choice):
    columns = rows(name)
    arrays = {n: np.array([row[n] for row in columns]) for n in columns[0]}
    return subjects()[name].solve({**arrays, **dict(choice)})


def all_at_once(name, choice):
    return solved_at_once(name, tuple(choice.items()))


def sheets_in(room, name, solved, ghost=None, system=METRIC):
    subject = subjects()[name]
    look = Look(
        system=subject.units(system),
        ghosts=[] if ghost is None else [("I", ghost)],
        room=ROOMS[room],
        extras=subject.extras if room == "page" else (),
    )
    return [*subject.sheets(solved, look).each]


def sheets_of(name, solved, ghost=None):
    return [
        sheet
        for room in ("page", "projector")
        for sheet in sheets_in(room, name, solved, ghost)
    ]


def marks_of(sheet):
    return [mark for panel in sheet.panels for mark in panel.drawing.marks]


def same(one, other):
    return np.allclose(one, other, rtol=1e-9, atol=1e-9, equal_nan=True)


@pytest.mark.parametrize(("name", "choice"), CASES)
def test_one_call_stands_where_each_set_up_stands_alone(name, choice):
    many = all_at_once(name, choice)

    for row, stands in enumerate(many.stands):
        alone = single(name, row, tuple(choice.items()))
        assert stands != isinstance(alone, WorkbookError), rows(name)[row]
    assert many.stands.sum() > RANDOM / 3


@pytest.mark.parametrize(("name", "choice"), CASES)
def test_one_call_gives_the_numbers_of_each_set_up(name, choice):
    many = all_at_once(name, choice)
    amounts = subjects()[name].amounts(many)

    for row in np.flatnonzero(many.stands):
        alone = subjects()[name].amounts(single(name, row, tuple(choice.items())))
        assert alone.keys() == amounts.keys()
        for amount, (value, kind) in alone.items():
            array, kind_of_all = amounts[amount]
            found = np.broadcast_to(array, many.stands.shape)[row]
            assert kind == kind_of_all
            assert found == pytest.approx(float(value), rel=1e-9, abs=1e-9, nan_ok=True)


@pytest.mark.parametrize(("name", "choice"), CASES)
def test_one_call_draws_every_mark_of_each_set_up(name, choice):
    many, ghost = all_at_once(name, choice), single(name, 0, ())
    drawn = [sheets_in(room, name, many, ghost, system) for system, room in TURNS]

    for nth, row in enumerate(np.flatnonzero(many.stands)):
        system, room = TURNS[nth % len(TURNS)]
        solved = single(name, row, tuple(choice.items()))
        alone = sheets_in(room, name, solved, ghost, system)
        for sheet, one in zip(drawn[nth % len(TURNS)], alone, strict=True):
            taken = sheet.at(row)
            assert taken.shape == one.shape == ()
            words, amounts = described(taken)
            its_words, its_amounts = described(one)
            assert words == its_words
            assert same(amounts, its_amounts), rows(name)[row]
            if nth < RENDERED:
                # A number just between two pixels' tenths may fall on either.
                assert close(render(taken), render(one)), rows(name)[row]


def described(sheet):
    """Return what is to be seen of one set-up's sheet: as words, and as numbers."""
    words, amounts = [sheet.text], []
    for panel in sheet.panels:
        words.append(str(panel.drawing.caption))
        amounts.append(panel.drawing.window)
        for mark in panel.drawing.marks:
            words += [type(mark).__name__, mark.name, mark.role, mark.visible]
            if mark.visible:
                for part, value in sorted(vars(mark).items()):
                    if isinstance(value, float | np.ndarray | np.generic):
                        words += [part, np.shape(value)]
                        amounts.append(np.ravel(value))
                    else:
                        words += [part, str(value)]
    return words, np.concatenate(amounts)


def close(one, other):
    """Tell whether two SVG texts are one but for the last digit of some places."""
    if one == other:
        return True
    pairs = zip(one.split('"'), other.split('"'), strict=True)
    return all(a == b or near(a, b) for a, b in pairs)


def near(one, other):
    ours, theirs = (np.array(t.replace(",", " ").split(), float) for t in (one, other))
    return np.allclose(ours, theirs, atol=0.1001)


@pytest.mark.parametrize(("name", "choice"), CASES)
def test_the_list_of_marks_is_the_same_for_every_set_up(name, choice):
    lists = set()
    for row in range(len(rows(name))):
        alone = single(name, row, tuple(choice.items()))
        if not isinstance(alone, WorkbookError):
            drawn = [marks_of(sheet) for sheet in sheets_of(name, alone)]
            lists.add(
                tuple(
                    (type(mark).__name__, mark.name, mark.role)
                    for marks in drawn
                    for mark in marks
                )
            )

    assert len(lists) == 1


def test_the_list_of_marks_is_the_same_for_every_set_up_of_the_lessons():
    lists, drawn = {}, 0
    for one in [e for lesson in lessons().values() for e in lesson.explorers]:
        subject = subjects()[one.subject]
        for name in ("start", *one.named):
            values = {**starts(subject.fields), **one.values(name)}
            choice = tuple(values.get(what) for what in WHAT_IS_DRAWN)
            if "free over the ram" in choice:  # which no rig stands with
                continue
            marks = [
                (mark.name, mark.role)
                for sheet in sheets_of(one.subject, subject.solve(values))
                for mark in marks_of(sheet)
            ]
            assert lists.setdefault((one.subject, choice), marks) == marks, (one, name)
            drawn += 1
    assert drawn > 10


@pytest.mark.parametrize(("name", "choice"), CASES)
def test_every_mark_of_a_drawing_has_a_name_of_its_own(name, choice):
    start, ghost = single(name, 0, tuple(choice.items())), single(name, 0, ())

    for sheet in sheets_of(name, start, ghost):
        for panel in sheet.panels:
            names = [(type(m).__name__, m.name) for m in panel.drawing.marks]
            assert len(set(names)) == len(names)
            assert all(name for _, name in names)


@pytest.mark.parametrize(("name", "choice"), CASES)
def test_what_does_not_stand_is_drawn_as_far_as_it_goes(name, choice):
    many = all_at_once(name, choice)
    fallen = np.flatnonzero(~many.stands)

    for sheet in sheets_of(name, many):
        for row in fallen:
            one = sheet.at(row)
            assert one.text == "This does not stand."
            seen = [mark for panel in one.panels for mark in panel.drawing.seen]
            assert not [
                m.text for m in seen if isinstance(m, Label) and "nan" in m.text
            ]
            assert "nan" not in render(one)
    if name == "pull":
        side = sheets_of(name, many)[0].panels[0].drawing.at(fallen[0])
        view = {mark.name for mark in side.seen}
        assert {"clamp", "anchor", "base"} <= view
        assert not {"pull leg", "head"} & view


def test_the_grid_has_lines_enough_for_every_set_up():
    for choice in CHOICES["arrow"]:
        sheet = sheets_of("arrow", all_at_once("arrow", choice))[0]
        marks = sheet.panels[0].drawing.marks

        for way in ("along", "up"):
            last = next(m for m in marks if m.name == f"grid {way} {GRID_LINES - 1}")
            assert not last.shown.any()


def test_a_grid_of_set_ups_and_a_path_are_one_call():
    subject = subjects()["pull"]
    grid = {
        "fork_offset_mm": np.linspace(-200, 200, 5),
        "extension_mm": np.array([[200.0], [300.0], [450.0]]),
    }

    sheet = subject.picture(subject.solve(grid), system=METRIC)

    assert sheet.shape == (3, 5)
    one = {"fork_offset_mm": 100.0, "extension_mm": 450.0}
    alone = subject.picture(subject.solve(one), system=METRIC)
    assert close(render(sheet.at((2, 3))), render(alone))


FALLS = {  # as soon as the ram makes any stroke, past the swivel of its base
    "lean_deg": 32.7,
    "extension_mm": 425.6,
    "clamp_height_mm": 473.8,
    "clamp_distance_mm": 814.3,
    "fork_distance_mm": 290.8,
    "fork_offset_mm": -77.1,
}
HEAVY = {"take_up_kn": 0.1, "chain_size": "16 mm", "clamp_distance_mm": 3000}
PAIR = {"second": "at the same point", "tension_kn": 20, "second_kn": 20}
LIMIT = {"school_limit_deg": 120}


@pytest.mark.parametrize(
    ("name", "mark", "there", "gone"),
    [
        ("arrow", "useful", {"angle_deg": 30}, {"angle_deg": 90}),
        ("arrow", "sideways", {"angle_deg": 30}, {"angle_deg": 0}),
        ("arrow", "together", PAIR, {**PAIR, "between_deg": 180}),
        ("bridle", "past the limit", LIMIT, {}),
        ("bridle", "hatch 1", LIMIT, {}),
        ("roller", "load", {"between_deg": 179}, {"between_deg": 180}),
        ("pull", "way of the head", {}, FALLS),
        ("pull", "ram at full stroke", {}, FALLS),
        ("pull", "chain at take-up", {}, HEAVY),
    ],
)
def test_what_is_not_there_is_listed_and_not_shown(name, mark, there, gone):
    for values, shown in ((there, True), (gone, False)):
        solved = subjects()[name].solve({**starts(subjects()[name].fields), **values})
        sheet = subjects()[name].picture(solved, system=METRIC)
        drawing = sheet.panels[0].drawing

        assert mark in {m.name for m in drawing.marks}
        assert (mark in {m.name for m in drawing.seen}) == shown


@pytest.mark.parametrize(
    ("angle", "words"),
    [
        (30, ["forward", "to the left", "upward"]),
        (-90, ["to the right", "upward"]),
    ],
)
def test_bars_of_parts_are_named_by_the_side_they_pull_to(angle, words):
    solved = subjects()["pull"].solve(
        {**starts(subjects()["pull"].fields), "chain_angle_deg": angle}
    )
    split = subjects()["pull"].beside(solved, system=METRIC).panels[0].drawing

    said = [mark.text for mark in split.seen if mark.name.startswith("label ")]

    assert [word for word in said if word in words] == words


def test_a_part_over_its_rating_has_another_bar_and_only_then():
    force = np.array([5.0, 90.0])
    many = subjects()["pull"].solve({"ram_force_kn": force})
    shares = many.load_path.parts[0].share
    sheet = load_path_sheet(many, system=METRIC)

    seen = [{mark.name for mark in sheet.at(k).panels[0].drawing.seen} for k in (0, 1)]

    assert shares[0] < 1 < shares[1]
    assert "bar ram" in seen[0]
    assert "bar over ram" not in seen[0]
    assert "bar over ram" in seen[1]
    assert "bar ram" not in seen[1]
