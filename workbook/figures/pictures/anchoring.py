"""Pictures of an anchored body: the pull on it, and what each clamp carries."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from workbook.figures.drawing.marks import (
    Arrow,
    Drawing,
    FreeLabel,
    Line,
    Mark,
    Marker,
    Polygon,
)
from workbook.figures.drawing.named import arc
from workbook.figures.drawing.rooms import PAGE, Room, stacked
from workbook.figures.drawing.scales import bars_over, scale_bar
from workbook.figures.drawing.texts import Amount, said, where
from workbook.figures.drawing.views import VIEWS, Viewpoint
from workbook.figures.pictures.anchoring_space import (
    BEAM,
    BESIDE,
    FRONT,
    REAR,
    anchoring_grips,
    space_view,
)
from workbook.figures.pictures.anchoring_words import (
    clamp_words,
    described,
    in_state,
    say_of,
    short_words,
    side_said,
    stop_words,
)
from workbook.figures.pictures.ratings import strip
from workbook.figures.pictures.support_bars import (
    ExpectedRow,
    SupportRow,
    support_bars,
)
from workbook.figures.subject import Subject
from workbook.mechanics.vectors import norm
from workbook.scenes.anchored import (
    CLAMPS,
    FIELDS,
    NOTHING,
    TIE_WAYS,
    WORD,
    AnchoringGiven,
    SolvedAnchoring,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from workbook.figures.drawing.expected import Expected
    from workbook.figures.drawing.marks import Coordinate, Panel, Sheet, Window
    from workbook.figures.drawing.texts import Text
    from workbook.mechanics.vectors import Array
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.fields import Amounts

Ghost = tuple[str, SolvedAnchoring]

# The same window for every set-up: from behind the body to the tip of the pull. [m]
TOP: Window = (-3.0, 2.4, -1.2, 1.2)
SIDE: Window = (-3.0, 2.4, -0.75, 1.35)
DEEP = 0.12  # m, of the drawn floor
LONG = 1.2  # m, how long the pull is drawn; all other forces to its scale
BENCH = -0.55  # m, of the bench below the clamps in side view
BOW = 0.5  # m, radius of the arc of the rise
LEAST = np.radians(1.0)  # a smaller angle has no arc


def anchoring_sheet(
    solved: SolvedAnchoring,
    *,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    room: Room = PAGE,
) -> Sheet:
    """Return the body from above."""
    top = top_view(solved, system, ghosts, brief=room.brief)
    line = _stop_line(solved, system, room)
    panels = stacked([(top, 1.0)], room.picture, top=line.height, over=room.caption)
    return room.picture_of([*panels, line], _text(solved, system))


def space_sheet(
    solved: SolvedAnchoring,
    *,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    view: Viewpoint = VIEWS["home"],
    rest: SolvedAnchoring | None = None,
    room: Room = PAGE,
) -> Sheet:
    """Return the same in space, as it is seen from a view; its scale is always one."""
    drawing = space_view(solved, system, ghosts, view=view, brief=room.brief)
    line = _stop_line(solved, system, room)
    panels = stacked([(drawing, 1.0)], room.picture, top=line.height, over=room.caption)
    return room.picture_of([*panels, line], _text(solved, system))


def shares_sheet(
    solved: SolvedAnchoring,
    *,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    room: Room = PAGE,
    expected: Expected | None = None,
) -> Sheet:
    """Return what stands beside it: clamps against ratings, and the side view."""
    bars = share_bars(solved, system, room, expected)
    text = where(solved.stands, bars.caption, show=system.show)
    side = side_view(solved, system, brief=True)
    return room.beside_of(bars_over(bars, side, room), text)


def describe(solved: SolvedAnchoring, *, system: UnitSystem) -> str:
    """Say in words what the picture of one set-up shows, from the same numbers."""
    return str(described(solved, system))


def _text(solved: SolvedAnchoring, system: UnitSystem) -> Text:
    return where(solved.stands, described(solved, system), show=system.show)


def _stop_line(solved: SolvedAnchoring, system: UnitSystem, room: Room) -> Panel:
    stop = stop_words(solved, system, brief=room.brief)
    return strip(stop, width=room.picture[0], letters=room.letters)


def share_bars(
    solved: SolvedAnchoring,
    system: UnitSystem,
    room: Room = PAGE,
    expected: Expected | None = None,
) -> Drawing:
    """Draw what share of its rating, and of its slip limit, each clamp uses."""
    rows = [
        SupportRow(
            name=name,
            words=str(say_of(("clamp", "name", name), system)),
            value=Amount(solved.forces[..., k], "force", system.show),
            share=solved.shares[..., k],
            slip=solved.slip_shares[..., k],
        )
        for k, name in enumerate(CLAMPS)
    ]
    if solved.given.chosen("tie") in TIE_WAYS:
        rows.append(
            SupportRow(
                name="tie",
                words=str(say_of(("bars", "tie"), system)),
                value=Amount(solved.tie, "force", system.show),
                share=solved.tie_share,
            )
        )
    guess = None
    if expected is not None:
        guess = ExpectedRow(
            expected=expected,
            rating=solved.given.array("rating_kn"),
            words=said("picture", "expected", "row", show=system.show),
            value=Amount(expected.value, "force", system.show),
        )
    return support_bars(
        rows,
        expected=guess,
        caption=str(say_of(("bars", "brief" if room.brief else "caption"), system)),
        limit=str(say_of(("bars", "limit"), system)),
        wide=room.beside[0],
        letters=room.letters,
    )


def top_view(
    solved: SolvedAnchoring,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    *,
    brief: bool = False,
) -> Drawing:
    """Draw the body from above: where the pull runs, and each clamp's share."""
    plan = _View(solved, (0, 1))
    half = solved.given.array("width_mm") / 2 - 0.04
    off = solved.given.array("side_mm")
    hook = plan.at(solved.hook)
    there = hook + np.array((BESIDE, 0.0))
    beside = np.stack([there * (1.0, 0.0), there], axis=-2)
    body = [(REAR, -half), (FRONT, -half), (FRONT, half), (REAR, half)]
    reach = np.maximum(half, BEAM)
    beam = [(hook[..., 0], -reach), (hook[..., 0], reach)]
    words = (
        Amount(np.abs(off), "length", system.show)
        if brief
        else (side_said(off, system))
    )
    marks: list[Mark] = [
        Polygon(body, "body", "body"),
        Line([(TOP[0], 0.0), (TOP[1], 0.0)], "reference", "centre-line"),
        *plan.rails(half),
        Line(beam, "sill", "beam"),
        *plan.ghosts(ghosts, system),
        Line(beside, "part", "side", shown=np.abs(off) > 0),
        FreeLabel(
            there,
            words,
            "angle text",
            name="label side",
            rank="angle",
            along=beside,
            short=Amount(np.abs(off), "length", system.show),
            shown=np.abs(off) > 0,
        ),
        *plan.pull(system),
        *plan.tie(system),
    ]
    for k, name in enumerate(CLAMPS):
        at = plan.at(solved.places[..., k, :])
        marks += [
            *plan.reaction(at, solved.reactions[..., k, :], name),
            FreeLabel(
                at,
                clamp_words(solved, k, system, brief=brief),
                "support text",
                name=f"label {name}",
                rank="warning",
                short=short_words(solved, k, system, brief=brief),
            ),
        ]
    caption = "top_brief" if brief else "top"
    return Drawing(
        caption=str(say_of(("caption", caption), system)),
        window=TOP,
        still=[] if brief else [*scale_bar(TOP, system)],
        moving=marks,
    )


