"""Random rigs that stand, for the laws of one pull."""

import numpy as np
import pytest

from workbook.mechanics.pull.setting_out import lay_out


def _any_rigs(seed, shape=()):
    """Draw rigs anywhere on the bench, to either side, leaning in and out."""
    draw = np.random.default_rng(seed).uniform
    return lay_out(
        clamp=np.stack(
            [draw(-2, 2, shape), draw(-1, 1, shape), draw(0.3, 0.8, shape)], axis=-1
        ),
        chain_angle=draw(-np.pi, np.pi, shape),
        clamp_distance=draw(0.8, 2.0, shape),
        fork_distance=draw(0.4, 1.5, shape),
        fork_offset=draw(-0.1, 0.1, shape),
        closed_length=draw(0.6, 0.8, shape),
        extension=draw(0.2, 0.4, shape),
        stroke=draw(0.0, 0.05, shape),
        full_stroke=0.15,
        swivel=np.radians(80),
        lean=draw(-0.3, 0.7, shape),
    )


@pytest.fixture(scope="session")
def any_rigs():
    return _any_rigs


@pytest.fixture(params=range(8), ids="seed {}".format)
def rig(request):
    return _any_rigs(request.param)
