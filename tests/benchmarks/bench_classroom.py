"""How long an instructor waits, and how much memory it takes.

    python tests/benchmarks/bench_classroom.py

Handouts and key of a lesson; then piles of hand-ins of different students, 24 answers
each, against the number of hand-ins and against the length of the class list; report
and marking again. Each is done in a process of its own, as the command does it, so
that its memory is its own.

Rivals, in the same run: all pages of the class set in one go by the same typesetter;
the usual way of checking, which runs what was sent as a notebook in a fresh kernel
(here one cell that checks the 24 answers; it also runs a stranger's code); and the
script that is written first, which draws the numbers anew for every answer and checks
it alone, without tries, earlier answers, comparison or files.
"""

import json
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

# What only the rivals or the hand-ins need is imported where it is used, so that it
# does not count as memory of ours.

LESSON = "L07"  # the one with most pages of key
# Twelve exercises answered twice, wrong then right: 24 answers of four lessons.
IDS = (
    "2.1", "2.2", "2.4", "7.1", "7.2", "7.5", "8.1", "8.2", "8.4", "9.1", "9.3", "9.5",
)  # fmt: skip
TYPED = [(id, typed) for id in IDS for typed in ("3 kN", "right")]


def say(what, value, limit=""):
    print(f"{what:<58} {value:>12}   {limit}")


def apart(what, *order):
    """Do something in a process of its own; return seconds of work and MB."""
    said = subprocess.run(
        [sys.executable, __file__, what, *map(str, order)],
        capture_output=True,
        check=True,
        text=True,
    ).stdout
    return json.loads(said.splitlines()[-1])


def done(what, order):
    """Do it and print what it took."""
    start = time.process_time()
    if what == "one go":
        in_one_go(*order)
    else:
        from workbook.cli import main

        assert main([what, *order]) == 0
    took = time.process_time() - start
    # A child's getrusage would count its parent's pages from before the start.
    status = Path("/proc/self/status").read_text("utf-8")
    peak = next(x.split()[1] for x in status.splitlines() if x.startswith("VmHWM"))
    print(json.dumps([took, int(peak) / 1024]))


def in_one_go(file):
    """Set a whole class's pages, strips and key at once, and each student's alone."""
    from workbook.classroom import cut_out, handouts, key_pages
    from workbook.classroom.roll import read_class
    from workbook.quantities.units import METRIC

    class_list = read_class(Path(file))
    page = handouts._Page(LESSON, paper="A4", system=METRIC)
    students = [
        handouts._student(one, class_list.key, LESSON, METRIC)
        for one in class_list.students
    ]
    made = [page.pdf([one]) for one in students]
    made.append(page.pdf(students))
    key_pages.KEY_ROWS = cut_out.TOGETHER = 10**9
    with tempfile.TemporaryDirectory() as parts:
        listed = (class_list, LESSON, Path(parts))
        made.append(key_pages.key_pdf(*listed, paper="a4", system=METRIC))
        made.append(cut_out.strips_pdf(*listed, paper="a4"))
    for number, data in enumerate(made):
        Path(file).with_name(f"{number}.pdf").write_bytes(data)


def class_of(place, count):
    """Make a class on disk."""
    sys.path[:0] = [str(Path(__file__).parents[1] / "cli")]
    from conftest import Class

    place.mkdir()
    return Class(place, [{"name": f"Student {n}"} for n in range(count)])


def of_paper(place):
    """Measure one lesson's handouts and key, written to disk."""
    for count in (24, 200):
        own = place / f"{count} on paper"
        room = class_of(own, count)
        order = (room.file, LESSON, "-o", own / "out")
        took, peak = apart("handout", *order)
        bare, rival = apart("one go", room.file)
        most = ("under 8 s", "") if count == 24 else ("under 60 s", "under 300 MB")
        say(f"handouts of {count} students", f"{took:.1f} s", most[0])
        say("ratio of the time in one go", f"{bare / took:.2f}", "at least 1")
        say("memory", f"{peak:.0f} MB", most[1])
        say("ratio of the memory in one go", f"{rival / peak:.1f}")
        took, peak = apart("key", *order[:3], own / "key")
        say(f"key of {count} students", f"{took:.1f} s", "under 2 s" * (count == 24))
        say("memory", f"{peak:.0f} MB")


