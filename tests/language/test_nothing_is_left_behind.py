"""Every explorer, card, handout and command in a made-up language of long words."""

import html
import random
import re
import shutil
import subprocess
from contextlib import suppress
from dataclasses import replace
from xml.etree import ElementTree

import ipywidgets as ipw
import pytest
from long_words import left_behind

from widgets import (
    EXPLORERS,
    AngleTables,
    EntryCheck,
    ExerciseCard,
    LessonParts,
    QuickCheckCard,
    Refresh,
    TodaysFive,
)
from workbook import course
from workbook.classroom.roll import Student, made_class, write_class
from workbook.classroom.sheets import printed_lessons, sheet_of
from workbook.cli import main
from workbook.cli.commands import COMMANDS
from workbook.equipment import shop
from workbook.exercises import EXERCISES
from workbook.exercises.answers.draw_it import DrawIt
from workbook.exercises.answers.line_it_up import LineItUp
from workbook.exercises.answers.picked import Picked
from workbook.exercises.answers.set_it_out import SetItOut
from workbook.exercises.answers.straighten_it import StraightenIt
from workbook.figures.drawing.on_axes import figure_of
from workbook.figures.drawing.rooms import ROOMS
from workbook.figures.pictures import subjects
from workbook.figures.sketches.sketches import sketch
from workbook.figures.subject import Look
from workbook.language import entries, set_language
from workbook.quantities.units import INCH, METRIC
from workbook.reader.hand_in import write_hand_in
from workbook.reader.record import FILE, Record
from workbook.scenes.kestrin import kestrin_points
from workbook.scenes.quick import CHECKS
from workbook.scenes.set_up_files import to_toml
from workbook.scenes.setups import FIELDS, Setup

NOT_SHOWN = {
    *("act", "name", "focus", "count", "key", "field", "sign", "state", "whose"),
    *("view", "kind", "way", "place"),
}
# Short names, typed by hand below.
TYPED = {"lean", "bearing", "rise", "up", "load", "wall"}
CODE = re.compile(r"(PULL1|LINE1|SPRING1)[-0-9A-Z]+")
HTML = re.compile(r"<(style|svg)\b.*?</\1>|<[^>]*>", re.DOTALL)
# Names: the invented car and its shop's parts, standards, words of codes, units.
PARTS = (part.name for kind in vars(shop()).values() for part in kind)
NAMES = {
    "Kestrin", "CFR", "ROLLER", "BRIDLE", "PULL", "ARROW", "SAG", "SPRING", "EDGE",
    "inch",
    *(word for name in PARTS for word in name.split()),
}  # fmt: skip


def shown_in(part):
    """Return every text of a card's parts that a reader sees."""
    if isinstance(part, str):
        return [text_of_html(part)]
    if isinstance(part, dict):
        for key in {"choices", "ways"} & {*part}:  # each a name and what is shown
            part = {**part, key: [text for _, text in part[key]]}
        kept = {key: value for key, value in part.items() if key not in NOT_SHOWN}
        return [text for value in kept.values() for text in shown_in(value)]
    if isinstance(part, list | tuple):
        return [text for value in part for text in shown_in(value)]
    return []


def text_of_svg(svg):
    """Return what is written in a picture, and what it is called."""
    root = ElementTree.fromstring(svg)
    return " ".join([root.get("aria-label", ""), *root.itertext()])


def text_of_html(html):
    pictures = re.findall(r"<svg\b.*?</svg>", html, re.DOTALL)
    return " ".join([HTML.sub(" ", html), *map(text_of_svg, pictures)])


def text_of_widgets(box):
    """Return what the widgets of a box show, those inside them too."""
    found, waiting = [], [box]
    while waiting:
        one = waiting.pop()
        waiting += getattr(one, "children", ())
        names = ("description", "placeholder", "tooltip")
        found += [getattr(one, name, "") or "" for name in names]
        found += getattr(one, "titles", ())
        if isinstance(one, ipw.HTML):
            found.append(text_of_html(one.value))
        if isinstance(one, ipw.Dropdown | ipw.RadioButtons | ipw.ToggleButtons):
            found += one._options_labels
        found += shown_in(getattr(one, "frame", {}) or {})
    return " ".join(found)


