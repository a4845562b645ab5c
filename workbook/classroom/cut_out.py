"""What is cut out or handed round: code slips, answer strips, cards to vote with."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING, Any

from workbook.classroom.files import write_all
from workbook.classroom.made import printed
from workbook.classroom.names import on_paper
from workbook.classroom.press import Press, forget, joined, kept
from workbook.course import lessons
from workbook.course.predictions import LETTERS, options
from workbook.exercises import exercises_of, wording
from workbook.exercises.answers.draw_it import DrawIt
from workbook.exercises.answers.picked import Choose, Picked
from workbook.exercises.answers.quantity import Quantity
from workbook.exercises.engine import variant_from
from workbook.language import caution, say, text
from workbook.quantities.units import METRIC

if TYPE_CHECKING:
    from workbook.classroom.roll import ClassList
    from workbook.exercises.declaration import Exercise

VOTES = "ABCDE"  # no prediction has more choices
TOGETHER = 4  # strips set in one go


def write_slips(
    class_list: ClassList, listed: Path, *, paper: str, font: Path | None = None
) -> Path:
    """Write the slips that tell students their codes, beside the class list.

    Parameters
    ----------
    class_list : ClassList
        Who gets one.
    listed : Path
        The file of the list, whose name theirs begins with.
    paper : {"a4", "us-letter"}
        Size of the pages.
    font : Path, optional
        For names with letters that ours lacks.

    Raises
    ------
    FormError
        If a file of that name is there that was not written here.
    """
    name = say("classroom", "cut_out", "slips_file", list=listed.stem)
    slips = {
        "key": class_list.key,
        "students": [(on_paper(s.name), s.code) for s in class_list.students],
    }
    made = _press(font).pages(_data(paper, slips=slips))
    return write_all(listed.parent, {name: made})[0]


def strips_pdf(
    class_list: ClassList,
    lesson: str,
    folder: Path,
    *,
    paper: str,
    font: Path | None = None,
) -> bytes:
    """Return a lesson's answer strips: one page a student, to be handed in.

    Parameters
    ----------
    class_list : ClassList
        Who gets one.
    lesson : str
        Such as ``"L07"``.
    folder : Path
        Where parts are kept till they are joined.
    paper : {"a4", "us-letter"}
        Size of the pages.
    font : Path, optional
        For names with letters that ours lacks.
    """
    asked = lessons()[lesson].prediction
    assert asked is not None  # a printed lesson begins with a prediction
    offered = len(options(asked, class_key=class_list.key, student=""))
    common = {
        "title": lessons()[lesson].title,
        "letters": [*LETTERS[:offered]],
        "blanks": [_blanks(one) for one in exercises_of(lesson)],
    }
    press, parts = _press(font), []
    for first in range(0, len(class_list.students), TOGETHER):
        some = class_list.students[first : first + TOGETHER]
        students = [(on_paper(one.name), one.code) for one in some]
        forget()
        made = press.pages(_data(paper, strips={**common, "students": students}))
        parts.append(kept(made, folder / f"strips {first}.pdf", pages=len(some)))
    return joined(parts)


def cards_pdf(*, paper: str) -> bytes:
    """Return a page of letters to cut out and vote with, one each."""
    return _press(None).pages(_data(paper, cards=[*VOTES]))


def _data(paper: str, **parts: Any) -> dict[str, Any]:
    empty = {"slips": None, "strips": None, "cards": None}
    words = text("classroom", "cut_out")
    return {"paper": paper, "words": words, "s0": caution("S0"), **empty, **parts}


def _blanks(one: Exercise) -> dict[str, Any]:
    """Return what is left free for an answer: rows of named places to write in.

    Where letters are picked a place is ``small``.
    """
    variant = variant_from(one, one.by_hand.numbers)
    answer = one.answer
    if isinstance(answer, Quantity):
        rows, how = [[""]], text("handout", "answer")
    else:
        made = printed(variant, METRIC)
        names = [row[0] for row in made["rows"]]
        *_, how = made["head"]
        if isinstance(answer, Choose):
            rows = [[""]]
        elif isinstance(answer, Picked):
            rows = [names]
        elif isinstance(answer, DrawIt):
            rows, how = [made["head"][1:] for _ in names], made["head"][0]
        else:
            rows = [[name] for name in names]
    return {
        "id": one.id,
        "title": wording.title(one),
        "how": how,
        "rows": rows,
        "small": isinstance(answer, Picked),
    }


def _press(font: Path | None) -> Press:
    return Press(_template(), {}, font=font)


@cache
def _template() -> bytes:
    return files(__package__).joinpath("cut_out.typ").read_bytes()
