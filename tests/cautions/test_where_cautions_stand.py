"""Every surface against the one table of where each caution stands, word for word."""

import html
import re
import subprocess
from pathlib import Path
from shutil import which

import ipywidgets as ipw
import nbformat
import pytest

from widgets import EXPLORERS, ExerciseCard, lesson
from workbook.cli import main
from workbook.course import lessons
from workbook.exercises import EXERCISES
from workbook.figures.pictures import subjects
from workbook.language import CAUTIONS, STANDING, caution, entries, left_out
from workbook.scenes.set_up_files import to_toml
from workbook.scenes.setups import Setup

ROOT = Path(__file__).parents[2]
SHORT = "Teaching figure: tag, procedure and maker's book decide."
SAFE = re.compile(r"\bsafe(?:ly)?\b[^.]{0,40}\d|\d[^.]{0,40}\bsafe(?:ly)?\b", re.I)
SUBJECTS = subjects()
NOTEBOOKS = {f"L{path.name[:2]}": path for path in (ROOT / "lessons").glob("*.ipynb")}


@pytest.fixture(autouse=True)
def own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("PULLWRIGHT_SETTINGS", str(tmp_path / "settings"))
    monkeypatch.chdir(tmp_path)


def joined(text):
    return re.sub(r"\s+", " ", re.sub(r"\s*\n>?\s*", " ", text))


def cells_and_outputs(path):
    """Return all that a reader reads of an executed lesson."""
    found = []
    for cell in nbformat.read(path, as_version=4).cells:
        found.append(cell.source)
        for output in cell.get("outputs", ()):
            found.append(str(output.get("text", "")))
            found.append(str(output.get("data", {}).get("text/plain", "")))
    return joined("\n".join(found))


def widget_text(box):
    found, waiting = [], [box]
    while waiting:
        one = waiting.pop()
        waiting += getattr(one, "children", ())
        if isinstance(one, ipw.HTML):
            found.append(one.value)
    return html.unescape(" ".join(found))


def pages(path):
    """Return the text of each page of a PDF."""
    if which("pdftotext") is None:
        pytest.skip("needs pdftotext (poppler-utils)")
    out = subprocess.run(
        ["pdftotext", "-raw", str(path), "-"], capture_output=True, check=True
    ).stdout.decode()
    return [re.sub(r"\s+", " ", page) for page in out.split("\f") if page.strip()]


def standing(*places):
    return {name for place in places for name in STANDING[place]}


# ------------------------------------------------------------------- the table


def test_the_table_is_the_teaching_plans():
    # Lessons and what stands where: S6 in lessons of loads and of bridles only.
    assert STANDING["page"] == ("S0",)
    assert [caution(name) for name in STANDING["result"]] == [SHORT]
    assert standing("L01") == standing("hit") == {"S12", "S13"}
    assert standing("L02") == {"S2", "S6"}
    assert standing("L03") == standing("anchoring") == {"S2", "S6"}
    assert standing("L04") == standing("measuring") == {"S2"}
    assert standing("L05") == standing("damage") == set()
    assert standing("L06") == standing("pull line") == {"S1", "S2"}
    assert standing("L07") == standing("pull") == {"S1", "S8"}
    assert standing("L08") == standing("bridle") == {"S1", "S8", "S6", "S16"}
    assert standing("L09") == standing("chain sag") == {"S1", "S5"}
    assert standing("L10") == {"S6", "S7"}
    assert standing("L12") == standing("rams") == {"S1", "S4", "S5", "S11"}
    assert standing("L13") == standing("steps") == {"S2", "S9"}
    assert standing("L15") == standing("springback") == {"S2", "S9", "S10", "S13"}
    assert standing("L16") == standing("final check") == {"S15"}
    assert standing("L17") == standing("L11") - {"S5"} | {"S9", "S10", "S13"}
    assert standing("sheet edge") == standing("springback")
    assert standing("L14") == standing("holding") == {"S1", "S3"}
    assert standing("L11") == standing("fire") == {"S1", "S2", "S3", "S4", "S5", "S14"}
    assert standing("arrow") == standing("L02")


def test_every_lesson_and_every_explorer_is_in_it_and_nothing_else():
    assert {*STANDING} == {"page", "result", *lessons(), *EXPLORERS}


def test_each_model_says_what_it_leaves_out_itself():
    named = {one.name: one.leaves_out for one in SUBJECTS.values()}

    assert all(named.values())
    assert {n for names in named.values() for n in names} == {
        *entries()["caution"]["leaves_out"]
    }
    # Where nothing is pulled, there is no chain to weigh and no ram to rub.
    for name in ("hit", "measuring", "damage"):
        assert not re.search(r"\b(chain|ram|roller|socket)", left_out(named[name]))
    assert left_out(named["pull"]).startswith("friction at the head, weight of chain")


# ------------------------------------------------------------------- surfaces


@pytest.mark.parametrize("id", [*lessons()])
def test_a_notebook_holds_its_cautions_once_and_no_other(id):
    text = cells_and_outputs(NOTEBOOKS[id])

    counted = {name: text.count(caution(name)) for name in CAUTIONS}

    assert counted == {name: int(name in standing("page", id)) for name in CAUTIONS}


@pytest.mark.parametrize("id", [*lessons()])
def test_the_course_places_the_cautions_of_the_table(id):
    placed = [name for names in lessons()[id].cautions.values() for name in names]

    assert sorted(placed) == sorted(standing("page", id))


@pytest.mark.parametrize("id", [one.id for one in lessons().values() if one.worked])
def test_a_worked_example_ends_with_the_line_of_a_result(id):
    here = lesson(id)

    for one in here.lesson.worked:
        shown = html.unescape(here.worked(one.name).box.value)
        assert shown.endswith(f"<p>{SHORT}</p></div>")


