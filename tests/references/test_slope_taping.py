"""A tape that slopes, against a worked surveying exercise."""

import numpy as np
import pytest

from workbook.mechanics.survey.tapes import length_along_datum

# Surveying exercise on slope measurement, scribd.com/document/479232004: a line taped
# in three parts, length in metres, slope in degrees and minutes, level length to 1 mm.
PARTS = [(295.85, 8, 45, 292.407), (149.58, 4, 29, 149.122), (373.48, 4, 25, 372.371)]


@pytest.mark.kind(
    "length_along_datum", "level length of a sloping tape", "slope exercise"
)
@pytest.mark.parametrize(("tape", "degrees", "minutes", "printed"), PARTS)
def test_a_sloping_tape_is_longer_than_its_level_length(
    tape, degrees, minutes, printed
):
    rise = tape * np.sin(np.radians(degrees + minutes / 60))

    assert length_along_datum(tape, rise=rise) == pytest.approx(printed, abs=5e-4)


def test_the_printed_sum_is_two_millimetres_short():
    # The sheet's parts add up to 813.900 m; it prints 813.898.
    level = sum(
        length_along_datum(tape, rise=tape * np.sin(np.radians(degrees + minutes / 60)))
        for tape, degrees, minutes, _ in PARTS
    )

    assert level == pytest.approx(813.900, abs=5e-4)
