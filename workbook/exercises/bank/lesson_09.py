"""L09, slack, chain sag and stored energy."""

from __future__ import annotations

from math import sqrt

from workbook.exercises.answers.quantity import (
    TWO_PERCENT,
    Mistake,
    Quantity,
    Tolerance,
)
from workbook.exercises.declaration import (
    ByHand,
    Exercise,
    Numbers,
    Sketch,
    picked,
    stepped,
)
from workbook.mechanics.pull.parabola import (
    parabola_sag,
    parabola_sag_from_slack,
    parabola_tension,
)
from workbook.mechanics.pull.stored_energy import stored_energy


def _sag_of_slack(g: Numbers) -> float:
    return float(parabola_sag_from_slack(g.slack, span=g.span))


def _sag_of_tension(g: Numbers) -> float:
    return float(parabola_sag(g.tension, span=g.span, weight_per_length=g.weight))


def _tension_of_sag(g: Numbers) -> float:
    return float(parabola_tension(g.sag, span=g.span, weight_per_length=g.weight))


# The rules are those of a tight chain. Where the chain hangs deeper, the exact curve
# leaves them, and whoever reads it off an explorer must still be right: by no more
# than 1 mm in 9.1, and 1 per cent in 9.2 and 9.3. How far it leaves them follows from
# the sag over the span; a test holds this to the exact curve for all that is drawn.


def _slack_is_small(g: Numbers) -> bool:
    sag = _sag_of_slack(g)
    steep = (sag / g.span) ** 2
    return bool(14 / 15 * sag * steep * (1 - steep / 2) <= 1e-3)


def _chain_is_tight(g: Numbers) -> bool:
    sag = _sag_of_tension(g)
    return bool(sag >= 4e-3 and sag <= 0.0324 * g.span)


def _sag_is_small(g: Numbers) -> bool:
    return bool(g.sag <= 0.0327 * g.span)


def _seen_at_take_up(g: Numbers) -> bool:
    # Nobody stands near a loaded chain to read its sag.
    return bool(_sag_is_small(g) and _tension_of_sag(g) <= 1e3)


def _v_shape(g: Numbers) -> float:
    return sqrt(((g.span + g.slack) / 2) ** 2 - (g.span / 2) ** 2)


def _energy(g: Numbers) -> float:
    metre = 1.0  # the stiffness is that of one metre of chain
    stiffness = g.stiffness * metre
    return float(stored_energy(g.tension, length=g.length, axial_stiffness=stiffness))


def _times_the_energy(g: Numbers) -> float:
    # Any chain will do: its length and stiffness drop out.
    before, after = stored_energy([1.0, g.times], length=1.0, axial_stiffness=1.0)
    return float(after / before)


def _energy_later(g: Numbers) -> float:
    return float(g.energy * _times_the_energy(Numbers(times=g.after / g.before)))


CAUTIONS = ("S0", "S1", "S5")
SPAN = stepped("m", 1.2, 3.0, 0.1)
WEIGHT = stepped("N/m", 20, 40)

