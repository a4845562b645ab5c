"""The metal in the practice bay: acts, each of them from one state to the next.

Two front rails, with a crossmember or without, rooted in a sound cowl. Any number
of chains pull at once, each toward a head at a fixed place; chains and stands hold.
Damage is a history like any other: blows first, then pulls. All of it is the
practice rail (`rail`), and leaves out what that leaves out.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import compress

import numpy as np

from workbook.errors import OutOfRangeError
from workbook.mechanics.magnitudes import one_number
from workbook.mechanics.metal.front_parts import (
    FrontState,
    FrontSteps,
    PullOn,
    node_of,
)
from workbook.mechanics.metal.rail import follow
from workbook.mechanics.metal.rail_arrangement import arrange
from workbook.mechanics.metal.rail_at_rest import at_rest
from workbook.mechanics.metal.rail_balance import Controls, State, pull_lines
from workbook.mechanics.metal.rail_history import RailHistory, RailStart
from workbook.mechanics.metal.rail_parts import (
    FrontEnd,
    RailStage,
    Relief,
    Spring,
)
from workbook.mechanics.vectors import Array


def undamaged(front_end: FrontEnd) -> FrontState:
    """Return the metal before any damage, nothing on it.

    Parameters
    ----------
    front_end : FrontEnd
        Rails, crossmember and clamps. Springs are part of the metal; pulls come
        with the acts, and those of the front end are not asked for.

    Returns
    -------
    FrontState
    """
    bare = replace(front_end, pulls={})
    return FrontState(
        metal=at_rest(bare, arrange(bare)), crossmember_on=bare.crossmember is not None
    )


def load(
    front_end: FrontEnd,
    state: FrontState,
    pulls: Mapping[str, PullOn],
    *,
    holds: Mapping[str, Spring] | None = None,
    steps: int = 8,
    tolerance: float = 1e-3,
) -> FrontSteps:
    """Pull on any clamps, all at once, and hold where asked.

    Parameters
    ----------
    front_end : FrontEnd
        As given to `undamaged`.
    state : FrontState
        Before. It stays as it is.
    pulls : mapping of str to PullOn
        Chains by name. A name that is on already goes on from the tension it has;
        chains that are not named stay as they are.
    holds : mapping of str to Spring, optional
        Stands and stiff holds, fitted where the metal is before the act.
    steps : int
        At least so many are recorded.
    tolerance : float
        As for `follow`. [1]

    Returns
    -------
    FrontSteps
        Every step, and the state after.

    Raises
    ------
    OutOfRangeError
        If an input makes no sense, a chain that is on is named with another place,
        a clamp tore before, or the pulls are more than the metal carries.
    NoConvergenceError
        If the tolerance asks for too many steps.

    Examples
    --------
    >>> from workbook.mechanics.metal.rail_parts import Rail, RailClamp
    >>> rails = [
    ...     Rail(root=(0, y, 0), along=(1, 0, 0), link_length=[0.5],
    ...          stiffness=[[1e5, 1e5, 1e8]], yield_load=[[4e3, 4e3, 1e5]],
    ...          hardening_ratio=0.05)
    ...     for y in (0.4, -0.4)
    ... ]
    >>> front_end = FrontEnd(rails=rails, clamps={"left tip": RailClamp(node=(0, 1))})
    >>> pull = PullOn(clamp="left tip", head=(0.5, 2.0, 0.1), tension=9e3)
    >>> loaded = load(front_end, undamaged(front_end), {"rough": pull})
    >>> after = release(front_end, loaded.state)
    >>> for act in (loaded, after):
    ...     print(f"{(act.path('left tip')[-1, 1] - 0.4) * 1e3:.1f} mm")
    64.9 mm
    42.8 mm
    """
    for name, pull in pulls.items():
        if (pull.tension is None) == (pull.stroke is None):
            raise OutOfRangeError("rail.tension_or_stroke", pull=name)
    stage = RailStage(
        name=_named("load", pulls),
        forces={n: p.tension for n, p in pulls.items() if p.tension is not None},
        travels={n: p.stroke for n, p in pulls.items() if p.stroke is not None},
        fit=[*(holds or {})],
    )
    return _act(front_end, state, stage, pulls, holds or {}, steps, tolerance)


def hold(
    front_end: FrontEnd,
    state: FrontState,
    names: Sequence[str] | None = None,
    *,
    steps: int = 8,
    tolerance: float = 1e-3,
) -> FrontSteps:
    """Shut the valves: chains keep their length, whatever else is pulled.

    Parameters
    ----------
    front_end, state, steps, tolerance
        As for `load`.
    names : sequence of str, optional
        Chains; all that are on, if not given.

    Returns
    -------
    FrontSteps
        In which nothing moves.
    """
    names = [*state.pulls] if names is None else names
    stage = RailStage(name=_named("hold", names), travels=dict.fromkeys(names, 0.0))
    return _act(front_end, state, stage, {}, {}, steps, tolerance)


def release(
    front_end: FrontEnd,
    state: FrontState,
    names: Sequence[str] | None = None,
    *,
    steps: int = 8,
    tolerance: float = 1e-3,
) -> FrontSteps:
    """Let chains down to nothing and take them off; take holds off.

    Parameters
    ----------
    front_end, state, steps, tolerance
        As for `load`.
    names : sequence of str, optional
        Chains, holds, springs of the front end and "crossmember", which is cut in
        its middle and stays out; all chains and holds that are on, if not given.
        What is not named stays as it is.

    Returns
    -------
    FrontSteps
        Springback and all.
    """
    names = [*state.pulls, *state.holds] if names is None else names
    stage = RailStage(
        name=_named("release", names),
        forces={name: 0.0 for name in names if name in state.pulls},
        take_out=[name for name in names if name not in state.pulls],
    )
    return _act(front_end, state, stage, {}, {}, steps, tolerance)


def relieve(
    front_end: FrontEnd,
    state: FrontState,
    where: Sequence[Relief],
    *,
    steps: int = 8,
    tolerance: float = 1e-3,
) -> FrontSteps:
    """Hammer hinges while everything on the metal stays on it.

    Parameters
    ----------
    front_end, state, steps, tolerance
        As for `load`.
    where : sequence of Relief
        Hinges, and by which share their yield limit and locked-in load go down;
        afterwards the limit comes back.

    Returns
    -------
    FrontSteps
    """
    stage = RailStage(name="relieve", relief=where)
    return _act(front_end, state, stage, {}, {}, steps, tolerance)


def places(front_end: FrontEnd, state: FrontState) -> dict[str, Array]:
    """Return where each clamp's place is now, by name, shape (3,). [m]"""
    return {
        name: state.metal.nodes[node_of(front_end, name)] for name in front_end.clamps
    }