def side_view(
    solved: SolvedAnchoring,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    *,
    brief: bool = False,
) -> Drawing:
    """Draw the body from its right: the rise of the pull, and both pairs of clamps."""
    side = _View(solved, (0, 2))
    hook, rise = side.at(solved.hook), solved.given.array("rise_deg")
    body = [(REAR, -DEEP), (FRONT, -DEEP), (FRONT, 0.0), (REAR, 0.0)]
    level = np.stack([hook[..., 0] + 1.1 * BOW, hook[..., 1]], axis=-1)
    low, high = np.minimum(rise, 0.0), np.maximum(rise, 0.0)
    bow = hook[..., None, :] + arc((0, 0), BOW, low, high)
    rises = np.abs(rise) > LEAST
    middle = np.stack([np.cos(rise / 2), np.sin(rise / 2)], axis=-1)
    marks: list[Mark] = [
        Polygon(body, "body", "body"),
        Line([(FRONT, 0.0), hook], "sill", "rail"),
        *side.ghosts(ghosts, system),
        Line([hook, level], "reference", "level", shown=rises),
        Line(bow, "angle", "rise", shown=rises),
        FreeLabel(
            hook + BOW * middle,
            Amount(np.abs(rise), "angle", system.show),
            "angle text",
            name="label rise",
            rank="angle",
            shown=rises,
        ),
        *side.pull(system),
        *side.tie(system),
    ]
    for pair, rows in (("front", (0, 1)), ("rear", (2, 3))):
        at = side.at(solved.places[..., rows[0], :])
        both = solved.reactions[..., rows, :].sum(axis=-2)
        lift = -both[..., 2]
        foot = np.stack([at[..., 0], np.full_like(at[..., 0], BENCH)], axis=-1)
        words = say_of(
            ("pair", "brief" if brief else pair, in_state(lift, solved.tension)),
            system,
            force=np.abs(lift),
        )
        marks += [
            Line([foot, at], "stand", f"post {pair}"),
            *side.reaction(at, both, pair),
            FreeLabel(
                at,
                words,
                "support text",
                name=f"label {pair}",
                rank="warning",
                short=Amount(np.abs(lift), "force", system.show),
            ),
        ]
    caption = "side_brief" if brief else "side"
    return Drawing(
        caption=str(say_of(("caption", caption), system)),
        window=SIDE,
        still=[Line([(SIDE[0], BENCH), (SIDE[1], BENCH)], "floor", "bench")],
        moving=marks,
    )


