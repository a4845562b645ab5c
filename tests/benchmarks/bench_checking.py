"""Cost of checking one typed answer, against parsing it with pint and comparing.

Run as ``python tests/benchmarks/bench_checking.py``. The rival is what a short
checker does: let pint parse the text, convert it and compare with the right
answer. It knows no mistakes, says nothing, and takes neither ``12,4 kN`` nor a
missing unit; it is timed on the text it understands. Times are the shortest of a
few runs; the ratio is taken within one run.

An answer given on a card is timed too, the first of a record and the 200th: what was
answered before must not make it slower.
"""

import tempfile
from collections.abc import Callable
from pathlib import Path
from statistics import median
from time import perf_counter

import pint

from widgets import ExerciseCard
from workbook.exercises import EXERCISES, replay
from workbook.exercises.engine import variant_for
from workbook.exercises.marking import mark
from workbook.quantities.units import factor
from workbook.reader.record import Record

STUDENTS, REPEATS, ANSWERS = 20, 7, 200
REGISTRY = pint.UnitRegistry()
PINT_UNITS = {"kN": "kN", "mm": "mm", "deg": "degree", "J": "J", "1": ""}


def best_time(task: Callable[[], object]) -> float:
    """Shortest of a few runs. [s]."""
    times = []
    for _ in range(REPEATS):
        start = perf_counter()
        task()
        times.append(perf_counter() - start)
    return min(times)


def questions():
    """Every exercise for a few students, with the right answer and a mistake typed."""
    asked = []
    for exercise in EXERCISES.values():
        for n in range(STUDENTS):
            variant = variant_for(exercise, class_key="oak", student=f"K{n}")
            values = (variant.answer, variant.armed[0][1])
            unit = PINT_UNITS[exercise.answer.unit]
            typed = [
                f"{v / factor(exercise.answer.unit):.5g} {unit}".strip() for v in values
            ]
            asked += [(variant, text) for text in typed]
    return asked


def rival(variant, text):
    """Let pint parse, convert and compare."""
    value = REGISTRY.Quantity(text).to_base_units().magnitude
    return abs(value - variant.answer) <= variant.tolerance


def first_and_last_answers():
    """Return the time of early and of late answers to one record, and marks made. [s].

    Each is the median of ten answers, so that a busy disk does not count.
    """
    marks = []

    def counted(*args, **others):
        marks.append(args)
        return mark(*args, **others)

    replay.mark = counted
    with tempfile.TemporaryDirectory() as folder:
        card = ExerciseCard("7.2", record=Record(Path(folder) / "record.jsonl"))
        times = []
        for n in range(ANSWERS):
            start = perf_counter()
            card.answer(f"{100 + n} kN")
            times.append(perf_counter() - start)
    replay.mark = mark
    return median(times[:10]), median(times[-10:]), len(marks)


def main() -> None:
    """Check that both agree on what is right, time both, print the ratio."""
    asked = questions()
    marked = [mark(variant, text).name for variant, text in asked]
    parsed = [rival(variant, text) for variant, text in asked]
    agree = sum(
        (name == "right") == right for name, right in zip(marked, parsed, strict=True)
    )
    named = sum(name not in {"right", "none_of_these"} for name in marked)
    print(f"{len(asked)} answers; both agree on right or not in {agree};")
    print(f"{named} of {parsed.count(False)} wrong ones named, by the rival none")

    ours = best_time(lambda: [mark(v, t) for v, t in asked]) / len(asked)
    theirs = best_time(lambda: [rival(v, t) for v, t in asked]) / len(asked)
    print(f"checked, refuted and named  {ours * 1e6:8.1f} us an answer")
    ratio = theirs / ours
    print(f"pint parses and compares    {theirs * 1e6:8.1f} us, ratio {ratio:5.2f}")

    early, late, marks = first_and_last_answers()
    print(f"answered on a card, first   {early * 1e6:8.1f} us, marked once each")
    ratio = late / early
    print(f"the {ANSWERS}th of the record    {late * 1e6:8.1f} us, ratio {ratio:5.2f}")
    assert marks == ANSWERS

    with tempfile.TemporaryDirectory() as folder:
        record = Record(Path(folder) / "record.jsonl")
        kept = best_time(lambda: record.append("answer", typed="12,4 kN"))
        print(
            f"kept on disk                {kept * 1e6:8.1f} us, most of it the disk's"
        )


if __name__ == "__main__":
    main()
