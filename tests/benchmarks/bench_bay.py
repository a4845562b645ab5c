"""Time pull, hold and release in the practice bay, its crossmember on, against a rival.

Two rails with a crossmember: 96 unknowns. Two rams on one line pull, a valve is shut,
the other goes on, all is let go. Every act goes round until rams and metal agree, and
each round is a history of the metal. The rival balances the same steps of the same
rounds, from the same equations and to the same accuracy, with scipy.optimize.root
(MINPACK's hybrd, finite differences); each round must end at the same place. Run it as
a script. Processor time, the best of several runs, one thread: what the clock says when
nobody else is on the machine.
"""

import os

os.environ["OPENBLAS_NUM_THREADS"] = "1"

import sys
import time
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from scipy.optimize import root

sys.path.insert(0, str(Path(__file__).parents[1] / "bay"))

from bay_jobs import AHEAD, CODES, SIDE, anchored, every_state, pumped, ready

from workbook.bay.job import do, new_job
from workbook.bay.state import Bay
from workbook.mechanics.metal import front
from workbook.mechanics.metal.front_parts import FrontState, FrontSteps
from workbook.mechanics.metal.rail_arrangement import arrange
from workbook.mechanics.metal.rail_balance import look
from workbook.mechanics.metal.rail_links import point_jacobian

LIMIT_MS, TIMES, RUNS = 60, 10, 7
ACTS = [
    *pumped(1.6, 0.8),
    {"act": "valve", "ram": "A", "open": False},
    *pumped(0.3),
    {"act": "release"},
]


@dataclass
class Round:
    """The metal once round: the state it began with, and its steps."""

    began: FrontState
    steps: FrontSteps


def repair(bay: Bay) -> list[Bay]:
    """Pull with both rams, hold one, pull on, let go; return every state."""
    bays = [bay]
    for act in ACTS:
        bays.append(do(bays[-1], act))
    return bays


def rounds_of(bay: Bay) -> list[Round]:
    """Return every history of the metal that the same acts ask for."""
    rounds = []

    def noted(plain):
        def done(front_end, state, *given, **more):
            steps = plain(front_end, state, *given, **more)
            rounds.append(Round(state, steps))
            return steps

        return done

    kept = front.load, front.release
    front.load, front.release = (noted(plain) for plain in kept)
    try:
        repair(bay)
    finally:
        front.load, front.release = kept
    return rounds


def rival(one: Round) -> float:
    """Balance every step of a round by scipy; return how far apart it ends. [m]"""
    a, history = arrange(one.steps.front_end), one.steps.history
    metal, k = one.began.metal, len(arrange(one.steps.front_end).head)
    # What was on before the round is on still: ties keep their rest.
    ended = history.end
    metal = replace(
        ended,
        deformation=metal.deformation,
        plastic=metal.plastic,
        back_load=metal.back_load,
    )
    deformation, plastic, back_load = metal.deformation, metal.plastic, metal.back_load

    def seen(unknown, plastic, back_load):
        # The engine's equations of one look, from this state of the hinges.
        before = replace(metal, plastic=plastic, back_load=back_load)
        return look(a, before, metal.controls, unknown.reshape(deformation.shape))

    def left_over(unknown, tension, plastic, back_load):
        now = seen(unknown, plastic, back_load)
        tie = metal.controls.presence[:, None] * a.spring_stiffness * now.gap
        forces = np.concatenate([tension[:, None] * now.direction, -a.gap_of.T @ tie])
        jacobian = point_jacobian(now.placed, points=now.points, carried=a.carried)
        asked = forces.ravel() @ jacobian.reshape(forces.size, -1)
        # In shares of stiffness: MINPACK wants unknowns and residuals of one size.
        return (now.hinges.load.ravel() - asked) / a.stiffness.ravel()

    for tension in history.force[1:, :k]:
        found = root(
            left_over,
            deformation.ravel(),
            args=(tension, plastic, back_load),
            tol=1e-10,
        )
        now = seen(found.x, plastic, back_load)
        deformation = found.x.reshape(deformation.shape)
        plastic, back_load = now.hinges.plastic, now.hinges.back_load
    return float(np.abs(now.placed.nodes - history.nodes[-1]).max())


def best_of(runs: int, work) -> tuple[float, object]:
    times = []
    for _ in range(runs):
        begin = time.process_time()
        answer = work()
        times.append(time.process_time() - begin)
    return min(times) * 1e3, answer


def main() -> int:
    car = new_job(**CODES).car
    bay = every_state([*anchored(car), *ready(AHEAD, SIDE)])[-1]
    ours, bays = best_of(RUNS, lambda: repair(bay))
    rounds = rounds_of(bay)
    theirs, apart = best_of(1, lambda: max(rival(one) for one in rounds))
    moved = [one.steps for one in bays if one.steps is not None]
    steps = sum(len(one.history.progress) - 1 for one in moved)
    each, times = ours / steps, theirs / ours
    tips = [1e3 * (one.places["left tip"] - bay.places["left tip"])[1] for one in bays]

    print(f"pull, hold, release in the bay      {ours:7.1f} ms, {steps} steps shown")
    print(f"a step shown                        {each:7.2f} ms (limit {LIMIT_MS} ms)")
    print(f"its {len(rounds)} rounds by scipy root          {theirs:7.1f} ms")
    print(f"ratio                               {times:7.1f} (at least {TIMES})")
    print(f"furthest apart at a round's end     {1e3 * apart:7.1e} mm")
    print(f"tip sideways, loaded, released      {tips[-2]:7.1f} mm, {tips[-1]:.1f} mm")
    if apart > 1e-6:
        print("the two do not agree")
        return 1
    return 0 if each < LIMIT_MS and times >= TIMES else 1


if __name__ == "__main__":
    sys.exit(main())
