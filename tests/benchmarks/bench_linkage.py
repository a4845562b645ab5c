"""Time 100,000 rigs in one call, and against a root finder called rig by rig.

Times are of the processor, one core, so a busy machine tells the same.

Run ``python tests/benchmarks/bench_linkage.py``; it needs scipy.
"""

import os

# One core; numpy's own threads are set before it is loaded.
os.environ.update(OMP_NUM_THREADS="1", OPENBLAS_NUM_THREADS="1", MKL_NUM_THREADS="1")

import sys
import time

import numpy as np
from scipy.optimize import root

from workbook.mechanics.pull.linkage import Pull, Rig, solve_pulls
from workbook.mechanics.pull.setting_out import lay_out

RIGS, BY_ROOT = 100_000, 100
TIME_LIMIT, LEAST_RATIO = 0.2, 200  # s of one core, times faster
UP = np.array([0.0, 0.0, 1.0])


def draw_rigs(count: int) -> Rig:
    """Draw rigs of a bench that all stand."""
    draw = np.random.default_rng(1).uniform
    return lay_out(
        clamp=draw((-2, -1, 0.3), (2, 1, 0.8), (count, 3)),
        chain_angle=draw(-np.pi, np.pi, count),
        clamp_distance=draw(0.8, 2.0, count),
        fork_distance=draw(0.4, 1.5, count),
        fork_offset=draw(-0.1, 0.1, count),
        closed_length=draw(0.8, 1.2, count),
        full_stroke=0.15,
        swivel=np.radians(80),
        lean=draw(-0.3, 0.7, count),
    )


def by_root(rig: Rig, k: int, ram_force: float) -> np.ndarray:
    """Find head, tensions of rig ``k`` by Newton steps, without our formulae."""
    base, anchor, clamp = rig.base[k], rig.anchor[k], rig.clamp[k]
    R, La = rig.ram_length[k], rig.anchor_leg[k]

    def gaps(unknown: np.ndarray) -> list[float]:
        head, legs = unknown[:3], unknown[3:]
        ram, pull, leg = head - base, clamp - head, anchor - head
        balance = ram / R + legs[0] * pull / np.linalg.norm(pull) + legs[1] * leg / La
        return [ram @ ram - R**2, leg @ leg - La**2, *balance]

    start = np.array([*(base + R * UP), 1.0, 1.0])
    found = root(gaps, start).x
    return np.array([*found[:3], *(ram_force * found[3:])])


def best_time(rig: Rig, ram_force: float, repeats: int = 7) -> tuple[float, Pull]:
    """Return the least of several times, as a busy machine only adds to it."""
    times = []
    for _ in range(repeats):
        start = time.process_time()
        pulls = solve_pulls(rig, ram_force=ram_force)
        times.append(time.process_time() - start)
    return min(times), pulls


def main() -> int:
    """Print the times; 0 if both limits hold."""
    rig, ram_force = draw_rigs(RIGS), 40e3
    ours, pulls = best_time(rig, ram_force)

    start = time.process_time()
    found = np.stack([by_root(rig, k, ram_force) for k in range(BY_ROOT)])
    theirs = (time.process_time() - start) * RIGS / BY_ROOT

    few = slice(BY_ROOT)
    same = np.allclose(found[:, :3], pulls.head[few], atol=1e-6)
    same &= np.allclose(found[:, 3], pulls.pull_tension[few], rtol=1e-6)
    same &= np.allclose(found[:, 4], pulls.anchor_tension[few], rtol=1e-6)
    ratio = theirs / ours
    print(f"{RIGS} rigs in one call    {ours:9.3f} s   (limit {TIME_LIMIT} s)")
    print(f"a root finder for each     {theirs:9.1f} s   (from {BY_ROOT} rigs)")
    print(f"times faster               {ratio:9.0f}     (at least {LEAST_RATIO})")
    print(f"all stand: {bool(pulls.stands.all())}, same answers: {bool(same)}")
    fast = ours < TIME_LIMIT and ratio >= LEAST_RATIO
    return 0 if fast and same and pulls.stands.all() else 1


if __name__ == "__main__":
    sys.exit(main())
