"""A part past its rating is said first, and no margin is told as permission."""

import json
import re

import pytest

from widgets import ChainSagExplorer, PullExplorer
from workbook.cli import main
from workbook.course import lessons
from workbook.course.tables import solved
from workbook.errors import WorkbookError
from workbook.quantities.units import METRIC
from workbook.scenes.holds import hold_from_toml
from workbook.scenes.kestrin import kestrin_hold
from workbook.scenes.set_up_files import to_toml
from workbook.scenes.setups import Setup

# 30 kN of ram give a clamp of 20 kN more than it may carry, and nothing else.
ONE = {"ram_force_kn": 30, "clamp": "narrow clamp", "chain_size": "13 mm"}
MANY = {"ram_force_kn": 70, "clamp": "narrow clamp"}
NONE = {"ram_force_kn": 10}


@pytest.fixture(autouse=True)
def own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("PULLWRIGHT_SETTINGS", str(tmp_path / "settings"))
    monkeypatch.chdir(tmp_path)


@pytest.fixture
def written(tmp_path):
    def write(values, name="Own"):
        file = tmp_path / f"{name}.toml"
        file.write_text(to_toml(Setup(title=name, values=values)), "utf-8")
        return str(file)

    return write


def shares(values):
    path = Setup(values=values).solved().load_path
    return {part.place: float(part.share) for part in path.parts if part.share > 1}


def test_the_set_ups_of_this_page_are_what_they_are_called():
    assert [*shares(ONE)] == ["clamp"]
    assert len(shares(MANY)) > 2
    assert shares(NONE) == {}


def first_words(values):
    share = METRIC.show(max(shares(values).values()), "share")
    if len(shares(values)) == 1:
        return f"Stop: the clamp is past its rating, {share} of 20.0 kN."
    worst = max(shares(values), key=shares(values).get)
    return f"Stop: {len(shares(values))} parts are past their ratings, the {worst} fu"


@pytest.mark.parametrize("values", [ONE, MANY])
def test_an_explorer_says_and_speaks_it_first_and_writes_it_in_its_picture(values):
    explorer = PullExplorer(values)

    frame = explorer.stage.frame
    words = first_words(values)
    assert frame["spoken"].startswith(words)
    assert frame["words"].startswith(words)
    assert f">{words}" in frame["picture"]
    explorer.stage.room = "projector"
    assert re.search(
        r">Stop: (\d parts, )?clamp.*\d%<", explorer.stage.frame["picture"]
    )


def test_within_every_rating_nothing_says_stop():
    explorer = PullExplorer(NONE)
    explorer.extras["load path"].value = True

    assert "Stop" not in "".join(map(str, explorer.stage.frame.values()))


@pytest.mark.parametrize("values", [ONE, MANY])
def test_the_load_path_says_it_first_and_beside_each_part(values):
    explorer = PullExplorer(values)

    sheet = explorer.subject.extras["load path"](explorer.result, system=METRIC)

    assert sheet.text.startswith(first_words(values))
    beside = [m.text for m in sheet.panels[0].drawing.seen if hasattr(m, "text")]
    marked = [text for text in beside if "past it, stop" in text]
    assert len(marked) == len(shares(values))


def test_a_chain_that_is_to_be_pulled_past_its_rating_says_stop():
    explorer = ChainSagExplorer({"working_kn": 15, "chain_size": "8 mm"})

    # Twice 15 kN on a chain for 2 t, which is 19.6 kN: 153 %.
    words = "Stop: 30.0 kN is past the chain&#x27;s rating, 153% of 19.6 kN "
    assert explorer.stage.frame["words"].startswith(words)
    explorer.set(working_kn=9)
    assert "Stop" not in explorer.stage.frame["words"]


@pytest.mark.parametrize("values", [ONE, MANY])
def test_the_command_for_one_pull_says_it_first(written, capsys, values):
    main(["pull", written(values)])

    out = capsys.readouterr().out
    assert out.startswith(first_words(values))
    assert out.count(": past it, stop") == len(shares(values))


