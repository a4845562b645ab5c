"""``pullwright handout`` and ``key``: the screen's numbers on paper."""

import csv
import json
import random
import re
import shutil
import subprocess
from dataclasses import replace
from math import cos, radians

import numpy as np
import pytest

from widgets.question import ExerciseCard
from workbook.classroom import cut_out, handouts, key_pages, press
from workbook.classroom.keys import (
    key_json,
    read_keys,
    right_letter,
    variants_of,
)
from workbook.classroom.made import is_made
from workbook.classroom.made import printed as made_on_paper
from workbook.classroom.roll import (
    ClassList,
    Student,
    made_class,
    read_class,
    write_class,
)
from workbook.classroom.sheets import printed_lessons, sheet_of
from workbook.cli import main
from workbook.course import lessons
from workbook.course.predictions import asked_on_paper, options
from workbook.course.script import script_of
from workbook.course.tables import solved
from workbook.exercises import exercise, exercises_of, wording
from workbook.exercises.engine import variant_for, variant_from
from workbook.exercises.replay import variant_of
from workbook.figures.drawing.labels import settle
from workbook.figures.drawing.marks import Label, Line
from workbook.figures.drawing.obstacles import ON_LINE, Obstacles
from workbook.figures.pictures import subjects
from workbook.figures.sketches.sketches import sketch
from workbook.language import CAUTIONS, STANDING, caution, left_out
from workbook.quantities.units import INCH, METRIC
from workbook.reader.record import FILE, Record
from workbook.scenes.setups import from_code

NAMES = [
    "O'Neill, Zoë \"Z\"",
    "#eval(\"1\") *b* $x$ \\ @ref <l> `r` _u_ //c",
    "Nguyễn Thị Ánh",
    "Ирина",
]  # fmt: skip
GOLDEN = [
    {"tension": 15.0, "angle": 63.0},
    {"tension": 12.0, "rise": 29.0},
    {"tension": 33.0, "angle_from_vertical": 29.0},
    {"first": 8.0, "second": 8.0, "between": 115.0},
    {"first": 26.0, "second": 14.0, "between": 105.0},
    {"useful_pull": 28.0, "angle": 38.0},
    {"first": 30.0, "second": 24.0, "between": 75.0},
]
BEFORE_SETS = [
    {"tension": 11.0, "angle": 63.0},
    {"tension": 38.0, "rise": 63.0},
    {"tension": 23.0, "angle_from_vertical": 67.0},
    {"first": 11.0, "second": 6.0, "between": 50.0},
    {"first": 9.0, "second": 23.0, "between": 50.0},
    {"useful_pull": 26.0, "angle": 21.0},
]
POINTS_PER_MM = 72 / 25.4
UNITS = {"A4": "kN-mm", "Letter": "lbf-inch"}
SIZES = {"A4": (595, 842), "Letter": (612, 792)}

needs_poppler = pytest.mark.skipif(
    shutil.which("pdftotext") is None, reason="poppler-utils is not installed"
)


def class_file(folder):
    """Write the list of a class of four whose names would break a careless page."""
    people = [Student(name=name) for name in NAMES]
    made = made_class(people, key="oak", chance=random.Random(5))
    write_class(folder / "class.csv", made)
    return folder / "class.csv"


@pytest.fixture
def listed(tmp_path):
    return class_file(tmp_path)


@pytest.fixture(autouse=True)
def own_settings(tmp_path, monkeypatch):
    monkeypatch.setenv("PULLWRIGHT_SETTINGS", str(tmp_path / "settings"))


def text_of(pdf):
    """Return the text of each page with single blanks, cell after cell."""
    said = subprocess.run(
        ["pdftotext", "-raw", pdf, "-"], capture_output=True, check=True
    ).stdout.decode("utf-8")
    return [" ".join(page.split()) for page in said.split("\f")[:-1]]


@pytest.fixture(scope="module")
def printed(tmp_path_factory):
    """Print a lesson once; return the folder and the pages by student code."""
    done = {}

    def print_lesson(lesson, paper="A4", units="kN-mm"):
        if (lesson, paper) not in done:
            folder = tmp_path_factory.mktemp(f"{lesson} {paper}")
            order = ["handout", str(class_file(folder)), lesson, "-o", str(folder)]
            assert main([*order, "--paper", paper, "--units", units]) == 0
            pages = text_of(folder / f"{lesson} whole class.pdf")
            codes = read_class(folder / "class.csv").by_code.values()
            each = handouts.student_pages(lesson)
            own = [pages[k * each :][:each] for k in range(4)]
            assert len(pages) == 4 * each  # and no key
            named = zip((s.code for s in codes), own, strict=True)
            key = text_of(folder / f"{lesson} key.pdf")
            done[lesson, paper] = folder, dict(named), key
        return done[lesson, paper]

    return print_lesson