def handed_in(place, count, listed):
    """Write a class of this size and its hand-ins; no key, so that ours draws too."""
    room = class_of(place, listed)
    for code in room.codes[:count]:
        room.hand_in(code, TYPED)
    return room


def of_marking(place):
    """Measure marking against hand-ins and list, then the rivals."""
    piles = ((1250, 1250), (2500, 2500), (5000, 5000), (1250, 5000))
    times = []
    for count, listed in piles:
        own = place / f"{count} of {listed}"
        room = handed_in(own, count, listed)
        took, peak = apart("mark", room.file, room.folder, "-o", room.out)
        times.append(took)
        what = f"marking {count} hand-ins of {len(TYPED)} answers, {listed} listed"
        say(what, f"{took:.1f} s", "under 40 s" * (count == 5000))
        most = "under 300" * (count == 1250)
        say("memory, all of Python and numpy in it", f"{peak:.0f} MB", most)
        if count == 5000:
            again, _ = apart("remark", room.file, room.out)
            say("marking them again", f"{again:.1f} s")
            told, _ = apart("report", room.file, room.out)
            say("report on them", f"{told:.1f} s", "under 5 s")
            bare, each = naive(room), by_notebook(room)
            say("the script written first", f"{bare:.1f} s")
            say("ratio, with tries, comparison and files in ours", f"{bare / took:.1f}")
            say("running one hand-in as a notebook", f"{each:.2f} s")
            say("ratio", f"{each / (took / count):.0f}", "at least 50")
    slope = np.polyfit(np.log([p[0] for p in piles[:3]]), np.log(times[:3]), 1)[0]
    say("slope of time against number, both logarithmic", f"{slope:.2f}", "about 1")
    ratio = times[3] / times[0]
    say("ratio of 5,000 on the list to 1,250", f"{ratio:.2f}", "under 1.3")


def naive(room):
    """Return the processor time of drawing and checking every answer by itself."""
    from workbook.exercises import exercise
    from workbook.exercises.marking import mark
    from workbook.exercises.replay import variant_of

    start = time.process_time()
    for file in room.folder.iterdir():
        for raw in file.read_text("utf-8").splitlines():
            if raw.startswith("#"):
                continue
            line = json.loads(raw)
            one = exercise(line["exercise"], line["version"])
            own = variant_of(
                one, class_key="oak", student=line["student"], set=line["set"]
            )
            mark(own, line["typed"], carried=line.get("carried"), marked_set=True)
    return time.process_time() - start


def by_notebook(room, count=3):
    """Return the seconds to run one hand-in as a notebook."""
    import nbformat
    from nbclient import NotebookClient

    start = time.perf_counter()
    for code in room.codes[:count]:
        cell = nbformat.v4.new_code_cell(
            "from workbook.exercises import exercise\n"
            "from workbook.exercises.marking import mark\n"
            "from workbook.exercises.replay import variant_of\n"
            f"for id, typed in {TYPED!r}:\n"
            f"    whose = dict(class_key='oak', student={code!r}, set='exit')\n"
            "    own = variant_of(exercise(id), **whose)\n"
            "    mark(own, typed)\n"
        )
        NotebookClient(nbformat.v4.new_notebook(cells=[cell])).execute()
    return (time.perf_counter() - start) / count


if __name__ == "__main__":
    if len(sys.argv) > 1:
        done(sys.argv[1], sys.argv[2:])
    else:
        with tempfile.TemporaryDirectory() as folder:
            of_paper(Path(folder))
            of_marking(Path(folder))