def cut_off(sheet):
    """Return the texts of a picture that its edge would cut."""
    figure = figure_of(sheet)
    figure.canvas.draw()
    boxes = [(t.get_text(), t.get_window_extent()) for t in figure.axes[0].texts]
    return [
        text
        for text, box in boxes
        if box.x0 < -1
        or box.y0 < -1
        or box.x1 > sheet.width + 1
        or box.y1 > sheet.height + 1
    ]


def wrong_answers(card):
    """Return what somebody may type who is wrong in some way."""
    variant, answer = card.task.variant, card.task.exercise.answer
    if isinstance(answer, Picked):
        right = answer.typed(variant.answer)
        return ["a", "a b", "a a", "a 9", "z: no", right[:-3], f"{right} {right}"]
    if isinstance(answer, LineItUp):
        return ["bearing 9 deg", "rise 9 kN", "bearing 9 deg; rise 400 deg", "up 9"]
    if isinstance(answer, StraightenIt):
        return ["load 9 kN", "load 36 kN", "load 9 deg", "load 400 kN", "wall 2 mm"]
    if isinstance(answer, SetItOut):
        ends = [{name: FIELDS[name].high} for name in answer.free]
        code = answer.places(variant)["code"]
        return [*map(answer.typed, ends), "lean 9", "lean 9 kN", code, code[:-1] + "U"]
    if isinstance(answer, DrawIt):
        right, first = answer.typed(variant.answer), answer.hooks[0]
        few, long, extra = (
            f"{first} 1° 1 kN",
            right + "000",
            f"{right}; {first} 9° 1 kN",
        )
        return [few, long, extra, "9", f"{first} 9 m", f"{first} 1° 1", "Z 1° 1 kN"]
    return [f"{value:.6g} N" for _, value in variant.armed]


def test_a_set_up_typed_in_one_language_is_read_in_another(long_words):
    variant = ExerciseCard("10.7").task.variant
    typed = variant.exercise.answer.typed(variant.answer)
    set_language("en")

    assert "ram force" not in typed
    assert variant.exercise.answer.read(typed, variant.given).made == variant.answer


@pytest.mark.parametrize("id", sorted({id for id, _ in EXERCISES}))
def test_a_card_is_all_in_the_language(long_words, id):
    card = ExerciseCard(id)

    for typed in ("", "x", "12", "3 tons", *wrong_answers(card), "1e5 mm"):
        card.answer(typed)
        card._hint_at = -1e9
        card.hint()
        if card.task.work.asked_for_thinking:
            card.think(card.task.work.last.choices[0])
        shown = CODE.sub("", " ".join(shown_in(card.frame)))

        assert left_behind(shown, allowed={"practice", "tons", *TYPED}) == set(), typed
    for system in (METRIC, INCH):
        drawn = sketch(card.task.variant, system=system)
        assert drawn is None or cut_off(drawn) == []


def test_todays_five_is_all_in_the_language(long_words):
    assert left_behind(text_of_widgets(TodaysFive().box)) == set()


def test_the_page_of_the_angle_card_is_all_in_the_language(long_words):
    card, shown = QuickCheckCard(), [text_of_widgets(AngleTables().box)]
    for name in CHECKS:
        card.choose(name)
        shown += shown_in(card.frame)
    card.work_out({"redirect/tension": "30", "redirect/between": "20"})
    shown += card.lines

    assert left_behind(" ".join(shown), allowed=NAMES) == set()


@pytest.mark.parametrize("kind", [EntryCheck, Refresh])
def test_mixed_questions_are_all_in_the_language(long_words, kind):
    card, shown = kind(), []
    for place in range(len(card.round.tasks)):
        card._go_to(place)
        shown += shown_in(card.frame)
        card.give_up()
        shown += shown_in(card.frame)
    card.go_on()
    shown += [x for x in shown_in(card.frame) if not x.endswith(".ipynb")]
    card.again()
    card.stop()
    shown += shown_in(card.frame)

    told = CODE.sub("", " ".join(shown))
    assert left_behind(told, allowed={"practice"}) == set()