@needs_poppler
@pytest.mark.parametrize("lesson", printed_lessons())
def test_the_paper_asks_what_the_screen_asks(lesson, printed):
    _, pages, _ = printed(lesson)

    for code, (first, *rest) in pages.items():
        second = " ".join(rest)
        drawn = {
            one.id: variant_for(
                exercise(one.carry.source) if one.carry else one,
                class_key="oak",
                student=code,
                set="exit",
            )
            for one in exercises_of(lesson)
        }
        for one in exercises_of(lesson):
            if one.carry is None:
                asked = wording.question(drawn[one.id])  # a code may break its line
                assert "".join(asked.split()) in "".join(second.split())
            assert wording.title(one) in second
        predict = lessons()[lesson].prediction
        assert asked_on_paper(predict, system=METRIC) in first
        offered = options(predict, class_key="oak", student=code)
        line = " ".join(
            f"{letter} {choice.text}"
            for letter, choice in zip("ABCDE", offered, strict=False)
        )
        assert line in first


@needs_poppler
@pytest.mark.parametrize("lesson", printed_lessons())
def test_the_instructor_gets_ten_minutes_on_one_page(lesson, printed):
    folder, _, _ = printed(lesson)
    one = lessons()[lesson]

    (page,) = text_of(folder / f"{lesson} ten minutes.pdf")

    assert [line.said for line in script_of(one) if line.said not in page] == []
    offered = options(one.prediction, class_key="oak", student="script")
    right = next(choice.text for choice in offered if choice.name == "right")
    assert f"{right} This one is right." in page
    for gate in one.gates:
        answer = next(name for name, is_ in gate.options.items() if is_ == "right")
        assert f"Answer: {gate.option(answer)} {gate.why(answer)}" in page
    for name in STANDING[lesson]:
        assert caution(name) in page
    assert caution("S0") in page


@needs_poppler
def test_a_later_part_does_not_give_the_earlier_answer_away(printed):
    folder, pages, _ = printed("L07")

    data = json.loads((folder / "L07 key.json").read_bytes())
    for student in data["students"]:
        numbers = {e["exercise"]: e["numbers"] for e in student["exercises"]}
        angle = f"{numbers['7.6b']['new_angle']:g}°"
        assert angle not in pages[student["code"]][1]
        assert "your angle from the part before" in pages[student["code"]][1]


def test_the_card_on_the_screen_has_the_key_files_numbers(listed, tmp_path):
    main(["key", str(listed), "L07", "-o", str(tmp_path / "key")])
    data = json.loads((tmp_path / "key" / "L07 key.json").read_bytes())
    record = Record(tmp_path / FILE)

    def card(one):
        return ExerciseCard(one.id, set="exit", record=record)

    for student in data["students"]:
        record.sign_in(student=student["code"], class_key="oak")
        on_screen = {
            one.id: dict(card(one).task.variant.numbers) for one in exercises_of("L07")
        }
        on_paper = {e["exercise"]: e["numbers"] for e in student["exercises"]}
        assert on_paper == on_screen


def test_unchanged_numbers_of_one_student():
    # Pinned: other numbers here would leave printed handouts without their key.
    kim = ClassList(key="oak", students=(Student(name="Kim", code="K7MR"),))

    (data,) = json.loads(key_json(kim, "L02"))["students"]

    assert [e["numbers"] for e in data["exercises"]] == GOLDEN
    whose = {"class_key": "oak", "student": "K7MR", "set": ""}
    old = [variant_of(exercise(f"2.{n}", 1), **whose).numbers for n in range(1, 7)]
    assert old == BEFORE_SETS
    assert data["prediction"] == "A"


