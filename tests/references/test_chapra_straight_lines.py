"""What is left, and the next force, against Chapra & Canale."""

import pytest

from workbook.mechanics.survey.what_is_left import next_force, share_done


@pytest.mark.kind(
    "share_done", "what is off, over what there is: bridge and rivet", "Chapra & Canale"
)
@pytest.mark.parametrize(
    # Chapra & Canale, Numerical Methods for Engineers, example 3.1: a bridge of
    # 10 000 cm read as 9 999 and a rivet of 10 cm read as 9 are both 1 cm off, which is
    # 0.01 % and 10 % (from memory). What is off stands here for what is left.
    ("whole", "off", "percent"),
    [(10_000, 1, 0.01), (10, 1, 10.0)],
)
def test_the_same_centimetre_is_another_share_of_a_bridge_than_of_a_rivet(
    whole, off, percent
):
    done = share_done([whole, 0.0, 0.0], [off, 0.0, 0.0])

    assert 100 * (1 - done) == pytest.approx(percent, abs=1e-9)


@pytest.mark.kind(
    "next_force", "a straight line through two known points", "Chapra & Canale"
)
@pytest.mark.parametrize(
    # The same book, example 18.1: ln 2 by a line through ln 1 = 0 and ln 6 = 1.791759
    # is 0.3583519; through ln 1 and ln 4 = 1.386294 it is 0.4620981 (from memory).
    ("far", "log", "found"),
    [(6, 1.791759, 0.3583519), (4, 1.386294, 0.4620981)],
)
def test_a_line_from_one_to_two_gives_chapras_logarithm(far, log, found):
    # One further along, at so much along for each unit of the logarithm.
    read = next_force(0.0, lacks=2 - 1, rate=(far - 1) / log)

    assert read == pytest.approx(found, abs=5e-7)
