"""The bay on paper: its results are those of the acts, its answers are acts."""

import numpy as np
import pytest

from workbook.bay import good_job
from workbook.bay import paper as papers
from workbook.bay.car import VERSION, car_for
from workbook.bay.job import do, new_job, replay
from workbook.bay.marks import marked_bay
from workbook.bay.paper import acts_of_paper, paper_pulls, read_paper
from workbook.classroom.bay_paper import plan_of
from workbook.classroom.roll import Student, made_class, write_class
from workbook.cli import main
from workbook.errors import WorkbookError
from workbook.figures.drawing.marks import Label
from workbook.quantities.units import METRIC

CODES = {"class_key": "oak", "student": "S0"}
HEAD = "code: S0\nmargin: 0.85\nzone: 20\n"
WHOLE = """
kinds: mash
order: {order}
stop: {stop}
clamps: left front, right front, left rear, right rear
ties: left rear to rear left, right rear to rear right
cable: cowl ring
wait: -1500 3500
steps: plan, clamp, chain, inspect, cable, voice, zone, slack, look, pull
pulls: A {column}
C10 holding pull: 7.68 kN
record heat: none
"""


@pytest.fixture(scope="module")
def one_way():
    """Return the choices of the first way alone, which is a quarter of the work."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(papers, "MOST_PULLS", 1)
        yield paper_pulls(car_for(**CODES), margin=0.85, half_angle=np.radians(20))


def written(column):
    car = car_for(**CODES)
    stop = ", ".join(str(car.conditions.index(s) + 1) for s in car.stoppers)
    order = ", ".join(reversed(car.hits))
    return HEAD + WHOLE.format(order=order, stop=stop, column=column)


@pytest.mark.parametrize("column", [1, 2])
def test_what_is_printed_is_what_the_acts_come_to(one_way, column):
    acts = acts_of_paper(read_paper(written(column)), car_for(**CODES))
    bay = replay(acts, **CODES)
    printed = one_way[0].results[column - 1].reading

    for name, off in bay.readings[-1].differences.items():
        assert off == pytest.approx(printed.differences[name], abs=1e-9)
    assert bay.faults == ()
    marks = marked_bay(bay, with_best=False)
    assert marks.points["C1"] == (8, 8)
    assert {i.item: i.points for i in marks.items if i.step == "C2"}["layout"] == 2
    assert bay.record == {"heat": "none"}
    assert bay.answers == {("C10", "holding pull"): "7.68 kN"}


def test_a_pull_without_what_goes_before_it_is_done_and_is_faults(one_way):
    bare = f"{HEAD}clamps: left front, right front, left rear, right rear\npulls: A 1"
    bay = replay(acts_of_paper(read_paper(bare), car_for(**CODES)), **CODES)

    names = {fault.name for fault in bay.faults}
    assert names >= {"steps_not_called", "cable_none", "in_line_of_fire", "wrong_go"}
    assert len(bay.pulls) == 1


def test_the_best_choice_leaves_the_least_at_its_middle_pressure(one_way):
    best, last = one_way
    up = [abs(r.reading.differences["left-tip"][2]) for r in best.results]

    assert (best.letter, last.letter) == ("A", "B")
    assert up[1] < 1.5e-3 < min(up[0], up[2])
    assert [r.air for r in best.results] == sorted(r.air for r in best.results)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "the first line must be the student's code"),
        ("code K7", "line 1 needs a name, a colon"),
        ("code: K7\ncode: K8", "line 2 says code a second time"),
        (HEAD + "pull: A 1", "did you mean pulls?"),
        (HEAD.replace("0.85", "much"), "margin must be the number"),
        ("code: K7\n" * 400, "at most 20000 characters"),
        (HEAD + "pulls: Z 9", "Z 9 is no pull of this paper"),
        (HEAD + "stop: 99\nkinds: mash", "99 is no number of what was noticed"),
        (HEAD + "pulls: A 1\nwait: here", "here is no place"),
    ],
)
def test_what_cannot_be_read_gets_one_sentence(one_way, text, said):
    with pytest.raises(WorkbookError) as refusal:
        acts_of_paper(read_paper(text), car_for(**CODES))

    assert said in str(refusal.value)
    assert "\n" not in str(refusal.value)


def test_the_plan_on_paper_has_everybody_on_lines_a_metre_apart():
    begin = {"act": "begin", "version": VERSION, "rating_margin": 0.8}
    bay = do(
        new_job(class_key="oak", student="K7"), {**begin, "zone_half_angle_deg": 30}
    )

    (panel,) = plan_of(bay, METRIC).panels
    labels = [x for x in panel.drawing.seen if isinstance(x, Label)]
    numbers = [x for x in labels if str(x.said).replace("−", "-").lstrip("-").isdigit()]
    left, _, _, high = panel.drawing.window

    ahead = {str(x.said): x.at[0] for x in numbers if x.at[1] == high}
    aside = {str(x.said): x.at[1] for x in numbers if x.at[0] == left}
    for found, ends in ((ahead, range(-3, 5)), (aside, range(-3, 4))):
        called = {f"{1000 * k}".replace("-", "−"): float(k) for k in ends}
        assert found == called
    said = " ".join(str(x.said) for x in labels)
    assert [who for who in bay.people if who not in said] == []


def test_papers_are_printed_and_what_was_typed_is_marked(tmp_path, monkeypatch, capsys):
    monkeypatch.setattr(papers, "MOST_PULLS", 0)
    monkeypatch.setattr(good_job, "MOST_PULLS", 0)
    made = made_class([Student(name="Zoë Aal")], key="oak")
    write_class(tmp_path / "class.csv", made)
    (code,) = (one.code for one in made.students)
    listed, out = str(tmp_path / "class.csv"), str(tmp_path / "out")

    rules = ["--margin", "0.8", "--zone-deg", "30"]
    assert main(["bay-paper", listed, "-o", out, *rules]) == 0
    pdf = (tmp_path / "out" / f"bay {code}.pdf").read_bytes()
    assert pdf.startswith(b"%PDF")
    assert len(pdf) > 10_000
    assert main(["bay-paper", listed, "-o", out, "--margin", "3", *rules[2:]]) == 1
    assert "outside 0.1 to 1" in capsys.readouterr().err

    (tmp_path / "typed").mkdir()
    typed = f"code: {code}\nmargin: 0.8\nzone: 30\nclamps: roof\nC10 holding pull: 3"
    (tmp_path / "typed" / "one.txt").write_text(typed, "utf-8")
    (tmp_path / "typed" / "two.txt").write_text(typed.replace("30", "300"), "utf-8")
    assert main(["bay", listed, str(tmp_path / "typed"), "-o", out]) == 0
    said = capsys.readouterr()
    assert "one.txt: act 4 and what follows cannot be done" in said.err
    assert "two.txt: zone_half_angle_deg = 300 is outside 5 to 85" in said.err
    assert "1 job marked" in said.out
