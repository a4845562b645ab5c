"""Time a pull, hold and release on a rail of 8 links, against a rival in the same run.

The rival follows the same steps and finds each balance with scipy.optimize.root
(MINPACK's hybrd, finite differences) on the same out-of-balance forces; it must end
at the same place. Run it as a script. Processor time, the best of several runs: what
the clock says when nobody else is on the machine.
"""

import sys
import time

import numpy as np
from scipy.optimize import root

from workbook.mechanics.metal.rail import follow
from workbook.mechanics.metal.rail_arrangement import arrange
from workbook.mechanics.metal.rail_history import RailHistory
from workbook.mechanics.metal.rail_links import place, point_jacobian, return_to_yield
from workbook.mechanics.metal.rail_parts import (
    FrontEnd,
    RailClamp,
    RailPull,
    pull_hold_release,
    uniform_rail,
)
from workbook.mechanics.metal.sections import BoxSection

LIMIT_MS = 60
TUBE = BoxSection(width=0.080, depth=0.120, thickness=0.002)
TURNED = BoxSection(width=0.120, depth=0.080, thickness=0.002)
FRONT_END = FrontEnd(
    rails=[
        uniform_rail(
            root=(0.9, 0.44, 0.42),
            along=(1, 0, 0),
            length=0.64,
            links=8,
            upright=TUBE,
            sideways=TURNED,
            youngs_modulus=210e9,
            yield_stress=260e6,
            hardening_ratio=0.03,
        )
    ],
    clamps={"tip": RailClamp(node=(0, 8), rating=45e3)},
    pulls={"rough": RailPull(clamp="tip", head=(2.5, 1.8, 0.9))},
)
STAGES = pull_hold_release("rough", force=20e3)


def rival(history: RailHistory) -> np.ndarray:
    """Return the nodes at the end, every recorded step balanced by scipy."""
    a = arrange(FRONT_END)
    deformation = np.zeros_like(a.stiffness)
    plastic, back_load = deformation, deformation

    def look(unknown: np.ndarray):
        bent = unknown.reshape(a.stiffness.shape)
        placed = place(bent, root=a.root, frame=a.frame, link_length=a.link_length)
        hinges = return_to_yield(
            bent,
            plastic=plastic,
            back_load=back_load,
            stiffness=a.stiffness,
            yield_load=a.yield_load,
            hardening=a.hardening,
        )
        return placed, hinges

    def left_over(unknown: np.ndarray, force: float) -> np.ndarray:
        placed, hinges = look(unknown)
        tip = placed.nodes[:, -1]
        away = a.head - tip
        jacobian = point_jacobian(placed, points=tip, carried=a.carried)
        pulled = force * away / np.linalg.norm(away)
        # In shares of stiffness: MINPACK wants unknowns and residuals of one size.
        return (
            hinges.load.ravel() - pulled.ravel() @ jacobian[0]
        ) / a.stiffness.ravel()

    for force in history.force[1:, 0]:
        found = root(left_over, deformation.ravel(), args=(force,), tol=1e-12)
        deformation = found.x.reshape(a.stiffness.shape)
        placed, hinges = look(found.x)
        plastic, back_load = hinges.plastic, hinges.back_load
    return placed.nodes


def best_of(runs: int, work) -> tuple[float, object]:
    times = []
    for _ in range(runs):
        begin = time.process_time()
        answer = work()
        times.append(time.process_time() - begin)
    return min(times) * 1e3, answer


def main() -> int:
    ours, history = best_of(10, lambda: follow(FRONT_END, STAGES))
    theirs, nodes = best_of(2, lambda: rival(history))
    apart = np.abs(nodes - history.end.nodes).max() * 1e3
    under_load, left = (
        history.movement((0, 8), after_stage=stage)[1] * 1e3 for stage in (0, 2)
    )

    print(f"pull, hold, release on 8 links  {ours:7.1f} ms (limit {LIMIT_MS} ms)")
    print(f"balanced steps                  {len(history.stage) - 1:7d}")
    print(
        f"same steps by scipy root        {theirs:7.1f} ms, {theirs / ours:.1f} times"
    )
    print(f"furthest apart at the end       {apart:7.1e} mm")
    print(f"tip sideways, loaded, released  {under_load:7.1f} mm, {left:.1f} mm")
    if apart > 1e-3:
        print("the two do not agree")
        return 1
    return 0 if ours < LIMIT_MS else 1


if __name__ == "__main__":
    sys.exit(main())