class _View:
    """A flat view: two of the three axes, and the marks that both views have."""

    def __init__(self, solved: SolvedAnchoring, axes: tuple[int, int]) -> None:
        self.solved, self.axes = solved, list(axes)

    def at(self, point: Array) -> Array:
        """Return where points (..., 3) are seen, (..., 2)."""
        return np.asarray(point[..., self.axes])

    def shown(self, force: Array) -> Array:
        """Return a force (..., 3) as long as it is drawn, (..., 2)."""
        return LONG * self.at(force) / self.solved.tension[..., None]

    def reaction(self, at: Array, force: Array, name: str) -> list[Mark]:
        """Draw a clamp, and its force on the body where there is any to be seen."""
        seen = self.shown(force)
        there = norm(seen) > 0.02
        return [
            Arrow(at, at + seen, "force support", f"force {name}", shown=there),
            Marker(at, "square", "support", f"clamp {name}"),
        ]

    def rails(self, half: Coordinate) -> list[Mark]:
        """Draw the rails from the floor to the beam with the hook."""
        ahead = self.at(self.solved.hook)[..., 0]
        return [
            Line([(FRONT, way * 0.6 * half), (ahead, way * 0.6 * half)], "sill", name)
            for name, way in (("left rail", 1.0), ("right rail", -1.0))
        ]

    def pull(self, system: UnitSystem) -> list[Mark]:
        """Draw the pull from its hook, always as long as its level part is seen."""
        hook = self.at(self.solved.hook)
        tip = hook + self.shown(self.solved.pull)
        return [
            Arrow(hook, tip, "force pull", "pull"),
            Marker(hook, "square", "clamp", "hook"),
            FreeLabel(
                tip,
                Amount(self.solved.tension, "force", system.show),
                "pull text",
                name="label pull",
                rank="force",
                along=[hook, tip],
            ),
        ]

    def tie(self, system: UnitSystem) -> list[Mark]:
        """Draw the tie, if there is one, and its force where it is tight."""
        solved = self.solved
        tie = solved.given.chosen("tie")
        if tie not in TIE_WAYS:
            return []
        at = self.at(solved.given.tie_place)
        way = np.array(TIE_WAYS[tie])
        far = at + np.abs(BENCH) * self.at(way)
        seen = self.shown(solved.tie[..., None] * way)
        tight = solved.tie > NOTHING * solved.tension
        words = say_of(
            ("tie", np.where(tight, "tight", "slack")), system, force=solved.tie
        )
        return [
            Line([at, far], "second leg", "tie"),
            Arrow(at, at + seen, "force second", "force tie", shown=tight),
            Marker(at, "diamond", "anchor", "tie hook"),
            FreeLabel(
                far,
                words,
                "second text",
                name="label tie",
                rank="force",
                along=[at, far],
            ),
        ]

    def ghosts(self, ghosts: Sequence[Ghost], system: UnitSystem) -> list[Mark]:
        """Show frozen pulls, and what the clamps carried then."""
        marks: list[Mark] = []
        for letter, other in ghosts:
            then, name = _View(other, (self.axes[0], self.axes[1])), f"ghost {letter}"
            hook = then.at(other.hook)
            tip = hook + then.shown(other.pull)
            marks += [
                Line([hook, tip], "ghost", name),
                FreeLabel(
                    tip,
                    say_of(("ghost",), system, letter=letter),
                    "ghost text",
                    name=f"label {name}",
                    short=letter,
                ),
            ]
            for k, clamp in enumerate(CLAMPS):
                at = then.at(other.places[..., k, :])
                end = at + then.shown(other.reactions[..., k, :])
                marks.append(Line([at, end], "ghost", f"{name} {clamp}"))
        return marks