@needs_poppler
@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("lesson", printed_lessons())
def test_every_student_gets_whole_pages_with_their_cautions(lesson, paper, printed):
    folder, pages, _ = printed(lesson, paper, UNITS[paper])

    named = STANDING[lesson]
    explorers = lessons()[lesson].explorers
    leaves_out = {n for e in explorers for n in subjects()[e.subject].leaves_out}
    for code, own in pages.items():
        for number, page in enumerate(own, start=1):
            assert caution("S0") in page
            assert f"{code} · page {number} of {len(own)}" in page
        assert all(left_out([name]).split(".")[0] in own[0] for name in leaves_out)
        assert all(caution(name) in own[0] for name in named)
        whole = " ".join(own)
        found = {name for name in CAUTIONS if caution(name) in whole}
        assert found == {*STANDING["page"], *named}
    of_one = boxes(folder / f"{lesson} {next(iter(pages))}.pdf")
    assert len(of_one) == handouts.student_pages(lesson)
    for box in of_one:
        (left, low, right, high), (wide, tall) = box
        assert min(left, low) >= 5 * POINTS_PER_MM
        assert right <= wide - 5 * POINTS_PER_MM
        assert high <= tall - 5 * POINTS_PER_MM
        assert (round(wide), round(tall)) == SIZES[paper]


def pages_with_places(pdf):
    """Return each page's words with where they stand, as poppler tells them."""
    told = subprocess.run(
        ["pdftotext", "-bbox", pdf, "-"], capture_output=True, check=True
    ).stdout.decode("utf-8")
    return told.split("<page ")[1:]


def boxes(pdf):
    """Return the corners of all words of each page, and the page's size, in points."""
    found = []
    for page in pages_with_places(pdf):
        size = re.match(r'width="([\d.]+)" height="([\d.]+)"', page)
        words = re.findall(
            r'xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)"', page
        )
        sides = [*zip(*(map(float, word) for word in words), strict=True)]
        corners = (*map(min, sides[:2]), *map(max, sides[2:]))
        found.append((corners, tuple(map(float, size.groups()))))
    assert found
    return found


@needs_poppler
def test_nothing_on_the_second_page_lies_over_its_foot(printed):
    folder, pages, _ = printed("L07", "Letter", UNITS["Letter"])

    second = pages_with_places(folder / f"L07 {next(iter(pages))}.pdf")[1]

    answers = [float(y) for y in re.findall(r'yMax="([\d.]+)">unit<', second)]
    (foot,) = re.findall(r'yMin="([\d.]+)" [^>]*>teaches<', second)
    assert len(answers) == 7
    assert max(answers) < float(foot)


@needs_poppler
def test_nothing_of_a_bay_in_question_lies_over_the_foot(printed):
    folder, pages, _ = printed("L11", "Letter", UNITS["Letter"])

    below = []
    for page in pages_with_places(folder / f"L11 {next(iter(pages))}.pdf"):
        *_, foot = re.findall(r'yMin="([\d.]+)" [^>]*>teaches<', page)
        ends = map(float, re.findall(r'yMax="([\d.]+)">', page))
        below.append(sum(end > float(foot) for end in ends))

    assert len(below) == 4
    assert len({*below}) == 1  # the words of the foot itself


def test_the_bay_in_question_is_printed_as_it_is_on_the_screen():
    own = {
        one.id: made_on_paper(variant_from(one, one.by_hand.numbers), METRIC)["sketch"]
        for one in exercises_of("L11")
        if is_made(one)
    }

    assert [id for id, drawn in own.items() if drawn] == ["11.3"]
    asked = exercise("11.3")
    shown = sketch(variant_from(asked, asked.by_hand.numbers))
    assert own["11.3"]["says"] == shown.text
    assert "<text" not in own["11.3"]["svg"]  # letters as outlines
    assert own["11.3"]["svg"].count("<use ") > 100


@needs_poppler
def test_names_are_only_text(printed):
    folder, pages, _ = printed("L02")

    for student in read_class(folder / "class.csv").students:
        for page in pages[student.code]:
            assert f"Name: {student.name} Student code: {student.code}" in page


@needs_poppler
@pytest.mark.parametrize("name", ["x" * 200, "Maximiliana Wilhelmina " * 8])
def test_a_name_without_end_leaves_as_many_whole_pages(name, tmp_path):
    people = [Student(name=name.strip())]
    write_class(tmp_path / "class.csv", made_class(people, key="oak"))
    code = read_class(tmp_path / "class.csv").students[0].code

    order = ["handout", str(tmp_path / "class.csv"), "L07", "-o", str(tmp_path)]
    assert main([*order, "--paper", "Letter"]) == 0

    pdf = tmp_path / f"L07 {code}.pdf"
    assert len(boxes(pdf)) == handouts.student_pages("L07")
    said = "".join(pages_with_places(pdf))
    lefts = re.findall(r'xMin="([\d.]+)"[^>]*>(?:xxx|Maxi)', said)
    # The name keeps to its half of the head, and off the title.
    assert len(lefts) >= 4
    assert min(map(float, lefts)) > SIZES["Letter"][0] / 2


