"""The angle card and the quick checks: numbers, page, command, card on the screen."""

import json
import re
import subprocess
from shutil import which

import nbformat
import numpy as np
import pytest

from widgets import AngleTables, EntryCheck, ExerciseCard, QuickCheckCard, Refresh
from widgets.quick_check import Ways
from workbook.classroom.angle_card import card_pdf
from workbook.cli import main
from workbook.language import caution, say
from workbook.mechanics.pull.linkage import solve_pull
from workbook.quantities.units import INCH, METRIC
from workbook.reader.opening import CARD, shipped_lessons
from workbook.reports.quick import card_tables
from workbook.scenes.quick import CHECKS, angle_card
from workbook.scenes.setups import Setup

# Worked by hand; the head: 40 sin 65 / sin 105 and 40 sin 40 / sin 105.
BY_HAND = {
    "straight": ({"tension": "30 kN", "off_line": "20"}, {"useful": 28190.8}),
    "needed": ({"useful": "30", "off_line": "60 deg"}, {"tension": 60e3}),
    "head": (
        {"ram_force": "40", "to_pull": "40", "to_anchor": "65"},
        {"pull_leg": 37531.1, "anchor_leg": 26618.4},
    ),
    "bridle": ({"pull": "24 kN", "between": "120"}, {"leg": 24e3}),
    "redirect": ({"tension": "15", "between": "100 deg"}, {"anchor": 19283.6}),
}


PULL_CODE = Setup(values={"fork_offset_mm": 0.0}).code


@pytest.fixture(autouse=True)
def own_folder(settings_folder):
    """Each test is a reader of its own."""


@pytest.mark.parametrize("name", CHECKS)
def test_a_quick_check_gives_what_was_worked_by_hand(name):
    typed, wanted = BY_HAND[name]

    found = CHECKS[name].answer(typed, system=METRIC)

    assert {*found} == {*CHECKS[name].gives}
    for number, value in wanted.items():
        assert found[number] == pytest.approx(value, rel=1e-5)


def test_the_locked_head_is_that_of_the_linkage():
    rig = Setup(values={"fork_offset_mm": 0.0}).solved()
    pull = solve_pull(rig.rig, ram_force=40e3)
    head, rig = pull.head, rig.rig
    to = {
        "base": rig.base - head,
        "pull": rig.clamp - head,
        "anchor": rig.anchor - head,
    }

    def between(one, other):
        a, b = to[one], to[other]
        return float(np.arccos(a @ b / np.linalg.norm(a) / np.linalg.norm(b)))

    found = CHECKS["head"].solve(
        40e3, between("base", "pull"), between("base", "anchor")
    )

    assert found["pull_leg"] == pytest.approx(float(pull.pull_tension), rel=1e-9)
    assert found["anchor_leg"] == pytest.approx(float(pull.anchor_tension), rel=1e-9)


@pytest.mark.parametrize(
    ("name", "typed", "says"),
    [
        ("straight", {"tension": "30"}, "angle off the wanted line: "),
        ("straight", {"tension": "30", "off_line": "90"}, "no part along"),
        ("straight", {"tension": "-3", "off_line": "9"}, "can only pull"),
        ("bridle", {"pull": "3 tons", "between": "20"}, "Which ton"),
        ("straight", {"tension": "501 kN", "off_line": "9"}, "up to 500.0 kN"),
        ("bridle", {"pull": "3", "between": "180"}, "flat"),
        ("bridle", {"pull": "3", "between": "-5"}, "one leg on each side"),
        ("redirect", {"tension": "3", "between": "200"}, "Two runs stand"),
    ],
)
def test_what_cannot_be_is_refused_in_one_sentence_that_names_it(name, typed, says):
    card = QuickCheckCard()
    card.choose(name)

    card.work_out({f"{name}/{key}": text for key, text in typed.items()})

    assert says in card.frame["note"]
    assert card.frame["result"] is None


def test_the_card_has_the_rows_of_the_formulas():
    card, between = angle_card(), np.radians([0, 60, 90, 120, 140, 160])

    assert card.between.tolist() == between.tolist()
    assert card.useful**2 + card.sideways**2 == pytest.approx(np.ones(9))
    assert card.tension * card.useful == pytest.approx(np.ones(9))
    assert card.leg == pytest.approx(1 / (2 * np.cos(between / 2)))
    assert card.anchor == pytest.approx(2 * np.cos(between / 2))
    # Slack 20 mm in 2 m by hand: root of 3 x 2 x 0.020 / 8 = 0.1225 m.
    assert card.sag[2] == pytest.approx(0.12247, abs=1e-5)


@pytest.mark.parametrize("system", [METRIC, INCH], ids=lambda one: one.name)
@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_the_printed_card_is_one_page_with_every_number(tmp_path, paper, system):
    if which("pdftotext") is None:
        pytest.skip("needs pdftotext (poppler-utils)")
    page = tmp_path / "card.pdf"
    page.write_bytes(card_pdf(paper=paper, system=system))

    printed = subprocess.run(
        ["pdftotext", "-raw", page, "-"], capture_output=True, check=True, text=True
    ).stdout

    assert printed.count("\f") == 1
    words = " ".join(printed.split())
    for table in card_tables(system):
        for row in table.rows:
            assert " ".join(row) in words
    for name in ("S0", "S6", "S7"):
        assert caution(name) in words


