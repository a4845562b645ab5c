"""How a whole class gets on: thirty students in lesson 08 at once, on one machine.

    python tests/benchmarks/bench_class.py [--students 30] [--seconds 20]
    python tests/benchmarks/bench_class.py --hub ADDRESS --codes CLASS.csv

Without ``--hub`` each student gets a workbook of their own, as ``pullwright open``
starts it, ``--together`` of them starting at a time. With it, students sign in at a
class server that runs already (``pullwright serve CLASS.csv``) with the codes of its
list. Where a proxy stands before the server it is not counted to a student.

A student is played as server and kernel notice one (``student.py``): page, kernel, all
cells of the lesson, the first prediction locked; *ready* once its explorer has shown a
picture of what may be moved. When all are ready, all drag at once, each asking for the
next picture a little after the last has come (``--pause``). The rival, measured in the
same kernels after that, is the same drag by plain ``interact`` and pyplot.

Memory and processor's time are those of a student's kernel and of the server that
started it, where both run on this machine; of memory the share of all pages, where one
that n processes share counts one n-th (PSS). Where the machine has other work, the
processor's time is steadier than how long something takes. The machine also plays the
students: what that takes is printed too.
"""

import argparse
import asyncio
import csv
import os
import resource
import socket
import statistics
import subprocess
import sys
import tempfile
import time
from contextlib import AsyncExitStack, ExitStack
from dataclasses import asdict
from pathlib import Path

from rival import ENDING, OPENING, RIVAL, Measured, say
from student import PATIENCE, FailedError, Student, Used

sys.path[:0] = [str(Path(__file__).parents[1] / "lessons")]
from execute import new_reader  # noqa: E402

LESSON = "08_"


class Own:
    """A workbook of their own for every student of a class."""

    def __init__(self, together):
        self.gate = asyncio.Semaphore(together)
        self.stack = ExitStack()

    async def enter(self, student):
        """Start a student's workbook, and come in."""
        async with self.gate:
            place = Path(self.stack.enter_context(tempfile.TemporaryDirectory()))
            with socket.create_server(("localhost", 0)) as free:
                port = free.getsockname()[1]
            process = await asyncio.create_subprocess_exec(
                *(sys.executable, "-m", "workbook", "open"),
                *(place / "lessons", "--no-browser", f"--port={port}"),
                env={**new_reader(place), "PYTHONDONTWRITEBYTECODE": ""},
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
            )
            self.stack.callback(ended, process)
            async with asyncio.timeout(PATIENCE):
                async for line in process.stdout:
                    if line.startswith(b"Open at "):
                        return await student.enter(line.split()[-1].decode())
            raise FailedError("the workbook did not open")

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.stack.close()


def ended(process):
    """End a process, if it has not ended by itself."""
    if process.returncode is None:
        process.terminate()


class Hub:
    """A class server that runs already, and the word of each student's class."""

    def __init__(self, address, words):
        self.address, self.words = address.rstrip("/") + "/", words

    async def enter(self, student):
        """Sign a student in."""
        await student.sign_in(self.address, self.words[student.code])

    def __enter__(self):
        return self

    def __exit__(self, *_):
        """Leave it running."""


async def gathered(what, tasks):
    """Wait for all; return what came of those that did not fail, and say why."""
    results = await asyncio.gather(*tasks, return_exceptions=True)
    failed = [one for one in results if isinstance(one, BaseException)]
    for why in sorted({f"{type(one).__name__}: {one}" for one in failed}):
        print(f"  failed {what}: {why}")
    return [one for one in results if not isinstance(one, BaseException)], len(failed)


async def arrive(student, place, start):
    """Bring a student as far as an explorer that may be moved; return the time."""
    await place.enter(student)
    path = await student.open_page(LESSON)
    await student.open_lesson(path)
    await student.settle()
    return time.perf_counter() - start


async def slider_of_rival(student):
    """Put the same explorer by plain ``interact`` on the page; return its slider."""
    measured = Measured("pull")
    before = {*student.opened}
    for part in (measured.source(OPENING), RIVAL, measured.source(ENDING)):
        await student.run(part)
    new = [id for id in student.opened if id not in before]
    slider = next(
        id for id in new if student.opened[id].get("_model_name") == "FloatSliderModel"
    )
    values = [
        measured.slider.value + k * measured.slider.step for k in measured.steps(20)
    ]
    return slider, values