@pytest.mark.parametrize("subject", EXPLORERS)
def test_an_explorer_is_all_in_the_language(long_words, subject):
    explorer = EXPLORERS[subject]()
    explorer.freeze()
    shown = [text_of_widgets(explorer.box)]
    for name, control in explorer.controls.items():
        field = explorer.subject.fields[name]
        for value in getattr(field, "options", None) or (field.low, field.high):
            control.value = value
            shown.append(text_of_widgets(explorer.box))
        explorer.reset()

    assert left_behind(" ".join(shown), allowed=NAMES) == set()


@pytest.mark.parametrize("system", [METRIC, INCH], ids=lambda system: system.name)
@pytest.mark.parametrize("subject", EXPLORERS)
def test_no_word_of_an_explorers_picture_is_cut_off(long_words, subject, system):
    explorer = EXPLORERS[subject]()
    looks = [
        Look(system=system, extras=[*explorer.subject.extras]),
        Look(system=system, room=ROOMS["projector"]),
    ]

    for look in looks:
        for sheet in subjects()[subject].sheets(explorer.result, look).each:
            assert cut_off(sheet) == []


@pytest.mark.parametrize("id", [*course.lessons()])
def test_the_parts_of_a_lesson_are_all_in_the_language(long_words, id):
    declared = replace(course.lesson(id), behind=())  # open, if it has a gate
    here = LessonParts(declared)

    parts = [here.recall(n + 1) for n in range(len(declared.recall))]
    parts += [here.by_hand(n + 1) for n in range(len(declared.by_hand))]
    tables = [here.contrast(n + 1) for n in range(len(declared.contrast))]
    tables += [here.shown(name) for name in declared.shown]
    shown = [text_of_html(part._repr_html_()) for part in parts]
    shown += [*map(repr, tables)]
    shown += [text_of_widgets(here.explorer(e.name).box) for e in declared.explorers]
    shown.append(text_of_widgets(here.words().box) if declared.id == "L00" else "")
    for one in declared.worked:
        example = here.worked(one.name)
        shown += [repr(example), text_of_widgets(example.box)]
    for one in declared.explorers:
        for box in here.reading(*one.readings, explorer=one.name).cards:
            for typed in ("", "x", "12", "3 tons", "1e9 kN", "1e9 mm", "1e9 J", "1e9°"):
                box.read(typed)
                shown += shown_in(box.frame)
    for number, gate in enumerate(declared.gates, 1):
        card = here.gate(number)
        for option in (*gate.options, "stop"):
            card.choose(option, reason="")
            shown += shown_in(card.frame)
    for explorer in declared.explorers:
        lock = here.explorer(explorer.name).lock
        for name, _ in lock.frame["form"]["choices"][:-1]:
            lock.lock(name)
            for typed in ("", "12", "3 kN", "§"):
                lock.look(typed)
                shown += shown_in(lock.frame)

    assert left_behind(" ".join(shown), allowed=NAMES | {"tons"}) == set()


@pytest.mark.parametrize("id", printed_lessons())
def test_no_word_of_a_printed_figure_is_cut_off(long_words, id):
    for system in (METRIC, INCH):
        assert cut_off(sheet_of(id, system).figure) == []


@pytest.fixture
def shop_floor(long_words, monkeypatch):
    """Return a folder with a set-up, a class of two and what one of them handed in."""
    place = long_words / "work"
    place.mkdir()
    monkeypatch.chdir(place)
    (place / "setup.toml").write_text(to_toml(Setup(title="Kestrin")), "utf-8")
    people = [Student(name="Kestrin"), Student(name="Roller")]
    made = made_class(people, key="oak", chance=random.Random(3))
    write_class(place / "class.csv", made)
    record = Record(place / FILE)
    record.sign_in(student=made.students[0].code, class_key="oak")
    card = ExerciseCard("2.1", set="exit", record=record)
    for typed in (
        "9 m",
        "x",
        "1 kN",
        *(f"{v:.6g} N" for _, v in card.task.variant.armed),
    ):
        card.answer(typed)
        if card.task.work.asked_for_thinking:
            card.think(card.task.work.last.choices[0])
    (place / "in").mkdir()
    write_hand_in(record, folder=place / "in")
    (place / "in" / "other.txt").write_text("nothing", "utf-8")
    return place


