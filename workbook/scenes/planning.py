"""The invented shop laid out on a floor, and a planned set-up in its words.

Sockets and forks stand where the reader puts them; rams, extensions, heads,
chains and clamps are those of `workbook.equipment.shop`, by name. Their ratings
are invented for teaching, but for the chains'.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from workbook.equipment import Chain, pick, shop
from workbook.errors import FormError, OutOfRangeError
from workbook.language import say
from workbook.mechanics.planner.candidates import Job, ShopFloor
from workbook.mechanics.planner.one_ram import Advantage, Plan
from workbook.mechanics.vectors import Array, angle_between, rise_of, side_angle_of
from workbook.quantities.units import METRIC
from workbook.scenes.chains import CHAIN_GRADES
from workbook.scenes.setups import ANCHOR_LEG, Setup

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from numpy.typing import ArrayLike

    from workbook.equipment.load_path import Rated
    from workbook.equipment.shop import ChainFork, Named
    from workbook.scenes.fields import Value


@dataclass(frozen=True, kw_only=True)
class PlacedFork:
    """A chain fork of the shop, laid on the bench.

    ``name`` in the shop, ``middle`` slot (3,) [m], and the direction in plan in
    which one looks out over it from the clamp, from x, plus to the left [rad].
    """

    name: str
    middle: ArrayLike
    looking_out: float

    @property
    def slots(self) -> Array:
        """Places of its slots, from right to left, shape (slots, 3) [m]."""
        left = [-np.sin(self.looking_out), np.cos(self.looking_out), 0.0]
        offsets = pick(shop().forks, self.name).slot_offsets
        return np.asarray(self.middle, dtype=float) + np.multiply.outer(offsets, left)

    @property
    def slot_names(self) -> list[str]:
        """What the slots are called, from right to left."""
        return _slot_names(pick(shop().forks, self.name))


def _slot_names(fork: ChainFork) -> list[str]:
    return [
        say("planning", "slot", fork=fork.name, offset=round(1000 * float(offset)))
        for offset in fork.slot_offsets
    ]


def shop_floor(
    *,
    sockets: ArrayLike,
    forks: Sequence[PlacedFork],
    links: Iterable[int] = range(10, 61),
    rams: Sequence[str] | None = None,
    extensions: Sequence[str] | None = None,
    chains: Sequence[str] | None = None,
    head: str = "large head",
    keep_out: ArrayLike = (),
) -> ShopFloor:
    """Lay the invented shop out.

    Parameters
    ----------
    sockets : array_like, shape (m, 3)
        Places of the ram's base. [m]
    forks : sequence of PlacedFork
        The chain forks on the bench.
    links : iterable of int
        Numbers of links the anchor leg may have.
    rams, extensions, chains : sequence of str, optional
        Names of those to choose among; all of the shop unless given. No
        extension is always a choice.
    head : str
        The head on the ram.
    keep_out : array_like, shape (b, 2, 3)
        Low and high corners of boxes that ram and chain must not touch. [m]

    Returns
    -------
    ShopFloor
        With the names of its parts.

    Raises
    ------
    OutOfRangeError
        If the shop has no part called so, or there is no fork.

    Examples
    --------
    >>> floor = shop_floor(
    ...     sockets=[[1.0, 0.5, 0]], rams=["ram 42"], extensions=["extension 150"],
    ...     chains=["10 mm chain, grade 8, EN 818-2"], links=[20],
    ...     forks=[PlacedFork(name="short fork", middle=[2, 1, 0], looking_out=0.5)],
    ... )
    >>> floor.shape, floor.named([0, 0, 1, 0, 0, 0])["extension"]
    ((1, 5, 2, 1, 1, 1), 'extension 150')
    """
    if not forks:
        raise OutOfRangeError("plan.no_fork")
    parts = shop()
    ram = [pick(parts.rams, n) for n in rams or _names(parts.rams)]
    leg = [pick(parts.chains, n) for n in chains or _names(parts.chains)]
    tube = [pick(parts.extensions, n) for n in extensions or _names(parts.extensions)]
    fork = [pick(parts.forks, each.name) for each in forks]
    return ShopFloor(
        sockets=np.asarray(sockets, dtype=float),
        slots=np.concatenate([each.slots for each in forks]),
        slot_ratings=np.concatenate([[f.rating] * f.slots for f in fork]),
        extensions=np.array([0.0, *(t.length for t in tube)]),
        closed_lengths=np.array([r.closed_length for r in ram]),
        full_strokes=np.array([r.full_stroke for r in ram]),
        swivels=np.array([r.swivel_limit_from_vertical for r in ram]),
        ram_ratings=np.array([r.rating for r in ram]),
        head_ratings=np.asarray(pick(parts.heads, head).rating),
        chain_pitches=np.array([c.pitch for c in leg]),
        chain_ratings=np.array([c.rating for c in leg]),
        links=np.array([*links]),
        keep_out=np.asarray(keep_out, dtype=float),
        names={
            "slot": [name for each in forks for name in each.slot_names],
            "extension": [say("planning", "no_extension"), *_names(tube)],
            "ram": _names(ram),
            "chain": _names(leg),
        },
    )


def _names(parts: Iterable[Named]) -> list[str]:
    return [part.name for part in parts]


def job(
    *,
    clamp: ArrayLike,
    clamp_name: str = "broad clamp",
    useful_pull: float,
    rating_margin: float,
    movement: ArrayLike | None = None,
    direction: ArrayLike | None = None,
    slack: float = 0.0,
) -> Job:
    """Return a job for a clamp of the shop; the school's margin must be given.

    Parameters
    ----------
    clamp, movement, direction, useful_pull, slack, rating_margin
        As in `workbook.mechanics.planner.one_ram.Job`.
    clamp_name : str
        The clamp on the metal.

    Returns
    -------
    Job

    Raises
    ------
    OutOfRangeError
        As in `Job`, or the shop has no such clamp.
    """
    return Job(
        clamp=np.asarray(clamp, dtype=float),
        movement=None if movement is None else np.asarray(movement, dtype=float),
        direction=None if direction is None else np.asarray(direction, dtype=float),
        useful_pull=useful_pull,
        clamp_rating=pick(shop().clamps, clamp_name).rating,
        slack=slack,
        rating_margin=rating_margin,
    )


def amounts(plan: Plan, at: int = 0) -> dict[str, tuple[float, str]]:
    """Return the numbers of one planned set-up: SI value and kind, by what it is.

    The kinds are those of `workbook.quantities.units.UnitSystem`.
    """
    rig, pull = plan.rig, plan.pull
    base, anchor = rig.base[at], rig.anchor[at]
    return {
        "base, forward": (float(base[0]), "length"),
        "base, to the left": (float(base[1]), "length"),
        "slot, forward": (float(anchor[0]), "length"),
        "slot, to the left": (float(anchor[1]), "length"),
        "anchor leg": (float(rig.anchor_leg[at]), "length"),
        "ram lean, outward": (float(pull.lean[at]), "angle"),
        "head height": (float(pull.head[at, 2]), "length"),
        "pull: side angle": (float(pull.side_angle[at]), "angle"),
        "pull: rise": (float(pull.rise[at]), "angle"),
        "off the wanted line": (float(plan.direction_error[at]), "angle"),
        "ram force": (float(pull.ram_force[at]), "force"),
        "pull leg": (float(pull.pull_tension[at]), "force"),
        "anchor leg tension": (float(pull.anchor_tension[at]), "force"),
        "largest share of a rating": (float(plan.worst_share[at]), "share"),
        "stroke needed": (float(plan.stroke_needed[at]), "length"),
        "stroke left": (float(plan.stroke_left[at]), "length"),
    }


def setup(
    plan: Plan, at: int = 0, *, title: str = "", tolerance: float = 0.01
) -> Setup:
    """Return a planned set-up as a `Setup`, kept to the grain of its file.

    Parameters
    ----------
    plan : Plan
        A plan on a floor of `shop_floor`, for a job of `job`.
    at : int
        Which of its set-ups.
    title : str
        Title of the set-up.
    tolerance : float
        How far the pull may turn by that rounding. [rad]

    Returns
    -------
    Setup
        With the anchor leg, in place of the lean.

    Raises
    ------
    FormError
        If a value is outside what a set-up can hold, such as a base behind the
        clamp, a part that is not the shop's, or a bench that is not at height
        zero; `amounts` and ``plan.floor.named`` then tell all there is.
    """
    leg = ANCHOR_LEG.checked(1000 * float(plan.rig.anchor_leg[at]))
    made = Setup(
        title=title,
        values={**_places(plan, at), **_parts(plan, at), **_wanted(plan)},
        anchor_leg_mm=leg,
    )
    turned = angle_between(made.solved().pull.direction, plan.pull.direction[at])
    if not turned <= tolerance:
        raise FormError("plan.turned", degrees=float(np.degrees(turned)))
    return made


def _places(plan: Plan, at: int) -> dict[str, Value]:
    """Return where base and slot stand, from the clamp along the set-out line."""
    clamp, base, anchor = plan.rig.clamp, plan.rig.base[at], plan.rig.anchor[at]
    if abs(base[2]) > 5e-5 or abs(anchor[2]) > 5e-5:
        raise FormError(
            "plan.not_level", base=1000 * float(base[2]), slot=1000 * float(anchor[2])
        )
    out, on = base - clamp, anchor - base
    angle = float(side_angle_of(out))
    cos, sin = np.cos(angle), np.sin(angle)
    return {
        "chain_angle_deg": float(np.degrees(angle)),
        "clamp_distance_mm": 1000 * float(np.hypot(out[0], out[1])),
        "fork_distance_mm": 1000 * float(on[0] * cos + on[1] * sin),
        "fork_offset_mm": 1000 * float(on[1] * cos - on[0] * sin),
        "clamp_forward_mm": 1000 * float(clamp[0]),
        "clamp_left_mm": 1000 * float(clamp[1]),
        "clamp_height_mm": 1000 * float(clamp[2]),
        "extension_mm": 1000 * float(plan.rig.extension[at]),
        "stroke_mm": 1000 * plan.job.slack,
    }


def _parts(plan: Plan, at: int) -> dict[str, Value]:
    """Return the shop's names of the parts."""
    named, parts = plan.floor.named(plan.choices[at]), shop()
    ram = plan.choices[at][3]
    grade, size = _grade_and_size(pick(parts.chains, named["chain"]))
    return {
        "ram": named["ram"],
        "head": _rated(parts.heads, plan.floor.head_ratings[ram], "plan.no_head"),
        "clamp": _rated(parts.clamps, plan.job.clamp_rating, "plan.no_clamp"),
        "fork": _fork_of(named["slot"]),
        "chain_grade": grade,
        "chain_size": size,
    }