def told(what, steps, seconds, **bars):
    """Print how many steps a second were answered, and how late; return the first."""
    rate = len(steps) / seconds
    say(f"{what}: steps answered a second", rate, "", least=bars.get("rate"), places=1)
    say("   each after, median", statistics.median(steps) * 1e3, "ms")
    last = statistics.quantiles(steps, n=20)[-1] * 1e3
    say("   95 of a hundred within", last, "ms", most=bars.get("last"))
    return rate


async def dragged(drag, students, asked):
    """Let all do something at once; return seconds of each step, and who failed."""
    until = time.perf_counter() + asked.seconds
    tasks = [drag(one, until) for one in students]
    steps, failed = await gathered("at a step", tasks)
    return [took for own in steps for took in own], failed


async def class_of(students, place, asked):
    """Play one class, and print what it is like."""
    start = time.perf_counter()
    ready, failed = await gathered(
        "to get ready", [arrive(one, place, start) for one in students]
    )
    if not ready:
        return
    say("all are ready after", max(ready), "s", most=90)
    say("   the first after", min(ready), "s", places=1)
    students = [one for one in students if one.frame]
    before = await used(students)
    if before:
        whole = mean(map(total, before))
        say("memory of a student, mean", whole.share, "MB", most=120)
        say("   its kernel", mean(kernel for kernel, _ in before).share, "MB")
        say("   its server", mean(server for _, server in before).share, "MB")
        say("   pages that it shares with nobody", whole.own, "MB")
        say("processor's time for all of that", whole.processor, "s", places=2)
    mine = processor()
    steps, missed = await dragged(
        lambda one, until: one.drag(until, asked.pause), students, asked
    )
    mine = processor() - mine
    rate = told("all drag", steps, asked.seconds, rate=120, last=250)
    if before:
        spent = sum(total(one).processor for one in await used(students))
        spent -= sum(total(one).processor for one in before)
        each = 1e3 * spent / len(steps)
        say("   processor's time of server and kernel for a step", each, "ms", places=1)
    say("   the same of playing the student", 1e3 * mine / len(steps), "ms", places=1)
    say("students for whom something failed", failed + missed, most=0)
    if asked.no_rival:
        return
    sliders = await asyncio.gather(*map(slider_of_rival, students))
    of = dict(zip(map(id, students), sliders, strict=True))
    plain, _ = await dragged(
        lambda one, until: one.slide(*of[id(one)], until, asked.pause), students, asked
    )
    rival = told("the same by plain interact", plain, asked.seconds)
    say("   ratio of steps answered", rate / rival, least=5, places=1)


async def used(students):
    """Return what kernel and server of each use, of those that tell."""
    return [told for one in students if (told := await one.used())]


def total(parts):
    """Return what several processes use together."""
    return sum(parts[1:], start=parts[0])


def mean(used):
    """Return what is used on average."""
    used = [*used]
    whole = total(used)
    return Used(**{name: value / len(used) for name, value in asdict(whole).items()})


def processor():
    """Return the seconds of a processor that this process has used."""
    used = resource.getrusage(resource.RUSAGE_SELF)
    return used.ru_utime + used.ru_stime


async def main(asked):
    codes = [f"student {n + 1}" for n in range(asked.students)]
    words = {}
    if asked.codes:
        with asked.codes.open(encoding="utf-8-sig", newline="") as file:
            words = {row["code"]: row["class_key"] for row in csv.DictReader(file)}
        codes = [*words][: asked.students]
    print(f"{len(codes)} students, {os.cpu_count()} processors")
    place = Hub(asked.hub, words) if asked.hub else Own(asked.together)
    with place:
        async with AsyncExitStack() as stack:
            students = [Student(code) for code in codes]
            for one in students:
                stack.push_async_callback(one.leave)
            await class_of(students, place, asked)


if __name__ == "__main__":
    parser = argparse.ArgumentParser()
    parser.add_argument("--students", type=int, default=30)
    parser.add_argument("--seconds", type=float, default=20, help="of dragging")
    parser.add_argument("--pause", type=float, default=0.1, help="s after a picture")
    parser.add_argument("--together", type=int, default=4, help="that start at a time")
    parser.add_argument("--hub", help="address of a class server that runs")
    parser.add_argument("--codes", type=Path, help="its class list, CLASS.csv")
    parser.add_argument("--no-rival", action="store_true")
    asked = parser.parse_args()
    if bool(asked.hub) != bool(asked.codes):
        parser.error("--hub and --codes go together")
    asyncio.run(main(asked))
