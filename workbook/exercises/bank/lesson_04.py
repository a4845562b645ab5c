"""L04, measure: tilt, centre-line, sloping tape, the size of a difference, limits."""

from __future__ import annotations

from math import degrees, hypot, tan

from workbook.exercises.answers.counted import Count
from workbook.exercises.answers.picked import SHUFFLE, Match, Mispicked
from workbook.exercises.answers.quantity import (
    Mistake,
    Quantity,
    Tolerance,
    in_radians,
)
from workbook.exercises.declaration import (
    ByHand,
    Exercise,
    Numbers,
    Sketch,
    picked,
    stepped,
)
from workbook.mechanics.survey.tapes import length_along_datum, middle_off_centre
from workbook.mechanics.survey.tilt import height_without_tilt
from workbook.mechanics.vectors import norm

CAUTIONS = ("S0", "S2")


def _height(g: Numbers) -> float:
    return float(height_without_tilt(g.reading, x=g.distance, nose_up=g.tilt))


def _off(g: Numbers) -> float:
    return float(middle_off_centre(g.left, right=g.right))


def _level(g: Numbers) -> float:
    return float(length_along_datum(g.tape, rise=g.rise))


def _parts(g: Numbers) -> tuple[float, float, float]:
    return g.length, g.width, g.height


# Which plane each of eight readings starts from, and what it is of.
PLANES = ("datum", "centre", "zero")
HEIGHTS = ("tip_high", "sill_high", "rear_low")
WIDTHS = ("tip_left", "mount_right")
LENGTHS = ("cowl_ahead", "tail_behind", "tip_short")
READINGS = (*HEIGHTS, *WIDTHS, *LENGTHS)


def _planes(*, heights: str, widths: str, lengths: str) -> dict[str, str]:
    return {
        **dict.fromkeys(HEIGHTS, heights),
        **dict.fromkeys(WIDTHS, widths),
        **dict.fromkeys(LENGTHS, lengths),
    }


# Never a whole number, so that no difference looks like the count.
POINTS = "abcdef"
_TENTHS = [k / 10 for k in range(6, 57) if k % 10]
DIFFERENCES = picked("mm", *(sign * tenth for sign in (-1, 1) for tenth in _TENTHS))
LIMITS = picked("mm", 2.2, 2.5, 2.8, 3.2, 3.5, 3.8)
LEAST_APART = 0.25e-3  # m, of a difference from its limit and from half of it


def _each(g: Numbers) -> list[tuple[float, float]]:
    """Return difference and limit of each of six points."""
    return [(getattr(g, p), getattr(g, f"{p}_limit")) for p in POINTS]


def _outside(g: Numbers) -> float:
    return float(sum(abs(off) > limit for off, limit in _each(g)))


def _outside_half(g: Numbers) -> float:
    return float(sum(abs(off) > limit / 2 for off, limit in _each(g)))


def _outside_above(g: Numbers) -> float:
    return float(sum(off > limit for off, limit in _each(g)))


def _clear_of_limits(g: Numbers) -> bool:
    """Tell whether no point is near a limit, and each way to count gives another."""
    counts = (_outside(g), _outside_half(g), _outside_above(g))
    edges = [
        abs(abs(off) - share * limit) for off, limit in _each(g) for share in (0.5, 1.0)
    ]
    return len({*counts}) == 3 and counts[0] < 6 and min(edges) >= LEAST_APART


