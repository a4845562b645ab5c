"""A car on a measuring base in space: three planes, readings from them, differences."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from workbook.figures.drawing.marks import (
    Drawing,
    FreeLabel,
    Line,
    Mark,
    Marker,
    Polygon,
    Strokes,
)
from workbook.figures.drawing.texts import Text
from workbook.figures.drawing.views import VIEWS, Viewpoint
from workbook.figures.grips import Grip, grip_at
from workbook.figures.pictures.bench_space import ON_BENCH, UP, window_round
from workbook.figures.pictures.measuring_parts import (
    AHEAD,
    BACK,
    TIMES,
    drawn,
    length,
    letter,
    lettered,
    outline,
    say,
    signed,
    slope,
    tape_words,
    tilted,
)
from workbook.figures.pictures.points import dumb_bell
from workbook.quantities.units import factor
from workbook.scenes.kestrin import read_kestrin_data

if TYPE_CHECKING:
    from collections.abc import Sequence

    from workbook.figures.drawing.marks import Panel
    from workbook.mechanics.vectors import Array
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.measuring import Measured

WIDE, HIGH = 1.05, 1.0  # m: half width of the planes, and how high they are drawn
DEEPEST = -0.3  # m, of the car's own datum plane as it is drawn
BENCH = (-1.85, 1.35, 0.8)  # m: rear and front end of the bench's top, half its width
PITCH = 0.4  # m, between sockets
OFF_PLANE = (1.0, 1.0, 0.0)
_SQUARE = 0.03 * np.array([(1, 1, 0), (-1, 1, 0), (-1, -1, 0), (1, -1, 0), (1, 1, 0)])


def space_view(
    measured: Measured,
    system: UnitSystem,
    ghosts: Sequence[tuple[str, Measured]] = (),
    *,
    view: Viewpoint = VIEWS["home"],
    brief: bool = False,
) -> Drawing:
    """Draw planes, car and what is read in space, as they are seen from a view."""
    scene = _MeasuringScene(measured, view)
    moving: list[Mark] = []
    for name, other in ghosts:
        moving += scene.ghost(name, other, system)
    if measured.given.chosen("shown") == "one point":
        moving += scene.readings(system, brief=brief)
        moving += scene.tape(system, brief=brief)
    moving += scene.tilt(system, brief=brief)
    moving += scene.points(system, brief=brief)
    low, high = np.array((BACK, -WIDE, DEEPEST)), np.array((AHEAD, WIDE, HIGH))
    return Drawing(
        caption=say(("caption", "space_brief" if brief else "space"), system),
        window=window_round(low, high, view, np.zeros(3)),
        still=[*scene.planes(system, brief=brief), *scene.car()],
        moving=moving,
    )


def measuring_grips(
    measured: Measured, view: Viewpoint, panel: Panel
) -> dict[str, Grip]:
    """Return what can be taken in the picture of `space_view`, by name."""
    place = drawn(measured)[..., 0, :]
    x, y, z = np.moveaxis(measured.reading, -1, 0)
    turned = np.stack([-z, 0.0 * y, x], axis=-1)  # m for each rad of tilt
    grips = {}
    if not measured.fitted:
        grips["point"] = grip_at(
            place,
            TIMES * turned * factor("deg"),
            field="tilt_deg",
            view=view,
            panel=panel,
        )
    if measured.given.chosen("shown") == "one point":
        grips["tape start"] = grip_at(
            measured.tape_start,
            factor("mm") * np.broadcast_to(UP, measured.tape_start.shape),
            field="tape_start_mm",
            view=view,
            panel=panel,
        )
    return grips


class _MeasuringScene:
    """The car on the base as it is seen from somewhere."""

    def __init__(self, measured: Measured, view: Viewpoint) -> None:
        self.measured, self.view = measured, view
        self.rows = measured.rows(measured.shown)
        self.places = drawn(measured)

    # ---------------------------------------------------------- what stands still

    def planes(self, system: UnitSystem, *, brief: bool) -> list[Mark]:
        """Draw the bench and the three planes from which all is read."""
        corners = {
            "datum": _four((BACK, AHEAD), (-WIDE, WIDE), 2),
            "centre": _four((BACK, AHEAD), (0.0, HIGH), 1),
            "zero": _four((-WIDE, WIDE), (0.0, HIGH), 0),
        }
        planes = {
            name: Polygon(self.view.along(at), "plane", f"{name} plane")
            for name, at in corners.items()
        }
        named = {
            "datum": (AHEAD, -WIDE, 0.0),
            "centre": (AHEAD, 0.0, HIGH),
            "zero": (0.0, WIDE, HIGH),
        }
        words = "short" if brief else "plane"
        labels = [
            FreeLabel(
                self.view.at(np.array(at)),
                say((words, name), system),
                "small text",
                name=f"label {name}",
                rank="point",
                short=say(("short", name), system),
            )
            for name, at in named.items()
        ]
        return [
            planes["datum"].standing(ON_BENCH - 1),
            *(mark.standing(ON_BENCH) for mark in self._bench()),
            planes["centre"].standing(ON_BENCH + 1),
            planes["zero"].standing(ON_BENCH + 1),
            *labels,
        ]

    def _bench(self) -> list[Mark]:
        rear, front, wide = BENCH
        top = read_kestrin_data()["bench"]["top_mm"] * factor("mm")
        corners = _four((rear, front), (-wide, wide), 2) + top * UP
        x = np.arange(rear + PITCH / 2, front, PITCH)
        y = np.arange(-wide + PITCH / 2, wide, PITCH)
        centres = np.stack([g.ravel() for g in np.meshgrid(x, y, top)], axis=-1)
        squares = centres[:, None, :] + _SQUARE
        seen = self.view.along(squares.reshape(-1, 3))
        sockets = seen.reshape(*seen.shape[:-2], -1, len(_SQUARE), 2)
        return [
            Polygon(self.view.along(corners), "bench top", "bench"),
            Strokes(sockets, "socket", "sockets"),
        ]

    def car(self) -> list[Mark]:
        """Draw the car's outline as it should be."""
        lines = outline(self.measured).items()
        return [
            Line(self.view.along(line), "car outline", name).standing(ON_BENCH + 2)
            for name, line in lines
        ]

    # ----------------------------------------------------------------- what moves

    def points(self, system: UnitSystem, *, brief: bool) -> list[Mark]:
        """Draw each point that is shown, with its number if it has a letter."""
        measured, marks = self.measured, list[Mark]()
        for k, row in enumerate(self.rows):
            ring, place = measured.specified[row], self.places[..., k, :]
            name = letter(k) or str(k)
            marks += dumb_bell(self.view.at(ring), self.view.at(place), name)
        for k in range(lettered(measured)):
            words: str | Text = letter(k)
            if not brief:
                x, y, z = np.moveaxis(measured.differences[..., self.rows[k], :], -1, 0)
                number = say(
                    ("number", "space"),
                    system,
                    length=signed(x, system),
                    width=signed(y, system),
                    height=signed(z, system),
                )
                words = say("named", system, letter=letter(k), number=number)
            marks.append(
                FreeLabel(
                    self.view.at(self.places[..., k, :]),
                    words,
                    "strong text",
                    name=f"label {letter(k)}",
                    rank="angle",
                    short=letter(k),
                )
            )
        return marks

    def readings(self, system: UnitSystem, *, brief: bool) -> list[Mark]:
        """Draw from which plane each reading of the chosen point starts."""
        place, read = self.places[..., 0, :], self.measured.reading
        marks: list[Mark] = []
        for axis, name in enumerate(("length", "width", "height")):
            foot = place * (np.arange(3) != axis)
            line = self.view.path(foot, place)
            marks.append(Line(line, "angle", f"reading of {name}").standing(-1.0))
            if brief:
                continue
            amount = np.abs(read[..., axis])
            marks.append(
                FreeLabel(
                    line.mean(axis=-2),
                    say(("reading", name), system, at=amount),
                    name=f"label {name}",
                    rank="angle",
                    along=line,
                    short=length(amount, system),
                )
            )
        return marks

    def tape(self, system: UnitSystem, *, brief: bool) -> list[Mark]:
        """Draw the tape from the zero plane to the chosen point."""
        start, place = self.measured.tape_start, self.places[..., 0, :]
        line = self.view.path(start, place)
        below = self.view.path(start * OFF_PLANE, start)
        marks: list[Mark] = [
            Line(line, "tape", "tape").standing(-0.5),
            Line(below, "angle", "tape start height").standing(-1.0),
            Marker(self.view.at(start), "disc", "hold", "tape start"),
        ]
        if brief:
            return marks
        label = FreeLabel(
            line.mean(axis=-2),
            tape_words(self.measured, system),
            name="label tape",
            rank="force",
            along=line,
            short=length(self.measured.tape, system),
        )
        return [*marks, label]

    def tilt(self, system: UnitSystem, *, brief: bool) -> list[Mark]:
        """Draw the car's own datum plane, where it is not that of the base."""
        steep, shown = slope(self.measured), tilted(self.measured)
        ends = [
            np.stack(
                np.broadcast_arrays(x + 0.0 * steep, y + 0.0 * steep, x * steep),
                axis=-1,
            )
            for x, y in ((BACK, -WIDE), (AHEAD, -WIDE), (AHEAD, WIDE), (BACK, WIDE))
        ]
        edge = self.view.path(*ends)
        marks: list[Mark] = [
            Polygon(edge, "tilted plane", "car's datum", shown=shown).standing(
                ON_BENCH + 1.5
            )
        ]
        if brief:
            return marks
        tilt = np.abs(self.measured.given.array("tilt_deg"))
        label = FreeLabel(
            edge[..., 0, :],
            say("own_datum_tilted", system, tilt=tilt),
            "angle text",
            name="label car's datum",
            rank="angle",
            along=self.view.path(ends[0], ends[1]),
            short=say("tilt", system, tilt=tilt),
            shown=shown,
        )
        return [*marks, label]

    def ghost(self, name: str, other: Measured, system: UnitSystem) -> list[Mark]:
        """Show where the chosen point of a frozen set-up was measured."""
        line = self.view.path(other.specified[other.row], drawn(other)[..., 0, :])
        return [
            Line(line, "ghost", f"ghost {name}").standing(-2.0),
            FreeLabel(
                line[..., 1, :],
                say("ghost", system, letter=name),
                "ghost text",
                name=f"label ghost {name}",
                short=name,
            ),
        ]


def _four(first: tuple[float, float], second: tuple[float, float], off: int) -> Array:
    """Return the corners of a rectangle square to an axis, shape (4, 3)."""
    (a, b), (c, d) = first, second
    flat = np.array([(a, c), (b, c), (b, d), (a, d)])
    return np.insert(flat, off, 0.0, axis=1)
