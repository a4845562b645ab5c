"""A lesson is declared once: its parts are all there, and stand nowhere else."""

import re
from itertools import pairwise
from pathlib import Path

import nbformat
import pytest
from execute import LESSONS, code_cells, list_of_lessons
from execute import lessons as notebooks

from workbook.course import lesson, lessons
from workbook.course.script import LONG, script_of
from workbook.course.tables import code_of, solved, table_text
from workbook.errors import FormError, WorkbookError
from workbook.exercises import exercise
from workbook.figures.pictures import subjects
from workbook.language import entries, text
from workbook.quantities.units import INCH, METRIC
from workbook.scenes import codes

ROOT = LESSONS.parent
EXPLORERS = [
    pytest.param(one, explorer, id=f"{one.id} {explorer.name}")
    for one in lessons().values()
    for explorer in one.explorers
]
NOTEBOOKS = {f"L{path.stem[:2]}": path for path in notebooks()}
each_lesson = pytest.mark.parametrize("one", lessons().values(), ids=lessons())
each_explorer = pytest.mark.parametrize(("one", "explorer"), EXPLORERS)


def cells(one):
    return nbformat.read(NOTEBOOKS[one.id], as_version=4).cells


def code(one):
    """Return all code of a lesson's notebook."""
    notebook = nbformat.read(NOTEBOOKS[one.id], as_version=4)
    return "\n".join(cell.source for cell in code_cells(notebook))


def said(one):
    """Return the lesson's own file of the first language."""
    return entries()["lesson"][one.id]


def test_each_lesson_has_one_notebook_and_each_notebook_a_lesson():
    assert [*NOTEBOOKS] == [*lessons()]


def test_the_list_of_lessons_says_what_the_course_says():
    page = (LESSONS / "README.md").read_text("utf-8")

    assert list_of_lessons() in page, "write it: python tests/lessons/execute.py --list"


def test_the_first_lesson_leads_to_every_other_one():
    first, *others = lessons().values()
    head = cells(first)[0].source

    links = re.findall(r"\[(.*?)\]\((.*?)\)", head)

    listed = {
        id: text("lesson", id, "listed")["title"] for id in (o.id for o in others)
    }
    assert links == [
        (f"{id[1:]} {title}", NOTEBOOKS[id].name) for id, title in listed.items()
    ]


@pytest.mark.parametrize("id", ["99", "LL8", "", "../L08", "9" * 5000])
def test_a_lesson_that_is_not_there_is_refused_with_those_that_are(id):
    with pytest.raises(FormError, match="choose L00, L01"):
        lesson(id)


# ---------------------------------------------------------------- said once


FIELDS = {
    name
    for subject in subjects().values()
    for name in subject.fields
    if re.search(r"_(mm|deg|kn|bar)$", name)
}
NO_RIG_IN = [
    *(ROOT / "workbook" / "classroom").glob("*.py"),
    *(ROOT / "widgets").glob("*.py"),
]


def rigs_in(source):
    """Return the fields that some code sets."""
    return {name for name in FIELDS if re.search(rf"\b{name}\b", source)}


@each_lesson
def test_no_notebook_sets_a_rig_or_a_set_up_of_its_own(one):
    assert rigs_in(code(one)) == set()


@pytest.mark.parametrize("path", NO_RIG_IN, ids=lambda path: path.stem)
def test_no_rig_stands_in_the_classroom_or_the_widgets(path):
    assert rigs_in(path.read_text("utf-8")) == set()


def test_a_rig_would_be_seen():
    assert rigs_in('here.explorer({"lean_deg": 35}, fork_offset_mm=50)') == {
        "lean_deg",
        "fork_offset_mm",
    }


@each_lesson
def test_the_notebook_asks_for_every_part_of_its_lesson(one):
    asked = code(one)

    calls = {
        **{f"here.recall({n})": n for n in range(1, len(one.recall) + 1)},
        **{f"here.by_hand({n})": n for n in range(1, len(one.by_hand) + 1)},
        **({"here.exercises()": 1} if one.exercises else {}),
        **({"here.exit_question()": 1} if one.exit else {}),
    }
    assert [call for call in calls if call not in asked] == []
    assert asked.count("here.explorer(") == len(one.explorers)
    boxes = [
        name
        for call in re.findall(r"here\.reading\(([^)]*)\)", asked)
        for name in re.findall(r'(?<!=)"(\w+)"', call)
    ]
    assert sorted(boxes) == sorted(n for e in one.explorers for n in e.readings)
    assert asked.count("here.contrast(") == len(one.contrast)
    assert asked.count("here.gate(") == len(one.gates)


