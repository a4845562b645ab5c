"""The practice bay as PDF: a student's own car, its choices and their results.

Typst sets the pages; all text reaches it as data, never as markup. What is written on
them is typed as lines (`workbook.bay.paper`) and marked as a log is.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache, partial
from importlib.resources import files
from math import ceil
from typing import TYPE_CHECKING, Any

import numpy as np

from workbook.bay.car import VERSION
from workbook.bay.data import as_data, floor_data
from workbook.bay.floor import bay_floor, bench_top
from workbook.bay.job import do, new_job
from workbook.bay.paper import PARTS, PaperPull, paper_pulls
from workbook.bay.questions import ITEMS
from workbook.bay.wording import condition_words, question_words
from workbook.classroom.files import in_name, write_all
from workbook.classroom.press import Press, svg_of
from workbook.equipment import pick, shop
from workbook.exercises.bank.lesson_11 import STEPS
from workbook.exercises.bank.lesson_16 import RECORD
from workbook.exercises.seeds import Stream
from workbook.figures.drawing.marks import Label, Strokes
from workbook.figures.pictures.practice_bay import practice_bay_sheet
from workbook.language import caution, say, text
from workbook.mechanics.pull.linkage import solve_pull
from workbook.quantities.units import METRIC, factor
from workbook.scenes.kestrin import kestrin_points

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence
    from pathlib import Path

    from workbook.bay.car import BayCar
    from workbook.bay.state import Bay
    from workbook.classroom.roll import ClassList
    from workbook.figures.drawing.marks import Mark, Sheet, Window
    from workbook.quantities.units import UnitSystem

Block = dict[str, Any]
TIPS = ("left-tip", "right-tip")
WAYS = ("length", "width", "height")
TEXT_SIZE, SMALL = 9.5, 8.5


def write_bay_papers(
    class_list: ClassList,
    out: Path,
    *,
    margin: float,
    zone_deg: float,
    paper: str,
    system: UnitSystem,
    own_rules: Sequence[str] = (),
    font: Path | None = None,
) -> list[Path]:
    """Write the practice bay on paper: one PDF a student.

    Parameters
    ----------
    class_list : ClassList
        Who gets one.
    out : Path
        Where the files go.
    margin, zone_deg : float
        What the school sets: greatest share of a rating [1], line of fire to either
        side [deg].
    paper : {"a4", "us-letter"}
        Size of the pages.
    system : UnitSystem
        Units of all that is printed but the places, which are in mm.
    own_rules : sequence of str
        What the school asks besides, in its own words.
    font : Path, optional
        For names with letters that ours lacks.

    Raises
    ------
    FormError
        If a number is outside what the bay takes, or a file is not to be touched.
    """
    rules = {"rating_margin": margin, "zone_half_angle_deg": zone_deg}

    def pages(student: str, name: str) -> bytes:
        bay = do(
            new_job(class_key=class_list.key, student=student),
            {"act": "begin", "version": VERSION, **rules},
        )
        title = say("bay", "paper", "title", name=name, code=student)
        blocks = [*_blocks(bay, student, rules, system)]
        if own_rules:
            head = {"kind": "heading", "text": say("session", "head")}
            blocks[1:1] = [head, {"kind": "numbered", "items": [*own_rules]}]
        data = {"title": title, "paper": paper, "s0": caution("S0"), "blocks": blocks}
        return Press(_template(), {}, font=font).pages(data)

    do(new_job(class_key="", student=""), {"act": "begin", "version": VERSION, **rules})
    return write_all(
        out,
        {
            f"bay {in_name(one.code)}.pdf": partial(pages, one.code, one.name)
            for one in class_list.students
        },
    )


@cache
def _template() -> bytes:
    return files(__package__).joinpath("bay.typ").read_bytes()


def _blocks(
    bay: Bay, student: str, rules: dict[str, float], system: UnitSystem
) -> Iterator[Block]:
    """Yield what stands on a student's pages, in order."""
    car = bay.car
    pulls = paper_pulls(
        car,
        margin=rules["rating_margin"],
        half_angle=rules["zone_half_angle_deg"] * factor("deg"),
    )
    first, last = (f"bay_hit.{hit}" for hit in car.hits)
    yield _text("brief", pushed=car.pushed, last=last, first=first)
    yield _heading("noticed")
    yield {"kind": "numbered", "items": [condition_words(c) for c in car.conditions]}
    yield _heading("readings")
    yield _readings(do(bay, {"act": "survey"}))
    yield _heading("choices")
    yield _text("choices_are", show=METRIC.show, top=bench_top())
    yield _set_outs(bay, pulls)
    plan = plan_of(bay, system)
    yield _text("plan_is")
    yield {"kind": "picture", "svg": svg_of(plan).decode(), "says": str(plan.text)}
    yield _text("ratings", ratings=[*_ratings(pulls, system)])
    yield _heading("results")
    yield _text("results_are")
    yield _results(bay.car, pulls)
    yield _heading("questions")
    yield {"kind": "lines", "items": [*_questions(car, system)]}
    yield _heading("to_type")
    yield _text("typed_as")
    floor = bay_floor()
    ties = Stream(student.encode()).shuffled([*floor.ties])
    steps = Stream(student.encode()).shuffled(STEPS)
    yield _table(
        ("line", "meaning"),
        [
            ("code", student),
            ("margin", f"{rules['rating_margin']:g}"),
            ("zone", f"{rules['zone_half_angle_deg']:g}"),
            *((name, _say("of", name)) for name in ("kinds", "order", "stop")),
            ("clamps", _say("of", "clamps", stations=[*floor.stations])),
            ("ties", _say("of", "ties", posts=[*floor.posts])),
            ("cable", _say("of", "cable", ties=ties)),
            ("wait", _say("of", "wait")),
            ("steps", _say("of", "steps", steps=steps)),
            ("pulls", _say("of", "pulls", count=len(PARTS))),
            ("C3 bearing", _say("of", "answers")),
            ("record", _say("of", "record", fields=[*RECORD])),
        ],
        size=SMALL,
    )
    yield {"kind": "text", "text": say("bay", "invented")}


