"""Work that is kept: an answer is marked once, and all is as a replay gives it."""

import json

import pytest

from widgets import ExerciseCard, TodaysFive
from workbook.exercises import EXERCISES, exercise, replay
from workbook.exercises.marking import mark
from workbook.exercises.seeds import Stream
from workbook.quantities.units import factor
from workbook.reader.record import FILE, Record, record_here
from workbook.reader.record_file import add_line
from workbook.reader.task import Task
from workbook.reader.works import works_of

pytestmark = pytest.mark.usefixtures("settings_folder")


@pytest.fixture
def marks(monkeypatch):
    """Return what was marked, one entry a call."""
    calls = []

    def counted(variant, typed, **others):
        calls.append((variant.exercise.id, typed))
        return mark(variant, typed, **others)

    monkeypatch.setattr(replay, "mark", counted)
    return calls


def wrong(n):
    """Return an answer that is wrong in a way of its own."""
    return f"{100 + n} kN"


def test_each_answer_is_marked_once_however_often_it_is_shown(marks):
    cards = [ExerciseCard(id) for id in ("7.2", "7.3", "7.6a", "7.6b")]
    five = TodaysFive()

    for n in range(30):
        cards[n % 2].answer(wrong(n))
        assert len(marks) == n + 1
    cards[2].answer("40 deg")
    for card in cards:
        card.show()
    five._told({"kind": "answer"})

    assert len(marks) == 31


def test_a_card_made_later_marks_what_was_there_once(marks):
    first = ExerciseCard("7.2")
    for n in range(5):
        first.answer(wrong(n))
    record = Record(record_here().path)
    marks.clear()

    for _ in range(3):
        ExerciseCard("7.2", record=record).show()

    assert len(marks) == 5


def worked_through(record, lines, *, set):
    """Compare every work that is kept with a replay of the lines from the start."""
    for one in EXERCISES.values():
        for attempt in (1, 2):
            kept = works_of(record).on(one, set=set, attempt=attempt)
            own = [
                x
                for x in lines
                if (x.get("exercise"), x.get("attempt")) == (one.id, attempt)
                and x.get("set") == set
                and record.reader.owns(x)
            ]
            again = replay.replay(kept.variant, own, marked_set=set == "exit")

            assert kept == again
            yield len(kept.outcomes)


@pytest.mark.parametrize("set", ["practice", "exit"])
def test_what_is_kept_is_what_a_replay_from_the_start_gives(set):
    record, draws = Record(record_here().path), Stream(b"works")
    ids = ("7.2", "7.6a", "7.6b")
    for n in range(60):
        if n % 20 == 0:
            record.sign_in(student=f"K{n // 20 % 2}", class_key="oak")
        attempt, one = draws.choice((1, 2)), exercise(draws.choice(ids))
        task = Task(record, one, set=set, attempt=attempt)
        what = draws.below(5)
        if what == 0 and task.next_hint:
            task.hint(task.next_hint)
        elif what == 1 and task.work.asked_for_thinking:
            task.think(draws.choice(task.work.last.choices))
        else:
            values = [task.variant.answer, *(v for _, v in task.variant.armed)]
            value = draws.choice(values) / factor(one.answer.unit)
            task.answer(f"{value:.5g} {draws.choice((one.answer.unit, '', 'foo'))}")
        if n % 7 == 0:
            assert sum(worked_through(record, record.lines(), set=set)) > 0

    assert sum(worked_through(record, record.lines(), set=set)) > 10


def test_lines_of_another_lesson_are_taken_in_too():
    here, there = Record(record_here().path), Record(record_here().path)
    one = exercise("7.2")
    Task(there, one).answer("5 kN")
    Task(here, one).answer("6 kN")
    Task(there, one).answer("7 kN")

    both = [works_of(r).on(one, set="practice", attempt=1) for r in (here, there)]

    assert both[0] == both[1]
    assert both[0].history.tries == 3


def test_what_cannot_be_written_is_kept_and_stays_in_its_place(monkeypatch):
    record, one = Record(record_here().path), exercise("7.2")

    def full(*_args):
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as disk:
        disk.setattr("workbook.reader.record.add_line", full)
        Task(record, one).answer("5 kN")
        Task(record, one).answer("6 kN")
        in_memory = Task(record, one).work
        Task(Record(record.path), one)
    Task(Record(record.path), one).answer("7 kN")  # another lesson's comes first
    Task(record, one).answer("8 kN")

    assert [o.value for o in in_memory.outcomes] == [5e3, 6e3]
    seen = [o.value for o in Task(record, one).work.outcomes]
    assert seen == [7e3, 5e3, 6e3, 8e3]
    assert Task(record, one).work == Task(Record(record.path), one).work


def test_what_is_not_yet_written_stands_behind_what_others_wrote(monkeypatch):
    record, one = Record(record_here().path), exercise("7.2")
    Task(record, one).answer("5 kN")
    another = {**record.lines()[-1], "typed": "7 kN"}

    def full(*_args):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("workbook.reader.record.add_line", full)
    Task(record, one).answer("6 kN")
    before = [o.value for o in Task(record, one).work.outcomes]
    add_line(record.path, another)

    after = [o.value for o in Task(record, one).work.outcomes]

    assert (before, after) == ([5e3, 6e3], [5e3, 7e3, 6e3])


def test_a_last_line_that_turns_out_to_be_none_is_taken_back():
    record, one = Record(record_here().path), exercise("7.2")
    Task(record, one).answer("5 kN")
    whole = record.path.read_text("utf-8")
    record.path.write_text(whole + whole.splitlines()[-1], "utf-8")
    cut = Record(record.path)
    before = len(Task(cut, one).work.outcomes)

    record.path.write_text(whole + whole.splitlines()[-1] + "}", "utf-8")

    assert (before, len(Task(cut, one).work.outcomes)) == (2, 1)


def test_another_file_in_the_place_of_the_record_loses_nothing(tmp_path):
    record, one = Record(record_here().path), exercise("7.2")
    for n in range(3):
        Task(record, one).answer(wrong(n))
    line = record.lines()[-1]
    (tmp_path / FILE).write_text(json.dumps(line) + "\n", "utf-8")

    work = Task(record, one).work

    assert [o.value for o in work.outcomes] == [102e3, 100e3, 101e3]


@pytest.mark.parametrize(
    "odd",
    [
        {"exercise": None},
        {"exercise": ["7.2"]},
        {"version": "1"},
        {"attempt": True},
        {"attempt": 0},
        {"attempt": 10**9},
        {"student": 7},
        {"class_key": None},
    ],
)
def test_a_line_of_another_shape_is_nobodys_work(odd):
    record, one = Record(record_here().path), exercise("7.2")
    Task(record, one).answer("5 kN")
    line = {**record.lines()[-1], **odd}
    record.path.write_text(json.dumps(line) + "\n", "utf-8")

    task = Task(Record(record.path), one)

    assert (task.attempt, task.work.outcomes) == (1, ())