BENCH = [
    "pull setup.toml",
    "pull setup.toml --units lbf-inch",
    "bench setup.toml setup.toml --clamps kestrin",
    "survey kestrin --spec kestrin",
    "damage kestrin --spec kestrin",
    "plan kestrin",
    "qti L08 --out made",
]
CLASS = [
    "handout class.csv L08 --out made",
    "key class.csv L08 --out key",
    "grid class.csv L08 --out grid.csv",
    "mark class.csv in --out marks",
    "remark class.csv marks",
    "report class.csv marks",
    "give-back class.csv marks --out back",
    "term class.csv marks --out term",
    "hand-in",
]
REFUSED = [
    "pull class.csv",
    "bench setup.toml --clamps setup.toml",
    "survey setup.toml --spec kestrin",
    "handout class.csv L99 --out made",
    "mark setup.toml in --out marks",
    "typed class.csv setup.toml --out made",
    "plan setup.toml",
    "hand-in nowhere",
]
HELP = [f"{name} --help" for name in (*COMMANDS, "")]
# Names that commands print: of files, folders, points, columns, parts and clamps as
# their files have them, mistakes, numbers of key files, commands and options.
PRINTED = {
    "setup", "marks", "nowhere", "csv", "toml", "txt", "pdf", "kestrin", "pullwright",
    "Letter", "Roller", "oak", "line", "both", "record", "jsonl", "id", "length",
    "width", "height", "limit", "chain", "grade", "pinch", "weld", "clamps", "rail",
    "tip", "four", "left", "right", "stand", "other", "made", "whole", "with", "json",
    "svg", "factor", "home", "above", "opener", "html", "zip", "back",
    *(word for name in COMMANDS for word in name.split("-")),
    *(word for name in entries("en")["mistake"] for word in name.split("_")),
    *(word for one in EXERCISES.values() for name in (*one.given, *one.derived)
      for word in name.split("_")),
    *(word for id in kestrin_points().ids for word in id.split("-")),
}  # fmt: skip
OPTION = re.compile(r"--[a-z-]+|\b[A-Z][A-Z0-9_,-]+\b")  # and codes


@pytest.mark.parametrize("line", [*BENCH, *CLASS, *REFUSED, *HELP])
def test_a_command_is_all_in_the_language(shop_floor, capsys, line):
    for before in CLASS[: CLASS.index(line)] if line in CLASS else []:
        main(before.split())
    capsys.readouterr()

    with suppress(SystemExit):
        main(line.split())
    out, err = capsys.readouterr()

    assert len(out + err) > 30
    for shown in (out + err).splitlines():
        words = left_behind(OPTION.sub("", shown), allowed=NAMES | PRINTED)

        assert words == set(), shown


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="no poppler-utils")
@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("id", printed_lessons())
def test_a_handout_is_in_the_language_and_on_its_page(shop_floor, capsys, id, paper):
    assert main(["handout", "class.csv", id, "--paper", paper, "--out", "made"]) == 0

    pages = [page for pdf in shop_floor.glob("**/*.pdf") for page in pages_of(pdf)]
    assert pages
    for (wide, high), words in pages:
        for (x0, y0, x1, y1), word in words:
            assert 0 <= x0 < x1 <= wide, word
            assert 0 <= y0 < y1 <= high, word
        shown = " ".join(word for _, word in words)
        assert left_behind(OPTION.sub("", shown), allowed=NAMES | PRINTED) == set()


def pages_of(pdf):
    """Return for each page its size and its words with their boxes."""
    shown = subprocess.run(
        ["pdftotext", "-bbox", pdf, "-"], capture_output=True, check=True
    ).stdout.decode("utf-8")
    pages = re.findall(r"<page .*?</page>", shown, re.DOTALL)
    number = r'="([\d.]+)"'
    sizes = [re.findall(rf"<page width{number} height{number}", page) for page in pages]
    box = rf"xMin{number} yMin{number} xMax{number} yMax{number}>(.*?)</word>"
    return [
        (
            tuple(map(float, size[0])),
            [
                (tuple(map(float, found[:4])), html.unescape(found[4]))
                for found in re.findall(box, page)
            ],
        )
        for size, page in zip(sizes, pages, strict=True)
    ]
