"""L15, metal: springback and overpull, a clamp that tears out, heat and signs."""

from __future__ import annotations

from math import cos, degrees
from typing import TYPE_CHECKING

from workbook.exercises.answers.picked import SHUFFLE, Mispicked, Tick
from workbook.exercises.answers.quantity import (
    TWO_PERCENT,
    Mistake,
    Quantity,
    Tolerance,
    in_radians,
    slip,
)
from workbook.exercises.declaration import (
    ByHand,
    Derived,
    Exercise,
    Numbers,
    Sketch,
    picked,
    stepped,
)
from workbook.exercises.seeds import Stream
from workbook.mechanics.metal.edges import EDGES, tear_out
from workbook.mechanics.pull.rigging import bridle

if TYPE_CHECKING:
    from collections.abc import Sequence

CAUTIONS = ("S0", "S2", "S9", "S10", "S13")
MM = 1e-3


def _springback(g: Numbers) -> float:
    return float(g.load / g.stiffness)


def _worth_asking(g: Numbers) -> bool:
    """Tell whether springback is of a size met with, and not a tenth of the need."""
    back = _springback(g)
    return 2 * MM <= back <= 9 * MM and abs(back - 0.1 * g.needed) >= 1.3 * MM


def _loaded(g: Numbers) -> float:
    return float(g.start - g.left + g.back)


def _stays_something(g: Numbers) -> bool:
    stays = g.start - g.left
    return bool(5 * MM <= stays <= 30 * MM and abs(g.left - stays) >= 2 * MM)


def _tear_out(g: Numbers) -> float:
    return float(
        tear_out(edge_distance=g.edge, thickness=g.sheet, shear_strength=g.strength)
    )


def _each_clamp(g: Numbers) -> float:
    half = g.between / 2
    return float(bridle(g.pull, angle_left=half, angle_right=half).left)


def _after(g: Numbers) -> float:
    return float(g.before * (1 - g.share))


OF_HEAT = ("little_heat", "by_colour", "cools_back", "stands_more")
FORBIDDEN = (*OF_HEAT, "quick", "weld_on")
ALLOWED = ("maker_allows", "as_written", "replaced", "outside", "eyes_and_ears", "look")
STATEMENTS = 6


def _statements(g: Numbers) -> tuple[str, ...]:
    """Return six statements, two to four of them of what must never be done."""
    chance = Stream(f"heat {g.shuffle:.0f}".encode())
    never = 2 + chance.below(3)
    found = chance.shuffled(FORBIDDEN)[:never]
    return (*found, *chance.shuffled(ALLOWED)[: STATEMENTS - never])


def _never(g: Numbers) -> set[str]:
    return {*FORBIDDEN} & {*_statements(g)}


def _heat_let_pass(g: Numbers) -> set[str] | None:
    """Return what is ticked by who thinks that some heat is fine, if it shows."""
    rest = _never(g) - {*OF_HEAT}
    return rest if rest and rest != _never(g) else None


SIGNS = ("whitening", "click", "widening", "slipping", "gauge_drops")
HARMLESS = ("straightens", "pump_hums", "gauge_climbs", "shadow", "tape_moves", "dust")
SEEN = 9


def _seen(g: Numbers) -> Sequence[str]:
    """Return what is seen and heard: the five signs, and four other things."""
    chance = Stream(f"signs {g.shuffle:.0f}".encode())
    return (*SIGNS, *chance.shuffled(HARMLESS)[: SEEN - len(SIGNS)])


