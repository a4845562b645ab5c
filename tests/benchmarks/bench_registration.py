"""Rate of the batched fit against SciPy's, one survey at a time.

Run as ``python tests/benchmarks/bench_registration.py``. The loop is timed on 200
surveys and scaled. It is timed twice: for the turn alone, and for all that the
batched call also returns (shift, residuals and their root mean square).
"""

from collections.abc import Callable
from time import perf_counter

import numpy as np
from scipy.spatial.transform import Rotation

from workbook.mechanics.survey.registration import register

SURVEYS, POINTS, LOOPED, REPEATS = 10_000, 30, 200, 7


def best_time(task: Callable[[], object]) -> float:
    """Shortest of a few runs. [s]."""
    times = []
    for _ in range(REPEATS):
        start = perf_counter()
        task()
        times.append(perf_counter() - start)
    return min(times)


def turn_alone(measured, specified):
    """Turn of one survey; both sides brought to their means, as the loop must."""
    p_mean, q_mean = measured.mean(0), specified.mean(0)
    turn, _ = Rotation.align_vectors(specified - q_mean, measured - p_mean)
    return turn, q_mean - turn.apply(p_mean)


def whole_fit(measured, specified):
    """Everything the batched call returns, for one survey."""
    turn, shift = turn_alone(measured, specified)
    residuals = turn.apply(measured) + shift - specified
    return turn.as_matrix(), shift, residuals, np.sqrt((residuals**2).sum(-1).mean())


def main() -> None:
    """Time both and print the ratios and the slope of the cost."""
    rng = np.random.default_rng(1)
    specified = rng.uniform(-1, 1, (POINTS, 3)) * [2.0, 0.7, 0.3]
    turns = Rotation.random(SURVEYS, rng=rng).as_matrix()
    measured = specified @ turns.swapaxes(-1, -2)
    measured += rng.normal(0, 0.001, measured.shape)

    batched = best_time(lambda: register(measured, specified=specified)) / SURVEYS
    print(f"batched, {SURVEYS} surveys of {POINTS} points {batched * 1e6:8.2f} us each")
    for name, fit in [("turn alone", turn_alone), ("whole fit", whole_fit)]:
        loop = best_time(lambda fit=fit: [fit(m, specified) for m in measured[:LOOPED]])
        each = loop / LOOPED
        print(f"loop, {name:10} {each * 1e6:8.2f} us each, ratio {each / batched:5.1f}")

    counts = np.array([1000, 2000, 4000, 8000])
    costs = [best_time(lambda n=n: register(measured[:n], specified=specified))
             for n in counts]  # fmt: skip
    slope = np.polyfit(np.log(counts), np.log(costs), 1)[0]
    print(f"cost grows as surveys to the power {slope:.2f}")


if __name__ == "__main__":
    main()