@each_lesson
def test_the_notebook_has_the_title_of_its_lesson(one):
    assert cells(one)[0].source.startswith(f"# {one.title}\n")


# --------------------------------------------------------------------- script


PRINTED = [one for one in lessons().values() if one.handout]


@pytest.mark.parametrize("one", PRINTED, ids=lambda one: one.id)
def test_ten_minutes_with_a_class_are_filled(one):
    until = [part.until for part in one.script]
    set_ups = {name for explorer in one.explorers for name in explorer.named}

    assert all(a < b for a, b in pairwise([0, *until]))
    assert until[-1] == LONG
    parts = [part.name.split("_")[0] for part in one.script]
    assert (parts[0], parts[1], parts[-1]) == ("feel", "predict", "exit")
    assert {name for part in one.script for name in part.load} <= set_ups
    assert {part.name for part in one.script} >= {*said(one)["script"]}


@pytest.mark.parametrize("one", PRINTED, ids=lambda one: one.id)
def test_the_key_of_a_script_loads_the_set_up_it_names(one):
    explorers = {e.name: list(e.named) for e in one.explorers}

    for part, line in zip(one.script, script_of(one), strict=True):
        for set_up, key in zip(part.load, line.keys, strict=True):
            (explorer,) = (e for e in explorers if set_up in explorers[e])
            number = explorers[explorer].index(set_up) + 1
            called = one.explorer(explorer).called(set_up)
            assert key == f"key {number}: {called}"
            assert number <= 9


# ------------------------------------------------------------------- mistakes


@each_explorer
def test_each_wrong_option_is_a_mistake_that_is_known(one, explorer):
    asked = explorer.predict

    known = set(entries()["mistake"])
    assert set(asked.wrong) <= known - {"none_of_these"}
    if asked.exercise:
        armed = {mistake.name for mistake in exercise(asked.exercise).mistakes}
        assert set(asked.wrong) <= armed
    else:
        options = said(one).get("explorer", {})[explorer.name]["options"]
        assert set(options) == {"right", *asked.wrong}


# ------------------------------------------------------------------- set-ups

REFUSED = {("L07", "lean", "free")}  # a chain free over the ram: it falls


@each_explorer
def test_each_named_set_up_stands_or_is_meant_to_be_refused(one, explorer):
    fallen = set()
    for name in explorer.named:
        try:
            solved(explorer, name)
        except WorkbookError:
            fallen.add((one.id, explorer.name, name))

    assert fallen == {r for r in REFUSED if r[:2] == (one.id, explorer.name)}


@each_explorer
def test_each_named_set_up_has_a_name_of_its_own_for_the_reader(one, explorer):
    called = [explorer.called(name) for name in explorer.named]

    in_language = said(one).get("explorer", {})[explorer.name].get("named", {})
    assert len({*called}) == len(called)
    assert set(in_language) - {"start"} == set(explorer.named)


@each_explorer
def test_front_names_controls_of_the_subject(one, explorer):
    subject = subjects()[explorer.subject]
    paired = {pair.field.name for pair in subject.paired}

    assert set(explorer.front) <= {*subject.fields, *paired}
    assert set(explorer.extras) <= set(subject.extras)


@each_explorer
def test_what_is_to_be_observed_is_an_amount_in_set_ups_that_stand(one, explorer):
    for observe in (explorer.observe, *explorer.readings.values()):
        seen = [
            subjects()[explorer.subject].told(solved(explorer, **changes))
            for changes in observe.at
        ]

        assert seen
        assert all(observe.amount in amounts for amounts in seen)
        assert 0 < observe.within < 0.1


@each_explorer
def test_each_reading_has_a_question_and_none_is_left_over(one, explorer):
    asked = said(one).get("explorer", {})[explorer.name].get("readings", {})

    assert set(asked) == set(explorer.readings)
    assert all(re.search(r"\?$", question) for question in asked.values())