def anchoring_amounts(solved: SolvedAnchoring) -> Amounts:
    """Return the numbers of an anchored body, most telling first."""
    lifts, forces = solved.lifts, solved.forces
    along = np.abs(solved.reactions[..., 0])
    return {
        "most loaded clamp": (forces.max(axis=-1), "force"),
        "yaw moment": (np.abs(solved.yaw), "moment"),
        "front pair lift": (lifts[..., :2].sum(axis=-1), "force"),
        "least loaded clamp": (forces.min(axis=-1), "force"),
        "most along one clamp": (along.max(axis=-1), "force"),
        "tie": (solved.tie, "force"),
        "level pull": (solved.pull[..., 0], "force"),
        "lift of the pull": (solved.pull[..., 2], "force"),
        "rear pair lift": (lifts[..., 2:].sum(axis=-1), "force"),
        **{f"{name} clamp": (forces[..., k], "force") for k, name in enumerate(CLAMPS)},
        "largest share of a rating": (solved.held.shares.max(axis=-1), "share"),
        "largest share of a slip limit": (solved.slip_shares.max(axis=-1), "share"),
    }


ANCHORING = Subject(
    name="anchoring",
    word=WORD,
    fields=FIELDS,
    front=("side_mm", "rise_deg", "pull_kn"),
    only_with={"tie_side_mm": ("tie", ("back", "down"))},
    held="chain tension",
    leaves_out=(
        "body_weight",
        "body_give",
        "jaw_play",
        "metal",
        "sudden",
        "real_ratings",
    ),
    expects={"most loaded clamp": "beside"},
    solve=lambda values: AnchoringGiven(values=values).solved(),
    amounts=anchoring_amounts,
    picture=anchoring_sheet,
    beside=shares_sheet,
    in_space=space_sheet,
    grips=lambda solved, view, sheet: anchoring_grips(solved, view, sheet.panels[0]),
)