def plan_of(bay: Bay, system: UnitSystem) -> Sheet:
    """Return the bay from above with a line at every metre, to draw and measure on."""
    drawn = practice_bay_sheet(as_data(bay), floor_data(), system=system)
    (panel,) = drawn.panels
    drawing = panel.drawing
    assert drawing.window is not None
    metres = [*_metres(drawing.window)]
    drawing = replace(drawing, moving=[*metres, *drawing.moving])
    return replace(drawn, panels=(replace(panel, drawing=drawing),))


def _metres(window: Window) -> Iterator[Mark]:
    """Yield a line at every whole metre, and what it is called in mm."""
    left, right, low, high = window
    ahead, aside = range(ceil(left), int(right) + 1), range(ceil(low), int(high) + 1)
    ends = [[(x, low), (x, high)] for x in ahead]
    yield Strokes(np.array(ends + [[(left, y), (right, y)] for y in aside]), "grid")
    for x in ahead:
        yield Label((x, high), _mm_of(x), "small text", (0, 10))
    for y in aside:
        yield Label((left, y), _mm_of(y), "small text", (8, -8), "start")


def _mm_of(metres: int) -> str:
    return _plain(float(metres))


def _readings(bay: Bay) -> Block:
    points, (reading,) = kestrin_points(), bay.readings
    assert points.limits is not None
    rows = [
        (name, *_mm(specified), *_mm(reading.differences[name]), _plain(limit))
        for name, specified, limit in zip(
            points.ids, points.positions, points.limits, strict=True
        )
    ]
    return _table(("point", *WAYS, *(f"{way}_off" for way in WAYS), "limit"), rows)


def _set_outs(bay: Bay, pulls: Iterable[PaperPull]) -> Block:
    """Return each choice with all that its angles follow from."""
    rows = []
    for pull in pulls:
        act = pull.act
        hooked = do(do(bay, act), {"act": "valve", "ram": act["ram"], "open": True})
        taut = do(hooked, {"act": "take_up"})
        (ram,) = taut.rams.values()
        rig = ram.at(taut.places[ram.place])
        stands = solve_pull(rig, ram_force=1.0)
        rows.append(
            (
                pull.letter,
                act["place"],
                act["part"],
                _place(rig.base),
                _place(rig.anchor),
                _place(stands.head),
                _plain(rig.ram_length),
                _plain(rig.anchor_leg),
                act["clamp"],
            )
        )
    heads = (
        *("letter", "place", "ram", "base", "anchor", "head"),
        *("ram_length", "anchor_leg", "clamp"),
    )
    return _table(heads, rows, size=SMALL)


def _ratings(pulls: Iterable[PaperPull], system: UnitSystem) -> Iterator[str]:
    """Yield every part that a choice has, with its rating, once."""
    parts: Any = shop()
    floor = bay_floor()
    used = {
        name: pick(of, name).rating
        for pull in pulls
        for name, of in (
            (pull.act["part"], parts.rams),
            (pull.act["head"], parts.heads),
            (pull.act["chain"], parts.chains),
            (pull.act["clamp"], parts.clamps),
            (floor.forks[pull.act["fork"]].name, parts.forks),
        )
    }
    for name, rating in used.items():
        yield _say("rating", show=system.show, name=name, rating=rating)


def _results(car: BayCar, pulls: Iterable[PaperPull]) -> Block:
    rows = []
    for pull in pulls:
        for number, result in enumerate(pull.results, start=1):
            oil = result.air * car.pump_ratio
            told = [_say("let_go"), ""]
            if result.reading is not None:
                of = result.reading.differences
                told = [", ".join(_mm(of[tip])) for tip in TIPS]
            rows.append((f"{pull.letter} {number}", f"{oil:.0f}", *told))
    return _table(("pull", "oil", "left_tip", "right_tip"), rows, halves=True)


def _questions(car: BayCar, system: UnitSystem) -> Iterator[str]:
    for step, items in ITEMS.items():
        for item, asked in items.items():
            words = question_words(car, item, system=system)
            if asked.choices:
                words = _say("one_of", words=words, choices=[*asked.choices])
            yield f"{step} {item}: {words}"


# ---------------------------------------------------------------------------- small


def _say(*keys: str, **values: Any) -> str:
    return say("bay", "paper", *keys, **values)


def _text(entry: str, **values: Any) -> Block:
    return {"kind": "text", "text": _say(entry, **values)}


def _heading(entry: str) -> Block:
    return {"kind": "heading", "text": _say("heading", entry)}


def _table(
    heads: Iterable[str],
    rows: Iterable[Iterable[str]],
    *,
    size: float = TEXT_SIZE,
    halves: bool = False,
) -> Block:
    return {
        "kind": "table",
        "head": [text("bay", "paper", "head", name) for name in heads],
        "rows": [[*row] for row in rows],
        "size": size,
        "halves": halves,  # one half beside the other
    }


def _mm(values: Iterable[float]) -> list[str]:
    return [_plain(value) for value in values]


def _plain(value: float | np.ndarray[Any, Any]) -> str:
    """Return a length in mm to a tenth, with a true minus sign."""
    shown = f"{float(value) / factor('mm'):.1f}".removesuffix(".0")
    return ("0" if shown == "-0" else shown).replace("-", "−")


def _place(at: Iterable[float]) -> str:
    return ", ".join(f"{v / factor('mm'):.0f}".replace("-", "−") for v in at)