def test_a_named_set_up_goes_over_the_start_and_changes_over_both():
    slot = lesson("L08").explorer("slot")

    values = slot.values("left_short", fork_offset_mm=100)

    assert values == {**slot.start, "fork_offset_mm": 100, "extension_mm": 100}


def test_a_code_restores_the_set_up_it_names():
    slot = lesson("L08").explorer("slot")
    subject = subjects()["pull"]

    restored = codes.decode(subject.word, subject.fields, code_of(slot, "left"))

    assert restored.items() >= slot.values("left").items()


# ------------------------------------------------------------------- questions


@each_lesson
def test_old_questions_come_from_earlier_lessons_and_say_which(one):
    for asked in one.recall:
        assert asked.of in lessons()
        assert asked.of < one.id
        assert asked.question.startswith(f"Lesson {asked.of[1:]}: ")


@each_lesson
def test_every_question_and_option_has_its_texts_and_none_is_left_over(one):
    texts = said(one)
    asked = {part.name for part in (*one.recall, *one.by_hand)}
    gates = {gate.name: {*gate.options, "question"} for gate in one.gates}

    assert set(texts.get("asked", {})) == asked
    assert {name: set(gate) for name, gate in texts.get("gate", {}).items()} == gates
    explorers = {explorer.name for explorer in one.explorers}
    assert set(texts.get("explorer", {})) == explorers
    for part in (*one.recall, *one.by_hand):
        assert "{" not in part.question + part.answer


@each_lesson
def test_every_gate_has_a_right_way_a_wrong_one_and_a_third(one):
    for gate in one.gates:
        assert len(gate.options) >= 3
        assert {"right", "go"} <= set(gate.options.values())
        assert all(gate.option(name) and gate.why(name) for name in gate.options)


@each_lesson
def test_the_exit_question_is_an_exercise_of_the_lesson(one):
    assert not one.exercises or one.exit in one.exercises


# ------------------------------------------------------------- tables, handouts


def tables_of(one):
    """Return every table with its words."""
    pairs = [*zip(one.contrast, text_list(one, "contrast"), strict=True)]
    if one.handout:
        words = said(one)["handout"]["tables"]
        pairs += zip(one.handout.tables, words, strict=True)
    return pairs


def text_list(one, name):
    return text("lesson", one.id).get(name, [])


@pytest.mark.parametrize("system", [METRIC, INCH], ids=["metric", "inch"])
@each_lesson
def test_every_table_has_a_head_over_each_column(one, system):
    for table, words in tables_of(one):
        shown = table_text(
            table, one.explorer(table.explorer), said=words, system=system
        )

        assert {len(row) for row in shown.rows} == {len(shown.head)}
        assert len(shown.rows) == len(table.rows)
        assert bool(table.held) == ("{amount}" in str(words))


def test_a_table_in_a_notebook_has_its_columns_in_line():
    (table, *_), (words, *_) = (
        lesson("L07").contrast,
        text_list(lesson("L07"), "contrast"),
    )
    shown = table_text(table, lesson("L07").explorer("lean"), said=words, system=METRIC)

    # 40 sin 100° / sin 65° and 40 sin 35° / sin 65°; over a roller 40 / (2 sin 32.5°).
    assert str(shown).split("\n") == [
        "                     pull leg  anchor leg",
        "locked in the head    43.5 kN     25.3 kN",
        "over a fixed roller   37.2 kN     37.2 kN",
    ]


@each_lesson
def test_a_handout_has_words_for_all_that_it_prints(one):
    if one.handout is None:
        assert "handout" not in said(one)
        return
    words = said(one)["handout"]

    assert len(words["codes"]) == len(one.handout.codes)
    captioned = {view.explorer for view in one.handout.views if view.captioned}
    assert set(words.get("captions", {})) == captioned


# -------------------------------------------------------------- a new lesson


def test_a_lesson_is_found_by_its_file_alone(tmp_path, monkeypatch):
    from workbook import course

    here = Path(course.__file__).parent
    (tmp_path / "lesson_98.py").write_text(
        (here / "lesson_00.py").read_text("utf-8").replace('"L00"', '"L98"'), "utf-8"
    )
    monkeypatch.setattr(course, "__path__", [str(here), str(tmp_path)])
    lessons.cache_clear()
    try:
        assert [*lessons()][-1] == "L98"
        assert lesson("98").prediction.lesson == "L98"
    finally:
        lessons.cache_clear()