@needs_poppler
def test_a_students_own_file_is_the_same_two_pages_and_no_key(printed):
    folder, pages, key = printed("L02")

    for code, both in pages.items():
        assert text_of(folder / f"L02 {code}.pdf") == [*both]
    assert key[0].startswith("Key, for the instructor only")


@needs_poppler
def test_the_key_has_a_strip_a_student_in_the_classs_units(printed):
    folder, _, key = printed("L07", "Letter", UNITS["Letter"])

    whole = " ".join(key)
    assert all(wording.rule(one) in key[0] for one in exercises_of("L07"))
    people = read_class(folder / "class.csv").students
    starts = [whole.index(one.code) for one in people]
    assert starts == sorted(starts)
    for one, strip in zip(people, cut(whole, starts), strict=True):
        letter = right_letter("L07", code=one.code, key="oak")
        assert strip.startswith(f"{one.code} Predict first: the right box: {letter}")
        for own in variants_of("L07", code=one.code, key="oak"):
            if is_made(own.exercise):
                continue
            assert wording.answer_text(own, system=INCH) in strip
            mistakes = own.exercise.answer.mistakes_text(own, system=INCH)
            assert "".join(mistakes.split()) in "".join(strip.split())
    (table,) = [*folder.glob("L07 key.json")]
    assert json.loads(table.read_bytes())["students"][0]["exercises"][1]["unit"] == "kN"


def cut(whole, starts):
    """Return the parts of a text that begin at these places."""
    return [whole[a:b] for a, b in zip(starts, [*starts[1:], len(whole)], strict=True)]


@needs_poppler
@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("lesson", printed_lessons())
def test_everybody_has_one_page_to_hand_in(lesson, paper, printed):
    folder, pages, _ = printed(lesson, paper, UNITS[paper])

    strips = text_of(folder / f"{lesson} answer strips.pdf")

    assert len(strips) == len(pages)
    for code, strip in zip(pages, strips, strict=True):
        assert code in strip
        assert caution("S0") in strip
        assert all(
            f"{one.id} {wording.title(one)}" in strip for one in exercises_of(lesson)
        )
    (left, _, right, high), (wide, tall) = boxes(
        folder / f"{lesson} answer strips.pdf"
    )[0]
    assert min(left, wide - right, tall - high) >= 5 * POINTS_PER_MM


@needs_poppler
def test_there_is_a_card_for_every_letter_of_a_prediction(printed):
    folder, *_ = printed("L02")

    (cards,) = text_of(folder / "vote cards.pdf")

    most = max(
        len(options(lessons()[x].prediction, class_key="", student=""))
        for x in printed_lessons()
    )
    assert cards.split()[:most] == [*"ABCDE"][:most]
    assert most <= 5


@needs_poppler
def test_set_up_codes_on_paper_open_the_explorer(printed):
    _, pages, _ = printed("L07")

    codes = re.findall(r"PULL1-[0-9A-Z-]+", next(iter(pages.values()))[0])

    assert len(codes) == 3
    assert from_code(codes[0]).values["lean_deg"] == 35
    assert from_code(codes[2]).values["chain_at_head"] == "over a fixed roller"


@pytest.mark.parametrize("system", [METRIC, INCH], ids=["metric", "inch"])
def test_the_table_of_lesson_02_follows_the_cosine(system):
    # Part along the line: tension times cosine, plane trigonometry.
    (table,) = sheet_of("L02", system).tables

    for angle, useful, *_ in table.rows:
        degrees = float(angle.rstrip("°"))
        expected = system.show(20e3 * cos(radians(degrees)), "force")
        assert useful == expected