def test_results_have_three_figures_at_most_and_say_what_is_held(capsys):
    asked = ["check", "redirect", "--tension", "5395lbf", "--between", "77deg"]

    assert main([*asked, "--units", "lbf-inch"]) == 0

    lines = capsys.readouterr().out.splitlines()
    assert lines[1] == "load on the roller's anchor: 8440 lbf"  # 8444.4
    assert lines[2] == say("explorer", "held", what="tension in the chain")
    assert lines[3] == caution("short")
    assert lines[-1] == caution("S0")


def test_a_number_below_nothing_is_read_as_a_number_of_the_command(capsys):
    asked = ["check", "redirect", "--tension", "-5kN", "--between", "60deg"]

    assert main(asked) == 1

    assert "A chain can only pull: −5.0 kN" in capsys.readouterr().err


def test_the_rules_of_a_school_stand_on_card_page_and_checks(
    tmp_path, monkeypatch, capsys
):
    monkeypatch.chdir(tmp_path)
    rule = "Nobody works on the bench alone after five, whoever else is in the room."
    rules = f"margin = 0.8\nzone_deg = 40\nbridle_deg = 90\nrules = {[rule] * 5}\n"
    (tmp_path / "session.toml").write_text(f"form = 1\n[school]\n{rules}", "utf-8")
    limit = "Keep the angle between two legs at 90° or less."

    assert main(["check", "bridle", "--pull", "2kN", "--between", "9deg"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert {rule, limit} <= {*lines[: lines.index("")]}
    assert main(["card"]) == 0
    assert {rule, limit} <= {*capsys.readouterr().out.splitlines()}
    assert main(["pull", PULL_CODE]) == 0
    assert {rule, limit} <= {*capsys.readouterr().out.splitlines()}
    assert main(["pull", PULL_CODE, "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["school"][-1] == rule
    assert f"<p>{limit}</p>" in AngleTables().tables.value
    if which("pdftotext") is not None:
        assert main(["card", "--out", "card.pdf"]) == 0
        printed = subprocess.run(
            ["pdftotext", "-raw", "card.pdf", "-"], capture_output=True, text=True
        ).stdout
        assert printed.count("\f") == 1
        assert limit in printed
        assert " ".join(printed.split()).count(rule) == 5


def test_the_command_names_the_numbers_that_a_check_takes(capsys):
    assert main(["check", "bridle", "--pull", "3kN", "--off-line", "3deg"]) == 1

    said = capsys.readouterr()
    assert said.out == ""
    assert "--pull, --between" in said.err


def test_the_command_writes_the_page_and_shows_the_card(tmp_path, capsys):
    page = tmp_path / "card.pdf"

    assert main(["card", "--out", str(page), "--paper", "us-letter"]) == 0
    assert main(["card"]) == 0

    assert page.read_bytes().startswith(b"%PDF")
    assert "160°" in capsys.readouterr().out


def test_the_page_shows_the_card_of_the_command(capsys):
    main(["card"])

    shown = AngleTables()

    assert repr(shown) == capsys.readouterr().out.rstrip("\n")
    cells = re.findall(r"<t[dh][^>]*>([^<]*)</t[dh]>", shown.tables.value)
    assert cells == [
        cell
        for table in card_tables(METRIC)
        for row in (table.heads, *table.rows)
        for cell in row
    ]


def test_the_page_stands_open_and_holds_its_cautions():
    cells = nbformat.reads(shipped_lessons()[CARD], as_version=4).cells

    said = re.sub(r"\n>? ?", " ", "\n".join(cell.source for cell in cells))

    assert "predict" not in {t for c in cells for t in c.metadata.get("tags", [])}
    for name in ("S0", "S6", "S7"):
        assert f"**Caution {name}.** {caution(name)}" in said


def test_a_check_is_worked_out_on_the_card_and_another_chosen():
    card = QuickCheckCard()

    card._heard(
        {
            "act": "work_out",
            "typed": {"straight/tension": "30", "straight/off_line": "20"},
        }
    )
    first = card.frame["result"]["lines"]
    card._heard({"act": "bridle"})

    assert first[0] == "useful pull, along the line: 28.2 kN"
    assert card.frame["result"] is None
    names = [one["name"] for one in card.frame["form"]["fields"]]
    assert names == ["bridle/pull", "bridle/between"]


def test_the_ways_lead_to_the_cards_of_the_page():
    places = [place for place, _ in Ways().frame["nearby"]["choices"]]

    shown = [QuickCheckCard(), Refresh(), EntryCheck()]

    assert places == [card.frame["place"] for card in shown]


def test_a_question_on_the_page_follows_the_units():
    card = ExerciseCard("7.2")

    AngleTables().units.value = "lbf-inch"

    assert "lbf)" in card.frame["intro"][0]


def test_one_control_sets_the_units_of_the_page_and_they_are_remembered(
    settings_folder,
):
    tables, card = AngleTables(), QuickCheckCard()
    typed = {"straight/tension": "3", "straight/off_line": "20"}

    tables.units.value = "tf-mm"
    card.work_out(typed)

    assert card.frame["form"]["fields"][0]["label"] == "tension in the chain (tf)"
    assert card.lines[0] == "useful pull, along the line: 2.82 tf"  # 3 cos 20°
    assert "slack in a span of 2000 mm" in tables.tables.value
    tables.units.value = "lbf-inch"
    assert "slack in a span of 78.74 in" in tables.tables.value
    assert card.frame["form"]["fields"][0]["label"] == "tension in the chain (lbf)"
    assert AngleTables().units.value == "lbf-inch"
