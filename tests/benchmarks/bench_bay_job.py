"""Replay a whole job of the practice bay: about 200 acts, half of them the pump's.

The rival, in the same run, is the metal alone: every act of it that the job asked for
is done again from the state it began with. What the job takes over that is the bay's
own: rams, loads, shares, faults. Processor time; run it as a script.
"""

import resource
import sys
import time

import numpy as np

from workbook.bay.car import car_for
from workbook.bay.good_job import good_job
from workbook.bay.job import replay
from workbook.mechanics.metal import front

CODES = {"class_key": "oak", "student": "S0"}
PARTS = 14  # steps of the pump in place of one
LIMIT_S, LIMIT_MB = 10, 300


def long_job(*, crossmember):
    """Return a good job whose pump is turned up in many small steps.

    With its crossmember on all the time or, as a good job does it, off for the pulls.
    """
    best = good_job(car_for(**CODES), margin=0.8, half_angle=np.radians(20))
    acts = []
    for act in best.acts:
        small = {**act, "air_bar": round(act.get("air_bar", 0) / PARTS, 5)}
        acts += [small] * PARTS if act["act"] == "pump" else [act]
    return [act for act in acts if not crossmember or act["act"] != "crossmember"]


def main():
    """Print what both jobs take; 1 where a limit is passed."""
    return int(any([measured(crossmember=on) for on in (False, True)]))


def measured(*, crossmember):
    """Print both times, their ratio and the memory; tell if a limit is passed."""
    acts, asked, plain = long_job(crossmember=crossmember), [], front.load

    def noted(*given, **more):
        asked.append((given, more))
        return plain(*given, **more)

    front.load = noted
    try:
        start = time.process_time()
        bay = replay(acts, **CODES)
        whole = time.process_time() - start
    finally:
        front.load = plain
    start = time.process_time()
    for given, more in asked:
        plain(*given, **more)
    metal = time.process_time() - start
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"crossmember {'on' if crossmember else 'off'} for the pulls")
    print(f"{len(acts)} acts, {len(bay.faults)} faults, {memory:.0f} MB at most")
    print(f"job {whole:.2f} s, metal alone {metal:.2f} s in {len(asked)} acts of it")
    print(f"ratio {whole / metal:.2f}")
    return whole > LIMIT_S or memory > LIMIT_MB


if __name__ == "__main__":
    sys.exit(main())