@pytest.mark.parametrize("lesson", printed_lessons())
def test_no_table_answers_the_prediction(lesson):
    explorer = lessons()[lesson].explorers[0]
    asked, observe = explorer.predict, explorer.observe
    offered = options(asked, class_key="oak", student="K7")
    right = next(option.text for option in offered if option.name == "right")
    subject = subjects()[explorer.subject]
    seen = subject.amounts(solved(explorer, **observe.at[0]))[observe.amount]

    tables = sheet_of(lesson, METRIC).tables
    cells = {cell for table in tables for row in table.rows for cell in row}

    assert not cells & {right, subject.units(METRIC).show(*seen)}


@pytest.mark.parametrize("lesson", printed_lessons())
def test_the_figure_has_a_scale_and_hides_the_readings(lesson):
    marks = [
        mark
        for panel in sheet_of(lesson, METRIC).figure.panels
        for mark in (*panel.drawing.still, *panel.drawing.moving)
    ]

    named = [m.text for m in marks if isinstance(m, Label) and "°" in m.text]

    assert set(named) <= {f"{15 * k}°" for k in range(7)}
    # A curve is read on its axes: there is no angle in it.
    angles = any(view.scales for view in lessons()[lesson].handout.views)
    assert ("30°" in named) == angles
    hidden = [v for view in lessons()[lesson].handout.views for v in view.readings]
    said = [m.text for m in marks if isinstance(m, Label)]
    assert not [t for t in said if any(h in t for h in hidden if h != "°")]
    assert sum(isinstance(m, Line) and len(m.points) == 2 for m in marks) > 10


@needs_poppler
def test_a_ruler_on_paper_measures_what_the_sheet_says(printed, tmp_path):
    # Counted on the page as printed, at ten dots a mm.
    for paper, bar, told in (
        ("A4", 100.0, "Scale 1:20: the bar stands for 2000 mm."),
        ("Letter", 4 * 25.4, "Scale 1:20: the bar stands for 80.00 in."),
    ):
        folder, pages, _ = printed("L07", paper, UNITS[paper])
        code = next(iter(pages))
        assert told in pages[code][0]
        dots = ["pdftoppm", "-r", "254", "-gray", "-l", "1", folder / f"L07 {code}.pdf"]
        subprocess.run([*dots, tmp_path / paper], check=True, capture_output=True)
        (page,) = tmp_path.glob(f"{paper}*.pgm")
        runs = dark_runs(page.read_bytes())
        assert any(abs(run - 10 * bar) <= 3 for run in runs)
        # The picture's own bar, 500 mm or 10 in, at one to twenty.
        own = {"A4": 500 / 20, "Letter": 12.7}[paper]
        assert any(abs(run - 10 * own) <= 5 for run in runs)  # with its ends


def dark_runs(pgm):
    """Return how long runs of dark dots in a picture's rows are, 10 mm at least."""
    _, size, _, data = pgm.split(b"\n", 3)
    wide, high = map(int, size.split())
    dark = np.frombuffer(data, np.uint8).reshape(high, wide) < 160
    edges = np.diff(np.pad(dark, ((0, 0), (1, 1))).astype(np.int8))
    starts, ends = (np.argwhere(edges == way) for way in (1, -1))
    long = ends[:, 1] - starts[:, 1]
    return {*long[long > 100].tolist()}


@pytest.mark.parametrize(
    ("lesson", "system"),
    [*((one, METRIC) for one in printed_lessons()), ("L02", INCH), ("L09", INCH)],
    ids=lambda one: getattr(one, "name", one),
)
def test_readings_stand_clear_of_lines_and_of_each_other(lesson, system):
    sheet, _ = settle(sheet_of(lesson, system).figure)
    for panel in sheet.panels:
        labels = [m for m in panel.drawing.seen if isinstance(m, Label)]
        read = [m for m in labels if m.text.endswith("°") or m.text.isdecimal()]
        for one in read:
            rest = [m for m in panel.drawing.seen if m is not one]
            drawing = replace(panel.drawing, still=rest, moving=[])
            x, y, *half = Obstacles(panel, sheet)._box(
                one, Obstacles(panel, sheet).px(one.at)
            )
            room = Obstacles(replace(panel, drawing=drawing), sheet)
            assert room.cost(np.array([(x, y)]), np.array([half])) < ON_LINE, one.text


