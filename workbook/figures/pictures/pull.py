"""Pictures of one pull on one sheet, what they say in words, and what sets them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from workbook.equipment import Ram, pick, shop
from workbook.figures.drawing.rooms import PAGE, Room, stacked
from workbook.figures.drawing.scales import bars_over
from workbook.figures.drawing.texts import Amount, Text, said, where
from workbook.figures.drawing.views import VIEWS, Viewpoint
from workbook.figures.pictures.pull_directions import rise_words, side_words
from workbook.figures.pictures.pull_forces import ROWS, force_triangle, split_bars
from workbook.figures.pictures.pull_grips import grips
from workbook.figures.pictures.pull_load_path import load_path_sheet
from workbook.figures.pictures.pull_side import GONE, side_view
from workbook.figures.pictures.pull_space import space_view
from workbook.figures.pictures.pull_top import top_view
from workbook.figures.pictures.ratings import first, over, stop_words, strip
from workbook.figures.subject import Paired, Subject, Values
from workbook.language import text
from workbook.scenes.fields import Number
from workbook.scenes.setups import FIELDS, WORD, Setup, SolvedPull
from workbook.scenes.strokes import followed

if TYPE_CHECKING:
    from collections.abc import Sequence

    from workbook.figures.drawing.expected import Expected
    from workbook.figures.drawing.marks import Drawing, Sheet
    from workbook.quantities.units import UnitSystem

Ghost = tuple[str, SolvedPull]

SIDE, TOP = 0.53, 0.47  # of the height, for the views from the side and from above


def pull_sheet(
    solved: SolvedPull,
    *,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    room: Room = PAGE,
    expected: Expected | None = None,
) -> Sheet:
    """Return the picture of one pull: its views from the side and from above.

    Parameters
    ----------
    solved : SolvedPull
        The set-up, or many, and what it does.
    system : UnitSystem
        Units of the labels.
    ghosts : sequence of (str, SolvedPull)
        Frozen set-ups to show behind it, each with its letter.
    room : Room
        How much room there is.
    """
    side = side_view(solved, system, ghosts, brief=room.brief)
    top = top_view(solved, system, ghosts, brief=room.brief, expected=expected)
    return _picture([(side, SIDE), (top, TOP)], solved, system, room, over=room.caption)


def space_sheet(
    solved: SolvedPull,
    *,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    view: Viewpoint = VIEWS["home"],
    rest: SolvedPull | None = None,
    room: Room = PAGE,
    expected: Expected | None = None,
) -> Sheet:
    """Return the rig in space, as it is seen from a view."""
    drawing = space_view(
        *(solved, system, ghosts),
        view=view,
        brief=room.brief,
        rest=rest,
        expected=expected,
    )
    return _picture([(drawing, 1.0)], solved, system, room)


def forces_sheet(
    solved: SolvedPull,
    *,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    room: Room = PAGE,
    expected: Expected | None = None,
) -> Sheet:
    """Return what stands beside it: how the force splits, and the forces end to end."""
    bars = split_bars(solved, system, room, expected)
    triangle = force_triangle(solved, system, brief=room.brief)
    text = where(solved.stands, bars.caption, show=system.show)
    return room.beside_of(bars_over(bars, triangle, room), text)


def _picture(
    drawings: Sequence[tuple[Drawing, float]],
    solved: SolvedPull,
    system: UnitSystem,
    room: Room,
    *,
    over: float = 0.0,
) -> Sheet:
    """Put drawings under the line that says stop."""
    stop = stop_words(solved.load_path, system.show, brief=room.brief)
    line = strip(stop, width=room.picture[0], letters=room.letters)
    panels = stacked(drawings, room.picture, top=line.height, over=over)
    text = where(solved.stands, described(solved, system), show=system.show)
    return room.picture_of([*panels, line], text)


def describe(solved: SolvedPull, *, system: UnitSystem) -> str:
    """Say in words what the picture of one set-up shows, from the same numbers."""
    return str(described(solved, system))


def described(solved: SolvedPull, system: UnitSystem) -> Text:
    """Return what `describe` says, for one set-up or for many."""
    pull, setup, show = solved.pull, solved.setup, system.show
    path = solved.load_path
    amount = {
        "ram force": Amount(pull.ram_force, "force", show),
        "useful pull": Amount(solved.along, "force", show),
        "chain tension": Amount(pull.pull_tension, "force", show),
        "ram stroke": Amount(setup.array("stroke_mm"), "length", show),
    }[setup.chosen("held")]
    sag = solved.at_take_up.sag
    clamp = np.where(solved.followed > GONE, "follows", "stays")
    shown = said(
        *("picture", "pull", "describe", clamp),
        show=show,
        followed=solved.followed,
        held=said(
            *("picture", "pull", "held"),
            show=show,
            held=setup.shown("held"),
            amount=amount,
        ),
        direction=said(
            *("picture", "pull", "direction"),
            show=show,
            side=side_words(pull.side_angle, show),
            rise=rise_words(pull.rise, show),
        ),
        forces=said(
            *("picture", "pull", "forces", "roller" if solved.roller else "ram"),
            show=show,
            ram=pull.ram_force,
            pull=pull.pull_tension,
            anchor=pull.anchor_tension,
        ),
        sag=said(
            *("picture", "pull", "sag"),
            np.where(np.isfinite(sag), "hangs", "too_heavy"),
            show=show,
            sag=sag,
        ),
    )
    return first(over(path), stop_words(path, show), shown, show)


def _chosen_ram(values: Values) -> Ram:
    return pick(shop().rams, str(values["ram"]))


# Two ways to set one thing: the pressure on the gauge is the force over the bore.
GAUGE = Paired(
    field=Number(
        name="gauge_bar",
        subject="pull",
        low=0,
        high=1500,
        step=5,
        start=0,
    ),
    of="ram_force_kn",
    to=lambda force, values: float(_chosen_ram(values).pressure_for(force)),
    back=lambda pressure, values: float(_chosen_ram(values).force_at(pressure)),
)
PULL = Subject(
    name="pull",
    word=WORD,
    fields=FIELDS,
    front=("chain_angle_deg", "fork_offset_mm", "extension_mm"),
    only_with={
        "ram_force_kn": ("held", ("ram force", "ram stroke")),
        "useful_pull_kn": ("held", ("useful pull",)),
        "chain_tension_kn": ("held", ("chain tension",)),
    },
    paired=(GAUGE,),
    held="held",
    leaves_out=(
        "head_friction",
        "chain_and_ram_weight",
        "socket_play",
        "bench_give",
        "metal",
        "sudden",
        "real_ratings",
    ),
    solve=lambda values: Setup(values=values).solved(),
    amounts=lambda solved: solved.amounts,
    picture=pull_sheet,
    beside=forces_sheet,
    in_space=space_sheet,
    grips=lambda solved, view, sheet: grips(solved, view, sheet.panels[0]),
    expects={**dict.fromkeys(ROWS, "beside"), "head moved to the left": "picture"},
    played="stroke_mm",
    ways={
        "stays": None,
        "follows": lambda values: followed(Setup(values=values)),
    },
    extras={"load path": load_path_sheet},
    share=lambda solved: solved.load_path.largest_share,
    tells={
        "governing part": lambda solved, system: str(
            text("term", "place", str(solved.load_path.governing))
        ),
        "largest share": lambda solved, system: system.show(
            solved.load_path.largest_share, "share"
        ),
    },
)