EXERCISES = (
    Exercise(
        id="9.1",
        lesson="L09",
        given={
            "span": stepped("mm", 1000, 3000, 100),
            "slack": stepped("mm", 5, 60),
        },
        allowed=_slack_is_small,
        answer=Quantity(
            kind="length",
            unit="mm",
            solve=_sag_of_slack,
            tolerance=Tolerance(absolute=2.0),
            smallest=43.0,
            largest=225.0,
        ),
        mistakes=(
            Mistake("M19_sag_is_slack", lambda g: g.slack),
            Mistake("M19_sag_is_slack", lambda g: g.slack / 2),
            Mistake("v_shape", _v_shape, score=0.6),
        ),
        # 3 ÷ 8 × 2000 × 30 = 22500, and 150 × 150 = 22500.
        by_hand=ByHand({"span": 2000, "slack": 30}, 150.0),
        sketch=Sketch("hung_chain"),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="9.2",
        lesson="L09",
        given={
            "weight": WEIGHT,
            "span": SPAN,
            "tension": stepped("kN", 0.2, 2.0, 0.1),
        },
        allowed=_chain_is_tight,
        answer=Quantity(
            kind="length",
            unit="mm",
            solve=_sag_of_tension,
            tolerance=Tolerance(relative=0.02, absolute=0.5),
            smallest=4.0,
            largest=100.0,
        ),
        mistakes=(
            Mistake("quarter_for_eighth", lambda g: 2 * _sag_of_tension(g)),
            Mistake("span_not_squared", lambda g: _sag_of_tension(g) / g.span),
        ),
        # 30 × 2 × 2 ÷ (8 × 1000) = 0.015 m.
        by_hand=ByHand({"weight": 30, "span": 2, "tension": 1}, 15.0),
        sketch=Sketch("hung_chain"),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="9.3",
        version=2,
        lesson="L09",
        given={"weight": WEIGHT, "span": SPAN, "sag": stepped("mm", 5, 60)},
        allowed=_seen_at_take_up,
        answer=Quantity(
            kind="force",
            unit="kN",
            solve=_tension_of_sag,
            tolerance=TWO_PERCENT,
            smallest=0.06,
            largest=1.0,
        ),
        mistakes=(
            Mistake("quarter_for_eighth", lambda g: 2 * _tension_of_sag(g)),
            Mistake("span_not_squared", lambda g: _tension_of_sag(g) / g.span),
            Mistake("chain_weight_only", lambda g: g.weight * g.span),
        ),
        # 30 × 2 × 2 ÷ (8 × 0.015) = 1000 N.
        by_hand=ByHand({"weight": 30, "span": 2, "sag": 15}, 1.0),
        sketch=Sketch("hung_chain"),
        easier="9.2",
        cautions=CAUTIONS,
    ),
    Exercise(
        id="9.4",
        lesson="L09",
        given={
            "slack_at_hook": stepped("mm", 14, 60, 2),
            "ratio": stepped("1", 0.5, 1.6, 0.05),
        },
        allowed=lambda g: abs(g.ratio - 1) > 0.18,
        answer=Quantity(
            kind="length",
            unit="mm",
            # Virtual work: force times travel is the same at the ram and at the hook.
            solve=lambda g: g.slack_at_hook * g.ratio,
            tolerance=Tolerance(absolute=1.0),
            smallest=7.0,
            largest=96.0,
        ),
        mistakes=(
            Mistake("M17_gain_is_free", lambda g: g.slack_at_hook),
            Mistake("ratio_upside_down", lambda g: g.slack_at_hook / g.ratio),
        ),
        # The hook goes 1 where the ram goes 1.5: 30 × 1.5 = 45.
        by_hand=ByHand({"slack_at_hook": 30, "ratio": 1.5}, 45.0),
        sketch=Sketch("slack_rig"),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="9.5",
        lesson="L09",
        given={
            "tension": stepped("kN", 10, 40),
            "stiffness": stepped("kN/mm", 10, 20),
            "length": picked("m", 1.25, 1.5, 1.75, 2.0, 2.25, 2.5, 2.75, 3.0),
        },
        answer=Quantity(
            kind="energy",
            unit="J",
            solve=_energy,
            tolerance=TWO_PERCENT,
            smallest=3.1,
            largest=240.0,
        ),
        mistakes=(
            Mistake(
                "M21_energy_in_step",
                # T/(2k) with T in kN and k in kN/mm, as a learner would type it.
                lambda g: (g.tension / 1e3) * g.length / (2 * g.stiffness / 1e6),
            ),
            Mistake("M09_longer_pulls_harder", lambda g: _energy(g) / g.length),
            Mistake("half_missed", lambda g: 2 * _energy(g)),
        ),
        # 2 m have half the stiffness, 6.5 kN/mm, and 30 × 30 ÷ (2 × 6.5) = 69.23 kN mm.
        by_hand=ByHand({"tension": 30, "stiffness": 13, "length": 2}, 69.23),
        sketch=Sketch("taut_chain"),
        easier="9.6",
        cautions=CAUTIONS,
    ),
    Exercise(
        id="9.6",
        version=2,
        lesson="L09",
        given={
            "energy": stepped("J", 4, 30),
            "before": stepped("kN", 10, 20),
            "after": stepped("kN", 14, 40),
        },
        allowed=lambda g: 1.3 <= g.after / g.before <= 3.0,
        answer=Quantity(
            kind="energy",
            unit="J",
            solve=_energy_later,
            tolerance=TWO_PERCENT,
            smallest=6.7,
            largest=270.0,
        ),
        mistakes=(
            Mistake("M21_energy_in_step", lambda g: g.energy * g.after / g.before),
            Mistake("no_change", lambda g: g.energy),
        ),
        # 1.5 times the tension: 10 × 1.5 × 1.5.
        by_hand=ByHand({"energy": 10, "before": 20, "after": 30}, 22.5),
        sketch=Sketch("two_springs"),
        cautions=CAUTIONS,
    ),
    # As they were asked before: chains at any tension, and four answers in all.
    Exercise(
        id="9.3",
        lesson="L09",
        given={"weight": WEIGHT, "span": SPAN, "sag": stepped("mm", 5, 60)},
        allowed=_sag_is_small,
        answer=Quantity(
            kind="force",
            unit="kN",
            solve=_tension_of_sag,
            tolerance=TWO_PERCENT,
            smallest=0.06,
            largest=9.0,
        ),
        mistakes=(
            Mistake("quarter_for_eighth", lambda g: 2 * _tension_of_sag(g)),
            Mistake("span_not_squared", lambda g: _tension_of_sag(g) / g.span),
            Mistake("chain_weight_only", lambda g: g.weight * g.span),
        ),
        # 30 × 2 × 2 ÷ (8 × 0.015) = 1000 N.
        by_hand=ByHand({"weight": 30, "span": 2, "sag": 15}, 1.0),
        sketch=Sketch("hung_chain"),
        easier="9.2",
        cautions=CAUTIONS,
    ),
    Exercise(
        id="9.6",
        lesson="L09",
        given={"times": picked("1", 1.5, 2.0, 2.5, 3.0)},
        answer=Quantity(
            kind="ratio",
            unit="1",
            solve=_times_the_energy,
            tolerance=Tolerance(absolute=0.05),
            smallest=2.25,
            largest=9.0,
        ),
        mistakes=(
            Mistake("M21_energy_in_step", lambda g: g.times),
            Mistake("no_change", lambda _: 1.0),
        ),
        # Twice the tension gives twice the stretch: 2 × 2.
        by_hand=ByHand({"times": 2}, 4.0),
        sketch=Sketch("two_springs"),
        cautions=CAUTIONS,
    ),
)
