"""Pictures of one pull on one sheet, what they say in words, and what sets them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from workbook.equipment import Ram, pick, shop
from workbook.figures.drawing.marks import Panel, Sheet
from workbook.figures.drawing.texts import Amount, Text, said, where
from workbook.figures.drawing.views import VIEWS, Viewpoint
from workbook.figures.pictures.pull_directions import rise_words, side_words
from workbook.figures.pictures.pull_forces import force_triangle, split_bars
from workbook.figures.pictures.pull_load_path import load_path_sheet
from workbook.figures.pictures.pull_side import side_view
from workbook.figures.pictures.pull_space import space_view
from workbook.figures.pictures.pull_top import top_view
from workbook.figures.pictures.ratings import STRIP, first, over, stop_words, strip
from workbook.figures.subject import Paired, Subject, Values
from workbook.scenes.fields import Number
from workbook.scenes.setups import FIELDS, WORD, Setup, SolvedPull

if TYPE_CHECKING:
    from collections.abc import Sequence

    from workbook.figures.drawing.marks import Drawing
    from workbook.quantities.units import UnitSystem

Ghost = tuple[str, SolvedPull]

WIDTH, HEIGHT = 820.0, 560.0 + STRIP
IN_SPACE = 500.0  # height of the picture in space
PROJECTED = 2.15  # letters on a projector, in those of a page: --pw-text of stage.css


def pull_sheet(
    solved: SolvedPull, *, system: UnitSystem, ghosts: Sequence[Ghost] = ()
) -> Sheet:
    """Return the picture of one pull: two views, the triangle and the split.

    Parameters
    ----------
    solved : SolvedPull
        The set-up, or many, and what it does.
    system : UnitSystem
        Units of the labels.
    ghosts : sequence of (str, SolvedPull)
        Frozen set-ups to show behind it, each with its letter.
    """
    return Sheet(
        width=WIDTH,
        height=HEIGHT,
        text=where(solved.stands, described(solved, system), show=system.show),
        panels=(
            _panel(side_view(solved, system, ghosts), 0, STRIP, 520, 290, over=18),
            _panel(top_view(solved, system, ghosts), 0, 300 + STRIP, 520, 260, over=18),
            _panel(force_triangle(solved, system), 530, STRIP, 290, 270),
            _panel(split_bars(solved, system), 530, 290 + STRIP, 290, 270),
            strip(_stop(solved, system), width=WIDTH),
        ),
    )


def projector_sheet(
    solved: SolvedPull, *, system: UnitSystem, ghosts: Sequence[Ghost] = ()
) -> Sheet:
    """Return the two views alone, side by side, for large letters."""
    side = side_view(solved, system, ghosts, brief=True)
    top = top_view(solved, system, ghosts, brief=True)
    return Sheet(
        width=1240,
        height=430,
        letters=PROJECTED,
        text=where(solved.stands, described(solved, system), show=system.show),
        panels=(
            _panel(side, 0, 30, 620, 400, over=24),
            _panel(top, 640, 30, 600, 400, over=24),
            strip(_stop(solved, system), width=1240),
        ),
    )


def space_sheet(
    solved: SolvedPull,
    *,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    view: Viewpoint = VIEWS["home"],
    rest: SolvedPull | None = None,
) -> Sheet:
    """Return the rig in space alone, as it is seen from a view."""
    drawing = space_view(solved, system, ghosts, view=view, rest=rest)
    return Sheet(
        width=WIDTH,
        height=IN_SPACE + STRIP,
        text=where(solved.stands, described(solved, system), show=system.show),
        panels=(
            _panel(drawing, 0, STRIP, WIDTH, IN_SPACE),
            strip(_stop(solved, system), width=WIDTH),
        ),
    )


def _stop(solved: SolvedPull, system: UnitSystem) -> Text:
    return stop_words(solved.load_path, system.show)


def _panel(
    drawing: Drawing,
    left: float,
    top: float,
    width: float,
    height: float,
    *,
    over: float = 0.0,
) -> Panel:
    return Panel(
        drawing=drawing, left=left, top=top, width=width, height=height, over=over
    )


def describe(solved: SolvedPull, *, system: UnitSystem) -> str:
    """Say in words what the picture of one set-up shows, from the same numbers."""
    return str(described(solved, system))


def described(solved: SolvedPull, system: UnitSystem) -> Text:
    """Return what `describe` says, for one set-up or for many."""
    pull, setup, show = solved.pull, solved.setup, system.show
    amount = {
        "ram force": Amount(pull.ram_force, "force", show),
        "useful pull": Amount(solved.along, "force", show),
        "chain tension": Amount(pull.pull_tension, "force", show),
        "ram stroke": Amount(setup.array("stroke_mm"), "length", show),
    }[setup.chosen("held")]
    sag = solved.at_take_up.sag
    shown = said(
        *("picture", "pull", "describe"),
        show=show,
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
    return first(over(solved.load_path), _stop(solved, system), shown, show)


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
    solve=lambda values: Setup(values=values).solved(),
    amounts=lambda solved: solved.amounts,
    picture=pull_sheet,
    projected=projector_sheet,
    in_space=space_sheet,
    extras={"load path": load_path_sheet},
)
