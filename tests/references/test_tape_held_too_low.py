"""A tape one end of which is held too low, against a worked correction."""

import pytest

from workbook.mechanics.survey.tapes import length_along_datum


@pytest.mark.kind(
    "length_along_datum", "one end of a tape too low", "civilnoteppt.com, slope of tape"
)
def test_a_tape_held_too_low_is_short_by_the_printed_correction():
    # civilnoteppt.com, "Calculate the horizontal length after slope correction of
    # tape": 30 m with one end 70 cm too low, 29.99183 m. The page takes h²/2l, whose
    # next term, h⁴/8l³, is a thousandth of a millimetre here.
    level = length_along_datum(30.0, rise=-0.70)

    assert level == pytest.approx(29.99183, abs=7e-6)