def test_the_command_for_several_says_it_first_for_pulls_and_clamps(
    written, capsys, tmp_path
):
    clamps = tmp_path / "clamps.toml"
    held = kestrin_hold()
    clamps.write_text(
        "form = 1\n[body]\n"
        "weight_kn = 1\nforward_mm = 0\nleft_mm = 0\nheight_mm = 300\n"
        + "".join(
            f'[[clamp]]\nname = "{name}"\nforward_mm = {x * 1e3}\nleft_mm = {y * 1e3}\n'
            f"height_mm = {z * 1e3}\nstiffness_kn_per_mm = [20, 20, 20]\n"
            "rating_kn = 1\nslip_kn = 90\n"
            for name, (x, y, z) in zip(held.names, held.clamps.positions, strict=True)
        ),
        "utf-8",
    )
    assert hold_from_toml(clamps.read_text("utf-8")).names == held.names

    main(["bench", written(ONE), "--clamps", str(clamps)])

    lines = capsys.readouterr().out.splitlines()
    assert lines[0] == f"Own: {first_words(ONE)}"
    said = [line for line in lines if line.startswith("Stop: ")]
    assert said == lines[1 : 1 + len(said)]
    assert {line.split(" is past")[0].removeprefix("Stop: ") for line in said} == {
        line.strip().split("  ")[0]
        for line in lines
        if line.endswith("past its rating, stop") or "past its rating, stop," in line
    }
    assert said


@pytest.mark.parametrize(
    ("values", "whose"),
    [
        (ONE, "the invented shop's"),
        ({"chain_size": "7 mm"}, "that of a standard for lifting, not for this"),
        (
            {"chain_grade": "49 CFR 393.108 grade 43", "chain_size": "7 mm"},
            "that of a standard for securing cargo, not for this",
        ),
        (
            {"chain_grade": "49 CFR 393.108 unmarked", "chain_size": "7 mm"},
            "that of a standard for securing cargo (no tag, no use)",
        ),
    ],
)
def test_before_a_margin_stands_whose_limit_it_is_and_that_it_is_no_approval(
    written, capsys, values, whose
):
    main(["pull", written(values)])
    out = capsys.readouterr().out
    explorer = PullExplorer(values)
    text = explorer.subject.extras["load path"](explorer.result, system=METRIC).text

    needed = f"The limit is {whose}, and nothing below it is an approval."
    for said in (out, str(text)):
        assert needed in said
        assert said.index(needed) < said.index("on the gauge")
    assert "reaches" not in out


def test_a_plan_says_whose_limits_before_how_many_are_inside(capsys):
    main(["plan", "kestrin"])

    out = capsys.readouterr().out
    number = out.index(" set-ups are inside")
    for needed in ("margin is the school's", "invented shop's", "is no approval"):
        assert out.index(needed) < number
    assert "pass" not in out.split("Refused")[0]


@pytest.mark.parametrize(
    ("grade", "said"),
    [
        ("EN 818-2 grade 8", "rating for lifting"),
        ("EN 818-3 grade 4", "rating for lifting"),
        ("49 CFR 393.108 grade 70", "rating for securing cargo"),
        ("49 CFR 393.108 unmarked", "no tag, no use"),
    ],
)
def test_a_chains_rating_says_what_its_standard_is_for(written, capsys, grade, said):
    values = {"chain_grade": grade, "chain_size": "10 mm"}
    explorer = PullExplorer(values)
    explorer.extras["load path"].value = True
    main(["pull", written(values)])
    out = capsys.readouterr().out

    assert explorer.stage.frame["more"].count(said) >= 2  # both legs
    lines = [line for line in out.splitlines() if " chain, grade" in line]
    assert len(lines) == 2
    assert all(said in line for line in lines)
    chosen = explorer.subject.fields["chain_grade"].shown(grade)
    assert said.removeprefix("rating ") in chosen


def test_fields_for_programs_say_what_a_rating_is_for(written, capsys):
    main(["pull", written(NONE), "--json"])

    path = json.loads(capsys.readouterr().out)["load_path"]

    assert [part["rating_for"] for part in path] == [
        "invented", "invented", "lifting", "invented", "lifting", "invented",
    ]  # fmt: skip


def rigs_of_the_course():
    """Return every pull that a lesson opens, names, tabulates or prints."""
    for one in lessons().values():
        for explorer in one.explorers:
            for name in ("start", *explorer.named):
                yield one, explorer.name, name, {}
        tables = [*one.contrast, *(one.handout.tables if one.handout else ())]
        for table in tables:
            for row in table.rows:
                name, own = (row, {}) if isinstance(row, str) else ("start", row)
                for column in table.columns:
                    changes = {**table.change, **own, **column.change}
                    yield one, table.explorer, name, changes
        for view in one.handout.views if one.handout else ():
            yield one, view.explorer, "start", view.change


def test_no_rig_of_a_lesson_or_a_handout_is_past_a_rating():
    seen, past = 0, []
    for one, explorer, name, changes in rigs_of_the_course():
        if one.explorer(explorer).subject != "pull":
            continue
        try:
            path = solved(one.explorer(explorer), name, **changes).load_path
        except WorkbookError:
            continue  # meant to be refused
        seen += 1
        if path.largest_share > 1:
            past.append((one.id, explorer, name, changes, str(path.governing)))

    assert seen > 20
    assert past == []
