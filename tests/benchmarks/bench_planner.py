"""Time 100,000 set-ups with every limit, against a loop that solves them one by one.

Times are of the processor, one core, so a busy machine tells the same. The loop
solves some that stand, with no limit looked at, and its time is scaled. Also: how
the cost grows with the number of set-ups, the peak memory, and pairs of rams.

Run ``python tests/benchmarks/bench_planner.py``.
"""

import os

# One core; numpy's own threads are set before it is loaded.
os.environ.update(OMP_NUM_THREADS="1", OPENBLAS_NUM_THREADS="1", MKL_NUM_THREADS="1")

import sys
import time
import tracemalloc
from dataclasses import replace

import numpy as np

from workbook.mechanics.planner.candidates import AXES, Job, ShopFloor
from workbook.mechanics.planner.one_ram import plan_pull
from workbook.mechanics.planner.two_rams import plan_two_rams
from workbook.mechanics.pull.linkage import Rig, solve_pull

TIME_LIMIT, LEAST_RATIO, MOST_MEGABYTES = 0.5, 100, 500
ALONE = 200  # set-ups solved one by one
SIZES = (25, 50, 100, 200)  # thousands of set-ups
SLOPE = (0.85, 1.15)  # of log time over log number, were it linear 1
PAIRS_LIMIT = 1.0  # s for a million pairs

JOB = Job(
    clamp=[0.8, 0.4, 0.45],
    movement=[0.026, 0.0019, 0.008],
    useful_pull=12e3,
    clamp_rating=45e3,
    slack=0.02,
    rating_margin=0.8,
    direction_limit=np.radians(25),
)


def floor_of(thousands: int) -> ShopFloor:
    """Return a bay with that many thousand set-ups, four boxes in it."""
    x, y = np.meshgrid(np.linspace(1.5, 2.3, 5), np.linspace(-0.2, 0.6, 5))
    sockets = np.stack([x.ravel(), y.ravel(), np.zeros(25)], axis=-1)
    slots = np.stack([np.full(10, 2.8), np.linspace(-0.25, 0.75, 10), np.zeros(10)])
    return ShopFloor(
        sockets=sockets,
        slots=slots.T,
        slot_ratings=20e3,
        extensions=[0, 0.15, 0.3, 0.45, 0.6],
        closed_lengths=[0.45, 0.52],
        full_strokes=[0.2, 0.26],
        swivels=np.radians([45, 40]),
        ram_ratings=[60e3, 80e3],
        head_ratings=70e3,
        chain_pitches=[0.030, 0.039],
        chain_ratings=[31e3, 52e3],
        links=np.linspace(14, 55, thousands // 5).astype(int),
        keep_out=[
            [[-1, -1, 0], [0.7, 1, 1]],
            [[2.5, 0.9, 0], [2.6, 1.0, 2]],
            [[1.2, -1, 0], [1.3, 0.1, 2]],
            [[0, 0, 1.0], [3, 1, 3]],
        ],
    )


def best_time(work, repeats: int = 7):
    """Return the least of several times, as a busy machine only adds to it."""
    times = []
    for _ in range(repeats):
        start = time.process_time()
        answer = work()
        times.append(time.process_time() - start)
    return min(times), answer


def one_by_one(floor: ShopFloor, choices: np.ndarray) -> tuple[float, np.ndarray]:
    """Solve set-ups that stand, one by one: the cheapest part of judging them."""
    errors = []
    start = time.process_time()
    for choice in choices:
        at = dict(zip(AXES, choice, strict=True))
        rig = Rig(
            clamp=JOB.clamp,
            base=floor.sockets[at["socket"]],
            anchor=floor.slots[at["slot"]],
            closed_length=floor.closed_lengths[at["ram"]],
            extension=floor.extensions[at["extension"]],
            stroke=JOB.slack,
            full_stroke=floor.full_strokes[at["ram"]],
            anchor_leg=floor.links[at["links"]] * floor.chain_pitches[at["chain"]],
            swivel=floor.swivels[at["ram"]],
        )
        pull = solve_pull(rig, ram_force=1.0)
        errors.append(np.arccos(float(pull.direction @ JOB.line)))
    return time.process_time() - start, np.array(errors)


def growth() -> tuple[list[float], float]:
    """Return the times for `SIZES`, and the slope of their logarithms."""
    times = []
    for thousands in SIZES:
        floor = floor_of(thousands)
        times.append(best_time(lambda f=floor: plan_pull(JOB, floor=f), 5)[0])
    return times, np.polyfit(np.log(SIZES), np.log(times), 1)[0]


def peak_memory(floor: ShopFloor) -> float:
    """Return the most memory of a plan in megabytes; numpy's arrays are traced."""
    tracemalloc.start()
    plan_pull(JOB, floor=floor)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    return peak / 1e6


def main() -> int:
    """Print the times; 0 if every limit holds."""
    floor = floor_of(100)
    ours, plan = best_time(lambda: plan_pull(JOB, floor=floor, keep=ALONE))
    alone, errors = one_by_one(floor, plan.choices)
    theirs = alone * floor.count / ALONE
    same = np.allclose(errors, plan.direction_error, atol=1e-7)
    times, slope = growth()
    megabytes = peak_memory(floor_of(SIZES[-1]))
    fewer = replace(floor, links=floor.links[::5], extensions=[0.45])
    strong = replace(JOB, useful_pull=25e3)
    pairs_time, pairs = best_time(
        lambda: plan_two_rams(strong, floor=fewer, most_pairs=10**8), 2
    )
    per_million = pairs_time / pairs.considered * 1e6

    print(f"{floor.count} set-ups at once  {ours:9.3f} s   (limit {TIME_LIMIT} s)")
    print(f"passed {plan.passed}, refused by")
    for reason, count in plan.refused.items():
        print(f"    {reason.name.lower():24s} {count:6d}")
    print(f"one by one, solving alone {theirs:8.1f} s   (from {ALONE} set-ups)")
    print(f"times faster             {theirs / ours:9.0f}     (at least {LEAST_RATIO})")
    print(
        "thousands of set-ups, s  "
        + ", ".join(f"{n}: {t:.3f}" for n, t in zip(SIZES, times, strict=True))
    )
    print(f"slope                    {slope:9.2f}     ({SLOPE[0]} to {SLOPE[1]})")
    print(
        f"peak memory, {SIZES[-1]} k     {megabytes:9.0f} MB  (limit {MOST_MEGABYTES})"
    )
    print(f"{pairs.considered} pairs of rams   {pairs_time:9.3f} s")
    print(f"a million pairs          {per_million:9.3f} s   (limit {PAIRS_LIMIT} s)")
    print(f"same answers: {same}")
    holds = (
        ours < TIME_LIMIT
        and theirs / ours >= LEAST_RATIO
        and SLOPE[0] < slope < SLOPE[1]
        and megabytes < MOST_MEGABYTES
        and per_million < PAIRS_LIMIT
    )
    return 0 if holds and same else 1


if __name__ == "__main__":
    sys.exit(main())
