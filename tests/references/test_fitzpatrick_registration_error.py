"""Error of a point fit away from its datum points."""

import numpy as np
import pytest

from workbook.mechanics.survey.registration import fit_error_at


def _published(target, base, scatter):
    """Fitzpatrick, West and Maurer, IEEE Trans. Med. Imaging 17(5), 1998 (from memory).

    <d^2> = FLE^2/N (1 + 1/3 sum_j d_j^2/f_j^2): d_j distance of the target, f_j root
    mean square distance of the base points, from principal axis j; FLE^2 = 3 sigma^2.
    """
    centred = base - base.mean(0)
    axes = np.linalg.svd(centred)[2]
    along_base, along_target = centred @ axes.T, (target - base.mean(0)) @ axes.T
    ratio = sum(
        np.delete(along_target, j)
        @ np.delete(along_target, j)
        / np.delete(along_base**2, j, axis=1).sum(1).mean()
        for j in range(3)
    )
    return 3 * scatter**2 / len(base) * (1 + ratio / 3)


@pytest.mark.kind(
    "fit_error_at", "error at a target", "Fitzpatrick, West & Maurer 1998"
)
@pytest.mark.parametrize("seed", range(10))
def test_error_grows_away_from_the_base_as_published(seed):
    rng = np.random.default_rng(seed)
    base = rng.uniform(-1, 1, (6, 3)) * [1.5, 0.7, 0.2] + [1.0, 0.0, 0.3]
    targets = rng.uniform(-4, 4, (5, 3))

    error = fit_error_at(targets, datum_points=base, scatter=0.001)

    expected = [_published(target, base, 0.001) for target in targets]
    assert (error**2).sum(-1) == pytest.approx(expected, rel=1e-10)


def test_hand_worked_square_base():
    # Four points on a 1 m square: a turn about the axis across it is held by points
    # 0.5 m fore and aft, f = 0.5 m. A target 3 m ahead of the centre rises and falls
    # by sigma/2 from the mean of four, and by 3/(2 * 0.5) sigma from that turn.
    base = [[0, 0.5, 0], [1, 0.5, 0], [1, -0.5, 0], [0, -0.5, 0]]

    error = fit_error_at([[3.5, 0, 0]], datum_points=base, scatter=0.001)

    assert error[0, 2] == pytest.approx(0.001 * np.hypot(0.5, 3.0), rel=1e-12)
    # Sideways the turn is held by all four, at 0.707 m from the centre.
    assert error[0, 1] == pytest.approx(
        0.001 * np.hypot(0.5, 3 / (2 * np.sqrt(0.5))), rel=1e-12
    )
    assert error[0, 0] == pytest.approx(0.0005, rel=1e-12)