EXERCISES = (
    Exercise(
        id="4.1",
        lesson="L04",
        given={
            "reading": stepped("mm", 180, 420, 5),
            "distance": stepped("mm", 1200, 3600, 50),
            "tilt": stepped("deg", 0.3, 1.0, 0.1),
        },
        answer=Quantity(
            kind="length",
            unit="mm",
            solve=_height,
            tolerance=Tolerance(absolute=2.0),
            smallest=117.0,
            largest=414.0,
        ),
        mistakes=(
            Mistake("tilt_left_in", lambda g: g.reading),
            Mistake("tilt_added", lambda g: g.reading + g.distance * tan(g.tilt)),
            in_radians(lambda g: g.reading - g.distance * tan(degrees(g.tilt))),
        ),
        # 2,400 × 0.0087269 = 20.94, and 352 − 20.94.
        by_hand=ByHand({"reading": 352, "distance": 2400, "tilt": 0.5}, 331.06),
        sketch=Sketch("tilted_base"),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="4.2",
        lesson="L04",
        given={"left": stepped("mm", 430, 520), "right": stepped("mm", 400, 514)},
        allowed=lambda g: 6 <= round((g.left - g.right) * 1e3) <= 30,
        answer=Quantity(
            kind="length",
            unit="mm",
            solve=_off,
            tolerance=Tolerance(absolute=0.5),
            smallest=3.0,
            largest=15.1,
        ),
        mistakes=(
            Mistake("whole_difference", lambda g: g.left - g.right),
            Mistake("average_width", lambda g: (g.left + g.right) / 2),
        ),
        # 470 and 446 are 24 apart; half of it.
        by_hand=ByHand({"left": 470, "right": 446}, 12.0),
        sketch=Sketch("two_widths"),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="4.3",
        lesson="L04",
        given={
            "tape": stepped("mm", 700, 1600, 10),
            "rise": stepped("mm", 200, 450, 10),
        },
        answer=Quantity(
            kind="length",
            unit="mm",
            solve=_level,
            tolerance=Tolerance(absolute=3.0),
            smallest=536.0,
            largest=1588.0,
        ),
        mistakes=(
            Mistake("M29_tape_is_length", lambda g: g.tape),
            Mistake("squares_added", lambda g: hypot(g.tape, g.rise)),
            Mistake("plain_minus", lambda g: g.tape - g.rise),
        ),
        # The triangle of 7, 24 and 25, forty times as large.
        by_hand=ByHand({"tape": 1000, "rise": 280}, 960.0),
        sketch=Sketch("sloping_tape"),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="4.4",
        lesson="L04",
        given={
            "length": stepped("mm", -18, 18),
            "width": stepped("mm", -18, 18),
            "height": stepped("mm", -12, 12),
        },
        allowed=lambda g: min(abs(part) for part in _parts(g)) > 4.5e-3,
        answer=Quantity(
            kind="length",
            unit="mm",
            solve=lambda g: float(norm(_parts(g))),
            tolerance=Tolerance(absolute=0.5),
            smallest=8.6,
            largest=28.2,
        ),
        mistakes=(
            Mistake("M05_plain_sum", lambda g: sum(abs(part) for part in _parts(g))),
            Mistake("largest_only", lambda g: max(abs(part) for part in _parts(g))),
            Mistake("signed_sum", lambda g: sum(_parts(g)), secondary=True),
        ),
        # 144 + 81 + 64 = 289, and its root is 17.
        by_hand=ByHand({"length": -12, "width": 9, "height": -8}, 17.0),
        sketch=Sketch("difference_in_space"),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="4.5",
        lesson="L04",
        given={
            **SHUFFLE,
            "tip_high": stepped("mm", 380, 460),
            "sill_high": stepped("mm", 260, 320),
            "rear_low": stepped("mm", 3, 19),
            "tip_left": stepped("mm", 410, 470),
            "mount_right": stepped("mm", 480, 540),
            "cowl_ahead": stepped("mm", 830, 890),
            "tail_behind": stepped("mm", 1920, 2040),
            "tip_short": stepped("mm", 20, 40),
        },
        answer=Match(
            items=lambda _: READINGS,
            right=lambda _: _planes(heights="datum", widths="centre", lengths="zero"),
            among=PLANES,
        ),
        mistakes=(
            Mispicked(
                "views_mixed",
                lambda _: _planes(heights="centre", widths="datum", lengths="zero"),
            ),
            Mispicked(
                "vertical_planes_swapped",
                lambda _: _planes(heights="datum", widths="zero", lengths="centre"),
            ),
        ),
        by_hand=ByHand(
            {
                "shuffle": 1,
                "tip_high": 420,
                "sill_high": 300,
                "rear_low": 12,
                "tip_left": 440,
                "mount_right": 515,
                "cowl_ahead": 860,
                "tail_behind": 1985,
                "tip_short": 26,
            },
            # a, c and f are heights, b and d widths, e, g and h lengths.
            "a 1, b 2, c 1, d 2, e 3, f 1, g 3, h 3",
        ),
        sketch=Sketch("three_planes"),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="4.6",
        lesson="L04",
        given={
            **dict.fromkeys(POINTS, DIFFERENCES),
            **{f"{point}_limit": LIMITS for point in POINTS},
        },
        allowed=_clear_of_limits,
        answer=Count(solve=_outside, smallest=1, largest=5),
        mistakes=(
            Mistake("limit_as_whole_band", _outside_half),
            Mistake("only_above", _outside_above),
            Mistake("inside_counted", lambda g: 6 - _outside(g), secondary=True),
        ),
        # Outside: A, D and F. Half the band leaves out only C; above is D alone.
        by_hand=ByHand(
            {
                **{"a": -3.6, "a_limit": 3.2, "b": 2.4, "b_limit": 2.8},
                **{"c": 0.7, "c_limit": 2.2, "d": 4.6, "d_limit": 3.8},
                **{"e": -2.3, "e_limit": 3.5, "f": -4.1, "f_limit": 2.5},
            },
            3.0,
        ),
        sketch=Sketch("six_limits"),
        cautions=CAUTIONS,
    ),
)