def _named(act: str, names: Sequence[str] | Mapping[str, object]) -> str:
    return " ".join([act, *names])


def _act(
    front_end: FrontEnd,
    state: FrontState,
    stage: RailStage,
    pulls: Mapping[str, PullOn],
    holds: Mapping[str, Spring],
    steps: int,
    tolerance: float,
) -> FrontSteps:
    """Do one stage from a state, and keep of it what is still on."""
    count = one_number(steps, name="steps")
    if not (count >= 1 and count == int(count)):
        raise OutOfRangeError("rail.steps", count=count)
    all_pulls = _together(state.pulls, pulls)
    own = ["crossmember"] if front_end.crossmember else []
    _refuse_taken([*own, *state.holds, *front_end.springs], holds)
    later = {name: replace(tie, in_place=False) for name, tie in holds.items()}
    here = replace(
        front_end,
        pulls=all_pulls,
        springs={**front_end.springs, **state.holds, **later},
    )
    history = follow(
        here,
        [stage],
        tolerance=tolerance,
        # Each step is recorded in two halves.
        largest_step=min(1.0, 2 / count),
        start=RailStart(end=_rigged(here, state), torn=state.torn),
    )
    after = _left_on(front_end, here, all_pulls, history)
    return FrontSteps(front_end=here, history=history, state=after)


def _together(
    on: Mapping[str, PullOn], added: Mapping[str, PullOn]
) -> dict[str, PullOn]:
    """Return chains that are on and new ones; refuse one that would have to jump."""
    for name in on.keys() & added.keys():
        was, now = on[name], added[name]
        if was.clamp != now.clamp or any(
            not np.array_equal(getattr(was, at), getattr(now, at))
            for at in ("head", "direction")
        ):
            raise OutOfRangeError("rail.still_on", pull=name)
    return {**on, **added}


def _refuse_taken(taken: Sequence[str], holds: Mapping[str, Spring]) -> None:
    for name in holds:
        if name in taken:
            raise OutOfRangeError("rail.hold_taken", name=name)


def _rigged(here: FrontEnd, state: FrontState) -> State:
    """Return the metal's state with new chains and holds on it, none working yet."""
    a, metal = arrange(here), state.metal
    k = len(a.head)
    points = a.points(a.placed(metal.deformation))
    rest = a.gap_of @ points[k:]
    fresh_travel = pull_lines(a, points[:k])[1]
    old_pulls, new_pulls = len(state.pulls), k - len(state.pulls)
    old_ties = len(metal.gap)
    controls = metal.controls

    def more(old: Array, new: Array | float, count: int) -> Array:
        """Go on with rows for what is new."""
        rows = np.broadcast_to(new, (count, *old.shape[1:]))
        return np.concatenate([old, rows])

    none = np.zeros(new_pulls, dtype=bool)
    fresh = len(rest) - old_ties
    return replace(
        metal,
        controls=Controls(
            tension=more(controls.tension, 0, new_pulls),
            goal=more(controls.goal, fresh_travel[old_pulls:], new_pulls),
            presence=more(controls.presence, 0, fresh),
            strength=controls.strength,
        ),
        tension=more(metal.tension, 0, new_pulls),
        travel=more(metal.travel, fresh_travel[old_pulls:], new_pulls),
        locked=np.append(metal.locked, none),
        slack=np.append(metal.slack, none),
        rest=more(metal.rest, rest[old_ties:], fresh),
        gap=more(metal.gap, 0, fresh),
    )


def _left_on(
    front_end: FrontEnd,
    here: FrontEnd,
    pulls: Mapping[str, PullOn],
    history: RailHistory,
) -> FrontState:
    """Return the state after an act, without what does nothing any more."""
    end, own = history.end, len(front_end.springs)
    joint = len(end.gap) - len(here.springs)
    pulling = (end.tension != 0) | end.locked
    holding = end.controls.presence > 0
    holding[: joint + own] = True  # springs of the front end are metal, in place or not
    controls = replace(
        end.controls,
        tension=end.controls.tension[pulling],
        goal=end.controls.goal[pulling],
        presence=end.controls.presence[holding],
    )
    metal = replace(
        end,
        controls=controls,
        tension=end.tension[pulling],
        travel=end.travel[pulling],
        locked=end.locked[pulling],
        slack=end.slack[pulling],
        rest=end.rest[holding],
        gap=end.gap[holding],
    )
    return FrontState(
        metal=metal,
        crossmember_on=bool(end.controls.presence[:joint].any()),
        pulls=dict(compress(pulls.items(), pulling)),
        holds=dict([*compress(here.springs.items(), holding[joint:])][own:]),
        torn=history.torn,
    )