def test_the_key_holds_numbers_answers_and_mistakes_of_everybody(listed, tmp_path):
    main(["key", str(listed), "L02", "-o", str(tmp_path / "key")])

    with (tmp_path / "key" / "L02 key.csv").open(
        encoding="utf-8-sig", newline=""
    ) as file:
        rows = [*csv.DictReader(file)]

    each = 1 + len(exercises_of("L02"))  # a letter, and the exercises
    assert [row["name"] for row in rows[::each]] == NAMES
    for row in rows:
        if row["exercise"] != "2.1":
            continue
        tension, angle = map(float, re.findall(r"[\d.]+", row["numbers"]))
        part = tension * cos(radians(angle))
        assert float(row["right answer"]) == pytest.approx(part, rel=1e-3)
        assert row["unit"] == "kN"
        assert f"M01_whole_tension {tension:.1f} kN" in row["mistakes"]
        assert "M02_sin_cos" in row["mistakes"]


def test_the_key_file_reads_back_as_the_drawn_numbers(listed, tmp_path):
    main(["key", str(listed), "L08", "-o", str(tmp_path / "key")])
    class_list = read_class(listed)

    key = read_keys([tmp_path / "key" / "L08 key.json"], class_list)

    assert len(key.rows) == len(exercises_of("L08")) * len(class_list.students)
    for student in class_list.students:
        one = exercise("8.4")
        drawn = variant_for(one, class_key="oak", student=student.code, set="exit")
        kept = key.entry(student.code.lower(), one, set="exit")
        assert not kept.remark
        assert kept.variant.numbers == drawn.numbers
        assert kept.variant.answer == drawn.answer


def test_what_somebody_changed_is_never_overwritten(listed, tmp_path, capsys):
    folder = tmp_path / "out"
    order = ["key", str(listed), "L02", "-o", str(folder)]
    assert main(order) == main(order) == 0
    (folder / "L02 key.csv").write_text("my notes", "utf-8")
    before = (folder / "L02 key.json").stat().st_mtime_ns
    capsys.readouterr()

    assert main(order) == 1

    assert "L02 key.csv is there already, and not as this command wrote it" in (
        capsys.readouterr().err
    )
    assert (folder / "L02 key.csv").read_text("utf-8") == "my notes"
    assert (folder / "L02 key.json").stat().st_mtime_ns == before


def test_a_link_in_the_place_of_a_file_is_not_followed(listed, tmp_path, capsys):
    folder, aim = tmp_path / "out", tmp_path / "aim.txt"
    folder.mkdir()
    aim.write_text("precious", "utf-8")
    (folder / "L02 key.csv").symlink_to(aim)

    assert main(["key", str(listed), "L02", "-o", str(folder)]) == 1

    assert aim.read_text("utf-8") == "precious"
    assert [path.name for path in folder.iterdir()] == ["L02 key.csv"]


def test_a_lesson_without_exercises_is_refused(listed, tmp_path, capsys):
    assert main(["handout", str(listed), "L99", "-o", str(tmp_path / "out")]) == 1

    assert ", ".join(printed_lessons()) in capsys.readouterr().err
    assert not (tmp_path / "out").exists()


@needs_poppler
def test_a_large_class_is_laid_together_in_order(tmp_path):
    # More students than are joined at a time, more rows than one part of the key.
    people = [Student(name=f"Student {n}") for n in range(40)]
    made = made_class(people, key="oak", chance=random.Random(5))
    write_class(tmp_path / "class.csv", made)

    assert (
        main(["handout", str(tmp_path / "class.csv"), "L02", "-o", str(tmp_path)]) == 0
    )

    assert press.TOGETHER < press.IN_ONE_FILE < 40 > cut_out.TOGETHER
    pages = [
        page
        for number in (1, 2)
        for page in text_of(tmp_path / f"L02 whole class {number}.pdf")
    ]
    assert 40 * len(exercises_of("L02")) > key_pages.KEY_ROWS
    each = handouts.student_pages("L02")
    for place, student in enumerate(made.students):
        own = text_of(tmp_path / f"L02 {student.code}.pdf")
        assert pages[each * place :][:each] == own
    key = text_of(tmp_path / "L02 key.pdf")
    assert sum("Class key oak" in page for page in key) == 1
    assert [int(page.split()[-1]) for page in key] == [*range(1, len(key) + 1)]
    strips = text_of(tmp_path / "L02 answer strips.pdf")
    whole = " ".join(key)
    starts = [whole.index(student.code) for student in made.students]
    assert starts == sorted(starts)
    for student, strip in zip(made.students, strips, strict=True):
        assert whole.count(student.code) == strip.count(student.code) == 1