def _fork_of(slot: str) -> str:
    """Return the fork of a slot; a name that is not the shop's stays as it is."""
    forks = (fork.name for fork in shop().forks if slot in _slot_names(fork))
    return next(forks, slot)


def _rated(parts: Iterable[Rated], rating: float, reason: str) -> str:
    """Return the name of the shop's part with a rating; no two have the same."""
    for part in parts:
        if part.rating == rating:
            return part.name
    raise FormError(reason, rating=rating / 1000)


def _grade_and_size(wanted: Chain) -> tuple[str, str]:
    """Return a chain in the words of a set-up."""
    size = wanted.size.split(" (")[0]
    for label, (standard, grade) in CHAIN_GRADES.items():
        if standard == wanted.standard and grade == wanted.grade:
            return label, size
    raise FormError("plan.no_such_chain", chain=wanted.name)


def _wanted(plan: Plan) -> dict[str, Value]:
    line = plan.job.line
    return {
        "wanted_side_angle_deg": float(np.degrees(side_angle_of(line))),
        "wanted_rise_deg": float(np.degrees(rise_of(line))),
        "held": "useful pull",
        "useful_pull_kn": plan.job.useful_pull / 1000,
    }


def why(
    advantage: Advantage | None, *, show: Callable[[float, str], str] = METRIC.show
) -> str:
    """Say why the best set-up beat the next, in the reader's units.

    Parameters
    ----------
    advantage : Advantage or None
        Of a `Plan`.
    show : callable
        Turns an SI value and its kind into text.

    Examples
    --------
    >>> why(Advantage(key="stroke left", best=0.12, runner_up=0.1))
    'It beats the next by its stroke left: 120 mm against 100 mm, 20 mm better.'
    """
    if advantage is None:
        return say("planning", "only_one")
    if advantage.key == "order in the lists":
        return say("planning", "equal")
    kind = KINDS[advantage.key]
    values = (advantage.best, advantage.runner_up, advantage.by)
    best, other, by = (f"{v:.0f}" if kind == "" else show(v, kind) for v in values)
    key = say("planning", "key", advantage.key)
    return say("planning", "better", key=key, best=best, other=other, by=by)


KINDS: Mapping[str, str] = {
    "direction error": "angle",
    "parts moved": "",
    "worst share": "share",
    "stroke left": "length",
}
