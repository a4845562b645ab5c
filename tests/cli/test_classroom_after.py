"""After class: the sheet that each student gets back, and the term at a glance."""

import re
import shutil
import subprocess

import pytest

from workbook.cli import main
from workbook.exercises import exercise, wording
from workbook.language import caution

RIGHT = "right"
WHOLE = "M01_whole_tension"
pytestmark = pytest.mark.usefixtures("own_settings")


def words_of(pdf):
    said = subprocess.run(["pdftotext", "-raw", pdf, "-"], capture_output=True)
    return re.sub(r"\s+", " ", said.stdout.decode("utf-8"))


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="no poppler-utils")
def test_a_student_gets_marks_right_answers_and_what_to_try_back(small_class):
    one, two, three = small_class.codes
    small_class.hand_in(one, [("2.1", WHOLE), ("2.1", RIGHT), ("2.2", "7")])
    small_class.hand_in(two, [("2.1", "= *x* #kN"), ("2.2", WHOLE), ("9.1", RIGHT)])
    small_class.file.with_name("session.toml").write_text(
        'form = 1\n[lessons.L02]\npoints = 20\ncounts = ["2.1", "2.2"]\n'
        '[lessons.L02.accept]\n"2.2" = ["77 kN"]\n',
        "utf-8",
    )
    small_class.out.mkdir()
    hand = f"code,exercise,mark,why\n{two},2.2,50,spoken check\n"
    (small_class.out / "hand-marks.csv").write_text(hand, "utf-8")
    small_class.mark()
    back = small_class.out.with_name("back")
    order = [str(small_class.file), str(small_class.out), "-o", str(back)]

    assert main(["give-back", *order]) == 0

    first, second = (words_of(back / f"back {code}.pdf") for code in (one, two))
    refuted = " ".join(wording.refutation(exercise("2.1"), WHOLE))
    assert 'Name: O\'Neill, Zoë "Z"' in first
    assert "Your mark: 9 of 20. It comes from 2.1, 2.2." in first
    assert f"{wording.title(exercise('2.1'))} 90 % Right at try 2: " in first
    assert refuted in first
    right = wording.answer_text(small_class.variant(one, "2.2"))
    asked = f"asked back You typed 7. Right is {right}. The unit is missing, so it was"
    assert asked in first
    assert "50 %" in second
    assert "Set by your instructor: spoken check." in second
    assert "You typed = *x* #kN." in second
    for said, other in ((first, two), (second, one)):
        assert other not in said
        assert said.count(caution("S0")) == 1
    whole = words_of(back / "back whole class.pdf")
    assert whole.count("Student code") == 2
    assert not (back / f"back {three}.pdf").exists()
    assert main(["give-back", *order, "--lesson", "L08"]) == 1


def test_the_term_has_the_safety_lesson_first_and_the_best_of_all_markings(
    small_class, capsys
):
    one, two, _ = small_class.codes
    small_class.hand_in(one, [("2.1", WHOLE), ("11.3", RIGHT)])
    small_class.mark()
    first = small_class.out.rename(small_class.out.with_name("first"))
    small_class.hand_in(one, [("2.1", RIGHT), ("11.5", RIGHT)])
    small_class.hand_in(two, [("2.1", WHOLE), ("11.3", "a"), ("11.3", RIGHT)])
    small_class.mark()
    capsys.readouterr()
    order = [str(small_class.file), str(small_class.out), str(first)]

    assert main(["term", *order, "-o", str(small_class.out)]) == 0

    assert "3 students, of whom 1 passed the safety gate" in capsys.readouterr().out
    rows = small_class.table("term.csv")
    assert [*rows[0]][2:5] == ["safety gate", "L11", "L02"]
    gates = [row["safety gate"] for row in rows]
    assert gates == ["passed", "not yet: 11.5", "not yet: 11.3, 11.5"]
    assert [row["L02"] for row in rows] == ["14.29", "0", ""]
    assert [row["lessons marked"] for row in rows] == ["2", "2", "0"]
    assert main(["term", *order, "nowhere", "-o", str(small_class.out)]) == 1
