"""Time pictures of 10,000 pulls in one call against a Python loop of single ones.

The grid is fork offset by extension. The loop draws some of them one by one, and its
time is scaled; both solve and draw, and make no text, which is put together only
where one picture is looked at. Also: a stroke in 60 steps, and one picture taken out
of the grid as SVG. Times are of the processor.

Run ``python tests/benchmarks/bench_pictures.py``.
"""

import os

# One core; numpy's own threads are set before it is loaded.
os.environ.update(OMP_NUM_THREADS="1", OPENBLAS_NUM_THREADS="1", MKL_NUM_THREADS="1")

import sys
import time

import numpy as np

from workbook.figures.drawing.labels import settle
from workbook.figures.drawing.svg import render
from workbook.figures.drawing.views import VIEWS
from workbook.figures.pictures import subjects
from workbook.figures.subject import Look
from workbook.quantities.units import METRIC

LEAST_RATIO = 100
ALONE = 200  # set-ups drawn one by one
GRID = {
    "fork_offset_mm": np.linspace(-200, 200, 100)[:, None],
    "extension_mm": np.linspace(200, 600, 100),
}
STROKE = {"stroke_mm": np.linspace(0, 180, 60)}
PULL = subjects()["pull"]


def best_time(work, repeats=5):
    """Return the least of several times, as a busy machine only adds to it."""
    times = []
    for _ in range(repeats):
        start = time.process_time()
        answer = work()
        times.append(time.process_time() - start)
    return min(times), answer


def drawn(values):
    """Return the whole picture of set-ups, views, triangle and split."""
    return PULL.sheets(PULL.solve(values), Look(system=METRIC)).whole


def in_space(solved):
    """Return the rig in space of set-ups that are solved."""
    return PULL.in_space(solved, system=METRIC, view=VIEWS["home"])


def show_space():
    """Print what the view in space takes: all at once, and one on its way to a page."""
    many, one = PULL.solve(GRID), PULL.solve({})
    in_space(many)
    whole, sheet = best_time(lambda: in_space(many), 3)
    drawing, alone = best_time(lambda: [in_space(one) for _ in range(20)], 3)
    placing, settled = best_time(lambda: [settle(sheet)[0] for sheet in alone], 3)
    writing, _ = best_time(lambda: [render(sheet) for sheet in settled], 3)
    marks = sum(len(panel.drawing.marks) for panel in sheet.panels)
    count = many.stands.size
    print(f"in space: {count} of {marks} marks in one call {whole * 1e3:6.0f} ms")
    print(f"one: marks                          {drawing * 50:9.2f} ms")
    print(f"one: labels by the rule             {placing * 50:9.2f} ms")
    print(f"one: SVG text                       {writing * 50:9.2f} ms")


def one_by_one(grid, count):
    """Draw some of the set-ups of a grid, each as if there were no other."""
    columns = {name: array.ravel() for name, array in grid.items()}
    rows = np.linspace(0, columns["extension_mm"].size - 1, count).astype(int)
    return [drawn({n: float(c[row]) for n, c in columns.items()}) for row in rows]


def main() -> int:
    """Print the times; 0 if the ratio holds and the pictures are the same."""
    names = [*GRID]
    whole = dict(zip(names, np.broadcast_arrays(*GRID.values()), strict=True))
    drawn(GRID)  # what is read and looked up once
    ours, sheet = best_time(lambda: drawn(GRID))
    theirs, alone = best_time(lambda: one_by_one(whole, ALONE), 3)
    count = whole[names[0]].size
    theirs *= count / ALONE
    stroke, path = best_time(lambda: drawn(STROKE))
    taken, _ = best_time(lambda: [render(sheet.at((k, k))) for k in range(100)])
    rows = np.linspace(0, count - 1, ALONE).astype(int)
    places = [np.unravel_index(row, sheet.shape) for row in rows]
    same = sum(
        render(sheet.at(tuple(map(int, at)))) == render(one)
        for at, one in zip(places, alone, strict=True)
    )
    marks = sum(len(panel.drawing.marks) for panel in sheet.panels)

    print(f"{count} pictures of {marks} marks in one call  {ours * 1e3:9.0f} ms")
    print(f"one by one (from {ALONE})                {theirs * 1e3:9.0f} ms")
    print(f"times faster                        {theirs / ours:9.0f}    ", end="")
    print(f"(at least {LEAST_RATIO})")
    print(f"a stroke in {path.shape[0]} steps, one call       {stroke * 1e3:9.1f} ms")
    print(f"one of them taken out, as SVG       {taken * 10:9.2f} ms")
    print(f"same text as drawn alone            {same:9d}     of {ALONE}")
    show_space()
    return 0 if theirs / ours >= LEAST_RATIO and same >= 0.98 * ALONE else 1


if __name__ == "__main__":
    sys.exit(main())