EXERCISES = (
    Exercise(
        id="15.1",
        lesson="L15",
        given={
            "needed": stepped("mm", 6, 25),
            "load": stepped("kN", 10, 40),
            "stiffness": stepped("kN/mm", 2, 10, 0.5),
        },
        allowed=_worth_asking,
        answer=Quantity(
            kind="length",
            unit="mm",
            solve=lambda g: g.needed + _springback(g),
            tolerance=Tolerance(absolute=0.4),
            smallest=7.9,
            largest=34.1,
        ),
        mistakes=(
            Mistake("M30_no_springback", lambda g: g.needed),
            Mistake("always_ten_per_cent", lambda g: 1.1 * g.needed),
            Mistake("springback_taken_off", lambda g: g.needed - _springback(g)),
            Mistake("springback_alone", _springback, secondary=True),
        ),
        # 22 ÷ 4 = 5.5, and 14 + 5.5.
        by_hand=ByHand({"needed": 14, "load": 22, "stiffness": 4}, 19.5),
        sketch=Sketch("springback_to_find"),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="15.2",
        lesson="L15",
        given={
            "start": stepped("mm", 14, 40),
            "left": stepped("mm", 1, 30),
            "back": stepped("mm", 2, 9, 0.5),
        },
        allowed=_stays_something,
        derived={"loaded": Derived(unit="mm", digits=1, solve=_loaded)},
        answer=Quantity(
            kind="length",
            unit="mm",
            solve=lambda g: g.start - g.left,
            tolerance=Tolerance(absolute=0.5),
            smallest=4.9,
            largest=30.1,
        ),
        mistakes=(
            Mistake("M30_no_springback", lambda g: g.loaded),
            Mistake("what_is_left", lambda g: g.left),
        ),
        # 20 − 7 stay, whatever it read under load.
        by_hand=ByHand({"start": 20, "left": 7, "back": 4}, 13.0),
        sketch=Sketch("three_readings"),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="15.3",
        lesson="L15",
        given={
            "edge": stepped("mm", 15, 40),
            "sheet": stepped("mm", 0.8, 2.0, 0.1),
            "strength": stepped("N/mm²", 150, 350, 10),
        },
        answer=Quantity(
            kind="force",
            unit="kN",
            solve=_tear_out,
            tolerance=TWO_PERCENT,
            smallest=3.5,
            largest=56.1,
        ),
        mistakes=(
            Mistake("one_edge_only", lambda g: _tear_out(g) / EDGES),
            Mistake("both_faces_counted", lambda g: 2 * _tear_out(g)),
        ),
        # 2 × 25 × 1.2 × 220 = 13 200 N.
        by_hand=ByHand({"edge": 25, "sheet": 1.2, "strength": 220}, 13.2),
        sketch=Sketch("clamp_at_edge"),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="15.4",
        lesson="L15",
        given={
            "pull": stepped("kN", 10, 35),
            "between": picked("deg", *range(45, 81, 5), *range(100, 111, 5)),
        },
        answer=Quantity(
            kind="force",
            unit="kN",
            solve=_each_clamp,
            tolerance=TWO_PERCENT,
            smallest=5.4,
            largest=30.6,
        ),
        mistakes=(
            Mistake("M14_bridle_half", lambda g: g.pull / 2),
            Mistake("M15_whole_angle", lambda g: abs(g.pull / 2 / cos(g.between))),
            Mistake("whole_pull_on_each", lambda g: g.pull),
            slip("mult_div", lambda g: g.pull * cos(g.between / 2) / 2),
            in_radians(lambda g: g.pull / 2 / cos(degrees(g.between / 2))),
        ),
        # cos 40° = 0.7660, and 24 ÷ (2 × 0.7660) = 15.67.
        by_hand=ByHand({"pull": 24, "between": 80}, 15.67),
        sketch=Sketch("even_legs", {"between": "between"}),
        easier="8.4",
        cautions=CAUTIONS,
    ),
    Exercise(
        id="15.5",
        lesson="L15",
        given={
            "before": stepped("mm", 4, 12, 0.5),
            "share": picked("%", 20, 25, 30, 35, 40, 60, 65, 70, 75, 80),
        },
        derived={"after": Derived(unit="mm", digits=1, solve=_after)},
        answer=Quantity(
            kind="share",
            unit="%",
            solve=lambda g: (g.before - g.after) / g.before,
            tolerance=Tolerance(absolute=2.0),
            smallest=18.0,
            largest=81.5,
        ),
        mistakes=(Mistake("what_is_left", lambda g: g.after / g.before),),
        # From 8 to 5.2 mm: 2.8 of 8.
        by_hand=ByHand({"before": 8, "share": 35}, 35.0),
        sketch=Sketch("two_bars"),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="15.6",
        lesson="L15",
        given=SHUFFLE,
        answer=Tick(items=_statements, right=_never, stoppers=True),
        mistakes=(Mispicked("a_little_heat", _heat_let_pass),),
        # Strength that comes back, and a little heat.
        by_hand=ByHand({"shuffle": 1}, "c, f"),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="15.7",
        lesson="L15",
        given=SHUFFLE,
        answer=Tick(items=_seen, right=lambda _: {*SIGNS}, stoppers=True),
        mistakes=(),
        # Jaw, paint, gauge, hole, click.
        by_hand=ByHand({"shuffle": 1}, "b, e, f, h, i"),
        cautions=CAUTIONS,
    ),
)
