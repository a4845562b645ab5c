"""How long an instructor waits: handouts, key, and a pile of hand-ins.

    python tests/benchmarks/bench_classroom.py

A class of 24 and one lesson, then 250, 500 and 1,000 hand-ins of 24 answers each,
marked in a process of their own so that its memory is its own. Rivals, in the same
run: the usual way, which runs what was sent as a notebook in a fresh kernel (here
one cell that checks the 24 answers; it also runs a stranger's code); and the script
that is written first, which draws the numbers anew for every answer and checks it
alone, without tries, earlier answers, comparison or files.
"""

import json
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import nbformat
import numpy as np
from nbclient import NotebookClient

sys.path[:0] = [str(Path(__file__).parents[1] / "cli")]
from conftest import Class  # noqa: E402

from workbook.classroom.files import write_all  # noqa: E402
from workbook.classroom.handouts import handout_files, key_files  # noqa: E402
from workbook.classroom.keys import key_json  # noqa: E402
from workbook.exercises import exercise  # noqa: E402
from workbook.exercises.marking import mark  # noqa: E402
from workbook.exercises.replay import variant_of  # noqa: E402
from workbook.quantities.units import METRIC  # noqa: E402

LESSON = "L07"
# Twelve exercises answered twice, wrong then right: 24 answers of four lessons.
IDS = (
    "2.1", "2.2", "2.4", "7.1", "7.2", "7.5", "8.1", "8.2", "8.4", "9.1", "9.3", "9.5",
)  # fmt: skip
TYPED = [(id, typed) for id in IDS for typed in ("3 kN", "right")]


def say(what, value, limit=""):
    print(f"{what:<58} {value:>12}   {limit}")


def of_paper(place):
    """Time one lesson's handouts and key, written to disk."""
    room = Class(place, [{"name": f"Student {n}"} for n in range(24)])
    start = time.perf_counter()
    made = handout_files(room.list, LESSON, paper="A4", system=METRIC)
    write_all(place / "handouts", made)
    say("handouts of 24 students", f"{time.perf_counter() - start:.1f} s", "under 20 s")
    start = time.perf_counter()
    write_all(place / "key", key_files(room.list, LESSON, paper="A4"))
    say("key of 24 students", f"{time.perf_counter() - start:.1f} s", "under 5 s")


def handed_in(place, count):
    """Write a class of this size, its keys and its hand-ins."""
    place.mkdir()
    room = Class(place, [{"name": f"Student {n}"} for n in range(count)])
    for lesson in ("L02", "L07", "L08", "L09"):
        (place / f"{lesson}.json").write_bytes(key_json(room.list, lesson))
    for code in room.codes:
        room.hand_in(code, TYPED)
    return room


def mark_in_process(place):
    """Mark one class as the command does; print seconds and peak memory."""
    from workbook.cli import main

    start = time.process_time()
    keys = [x for file in sorted(place.glob("L*.json")) for x in ("--key", str(file))]
    order = [str(place / "class.csv"), str(place / "hand-ins"), "-o", str(place / "m")]
    assert main(["mark", *order, *keys]) == 0
    took = time.process_time() - start
    # A child's getrusage would count its parent's pages from before the start.
    status = Path("/proc/self/status").read_text("utf-8")
    peak = next(x.split()[1] for x in status.splitlines() if x.startswith("VmHWM"))
    print(json.dumps([took, int(peak) / 1024]))


def of_marking(place):
    """Time marking against the number of hand-ins, then the rival."""
    counts, times = (250, 500, 1000), []
    for count in counts:
        room = handed_in(place / str(count), count)
        said = subprocess.run(
            [sys.executable, __file__, str(place / str(count))],
            capture_output=True,
            check=True,
            text=True,
        ).stdout
        took, peak = json.loads(said.splitlines()[-1])
        times.append(took)
        limit = "under 10 s" if count == 1000 else ""
        say(f"marking {count} hand-ins of {len(TYPED)} answers", f"{took:.1f} s", limit)
    slope = np.polyfit(np.log(counts), np.log(times), 1)[0]
    say("slope of time against number, both logarithmic", f"{slope:.2f}", "about 1")
    say("memory at 1,000, all of Python and numpy in it", f"{peak:.0f} MB", "under 300")
    bare, each = naive(room), by_notebook(room)
    say("the script written first, at 1,000", f"{bare:.1f} s")
    say("ratio, with tries, comparison and files in ours", f"{bare / took:.1f}")
    say("running one hand-in as a notebook", f"{each:.2f} s")
    say("ratio", f"{each / (took / counts[-1]):.0f}", "at least 50")


def naive(room):
    """Return the processor time of drawing and checking every answer by itself."""
    start = time.process_time()
    for file in room.folder.iterdir():
        for raw in file.read_text("utf-8").splitlines():
            if raw.startswith("#"):
                continue
            line = json.loads(raw)
            one = exercise(line["exercise"], line["version"])
            own = variant_of(one, class_key="oak", student=line["student"])
            mark(own, line["typed"], carried=line.get("carried"), marked_set=True)
    return time.process_time() - start


def by_notebook(room, count=3):
    """Return the seconds to run one hand-in as a notebook."""
    start = time.perf_counter()
    for code in room.codes[:count]:
        cell = nbformat.v4.new_code_cell(
            "from workbook.exercises import exercise\n"
            "from workbook.exercises.marking import mark\n"
            "from workbook.exercises.replay import variant_of\n"
            f"for id, typed in {TYPED!r}:\n"
            f"    own = variant_of(exercise(id), class_key='oak', student={code!r})\n"
            "    mark(own, typed)\n"
        )
        NotebookClient(nbformat.v4.new_notebook(cells=[cell])).execute()
    return (time.perf_counter() - start) / count


if __name__ == "__main__":
    if len(sys.argv) > 1:
        mark_in_process(Path(sys.argv[1]))
    else:
        with tempfile.TemporaryDirectory() as folder:
            of_paper(Path(folder))
            of_marking(Path(folder))