@pytest.mark.parametrize("name", [*EXPLORERS])
def test_an_explorer_shows_one_line_that_opens_the_full_text(name):
    foot = html.unescape(EXPLORERS[name]().box.children[-1].value)

    shown, _, folded = foot.partition("</summary>")
    folded, _, after = folded.partition("</details>")
    assert shown.endswith(f"<details><summary>{SHORT}")
    inside = {n for n in CAUTIONS if caution(n) in folded}
    assert inside == standing("page", name)
    assert left_out(SUBJECTS[name].leaves_out) in after  # never folded away
    assert not any(caution(n) in shown + after for n in CAUTIONS)


@pytest.mark.parametrize("id", sorted({id for id, _ in EXERCISES}))
def test_a_card_shows_one_line_that_opens_the_full_text(id):
    card = ExerciseCard(id)
    if card.task.waits:  # nothing to answer yet, and no result to warn of
        assert card.frame.get("result") is None
        return
    card.answer("1 kN")

    fold = card.frame["caution"]
    rest = str({key: part for key, part in card.frame.items() if key != "caution"})

    assert fold["summary"] == SHORT
    assert fold["lines"][0] == caution("S0")
    texts = {caution(n): n for n in CAUTIONS}
    assert {texts[line] for line in fold["lines"]} <= standing(
        "page", EXERCISES[next(k for k in EXERCISES if k[0] == id)].lesson
    )
    assert not any(text in rest for text in texts)


# Of the handouts: tests/cli/test_classroom_handout.py.

COMMANDS = {
    "pull": ["pull", "one.toml"],
    "bench": ["bench", "one.toml", "--clamps", "kestrin"],
    "plan": ["plan", "kestrin"],
    "survey": ["survey", "kestrin", "--spec", "kestrin"],
    "damage": ["damage", "kestrin", "--spec", "kestrin"],
}


@pytest.fixture
def one_pull(tmp_path):
    setup = Setup(values={"fork_offset_mm": 50})
    (tmp_path / "one.toml").write_text(to_toml(setup), "utf-8")
    return setup


@pytest.mark.parametrize("command", COMMANDS)
def test_a_commands_result_has_the_caution_in_full_once(command, one_pull, capsys):
    main(COMMANDS[command])

    out = capsys.readouterr().out
    assert out.count(caution("S0")) == 1
    pulled = command in {"pull", "bench", "plan"}
    assert out.count(left_out(SUBJECTS["pull"].leaves_out)) == pulled


@pytest.mark.parametrize("kind", ["svg", "pdf"])
@pytest.mark.parametrize("command", COMMANDS)
def test_a_saved_picture_carries_code_caution_and_what_is_invented(
    command, kind, one_pull, tmp_path
):
    file = tmp_path / f"picture.{kind}"
    main([*COMMANDS[command], "--picture", file.name])
    if kind == "pdf":
        [written] = pages(file)
    else:
        svg = html.unescape(file.read_text("utf-8"))
        written = joined(" ".join(re.findall(r">([^<>]+)</text>", svg)))

    assert written.count(SHORT) == 1
    assert "invented for teaching" in written.lower()
    if command in {"pull", "bench"}:
        assert f"set-up code: {one_pull.code}" in written


def test_notes_stand_below_the_picture_and_inside_it(one_pull, tmp_path):
    from xml.etree import ElementTree

    main(["pull", "one.toml", "--picture", "picture.svg"])

    root = ElementTree.fromstring((tmp_path / "picture.svg").read_text("utf-8"))
    high = float(root.get("height"))
    rows = {t.text: float(t.get("y")) for t in root.findall(".//{*}text")}
    notes = ("Teaching figure", "Invented for")
    at = [y for text, y in rows.items() if text and text.startswith(notes)]
    assert len(at) == 2
    assert max(at) < high
    assert min(at) > max(y for y in rows.values() if y < min(at))


@pytest.mark.parametrize("page", ["README.md", "lessons/README.md"])
def test_a_page_has_the_caution_in_full(page):
    text = (ROOT / page).read_text("utf-8")

    assert caution("S0") in joined(text).replace("**", "")


# ---------------------------------------------------------------- no safe number


def surfaces(tmp_path, capsys):
    yield from ((str(p), cells_and_outputs(p)) for p in NOTEBOOKS.values())
    for name, made in EXPLORERS.items():
        explorer = made()
        yield name, widget_text(explorer.box) + str(explorer.stage.frame["words"])
    for command, argv in COMMANDS.items():
        main(argv)
        yield command, capsys.readouterr().out
    for id in sorted({id for id, _ in EXERCISES}):
        card = ExerciseCard(id)
        card.answer("1 kN")
        yield id, " ".join(re.findall(r"[^<>{}]+", str(card.frame)))
    for page in ("README.md", "lessons/README.md", "workbook/scenes/README.md"):
        yield page, (ROOT / page).read_text("utf-8")
    for file in sorted((ROOT / "workbook/language/en").rglob("*.toml")):
        for line in file.read_text("utf-8").splitlines():
            yield file.name, line.partition("=")[2]


def test_nothing_is_called_safe_beside_a_number(tmp_path, capsys, one_pull):
    seen, found = 0, []
    for name, text in surfaces(tmp_path, capsys):
        seen += 1
        found += [(name, hit.group()) for hit in SAFE.finditer(text)]

    assert seen > 50
    assert found == []


@pytest.mark.parametrize("text", ["safe up to 20 kN", "60° is safe", "40 % safely"])
def test_a_safe_number_would_be_seen(text):
    assert SAFE.search(text)
