"""Pulls on a held body as a table to read and as fields for other programs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from workbook.errors import WorkbookError
from workbook.figures.pictures.pull_directions import rise_words, side_words
from workbook.language import caution, left_out
from workbook.mechanics.vectors import norm, rise_of, side_angle_of
from workbook.quantities.tables import columns, signed
from workbook.reports.pull import code_or_reason

if TYPE_CHECKING:
    from workbook.mechanics.holding.wrenches import CentralAxis
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.bench import SolvedBench

WAYS = ("forward", "left", "up")


def bench_table(bench: SolvedBench, *, system: UnitSystem) -> str:
    """Return the pulls and what holds the body, cautions below them.

    Parameters
    ----------
    bench : SolvedBench
        Pulls, supports and what they carry.
    system : UnitSystem
        The reader's units.
    """
    return "\n".join(
        [
            bench.hold.title or "Pulls on a held body",
            "",
            *columns(_pull_rows(bench, system)),
            "",
            *resultant_words(bench, system=system),
            "",
            "What holds the body: force of each support on the body",
            *columns(_support_rows(bench, system)),
            *support_words(bench, system=system),
            "",
            bench_words(bench, system=system),
            "",
            f"What the model leaves out: {left_out()} Body and bench are rigid, clamps "
            "are springs; the weight rests on all supports from the start.",
            caution("S0"),
        ]
    )


def _pull_rows(bench: SolvedBench, system: UnitSystem) -> list[list[str]]:
    rows = [["pull", "tension", *WAYS, "ram", "nearest its rating"]]
    for name, solved, force in zip(bench.names, bench.pulls, bench.forces, strict=True):
        path = solved.load_path
        rows.append(
            [
                name,
                system.show(float(solved.pull.pull_tension), "force"),
                *(signed(float(part), system, "force") for part in force),
                system.show(float(solved.pull.ram_force), "force"),
                f"{path.governing}, {system.show(float(path.largest_share), 'share')}",
            ]
        )
    return rows


def resultant_words(bench: SolvedBench, *, system: UnitSystem) -> list[str]:
    """Say what the pulls add up to, and along which line."""
    show = system.show
    force, moment = bench.wrench[:3], bench.wrench[3:]
    size = float(norm(force))
    said = [
        f"Together the pulls make {show(size, 'force')} on the body. About the "
        f"zero point they turn it by {signed(float(moment[0]), system, 'moment')} "
        f"left side up, {signed(-float(moment[1]), system, 'moment')} nose up and "
        f"{signed(float(moment[2]), system, 'moment')} nose to the left."
    ]
    if isinstance(bench.axis, WorkbookError):
        return [*said, f"They have no line of their own: {bench.axis.spoken(show)}."]
    place = bench.axis.point
    side, rise = side_angle_of(force), rise_of(force)
    return [
        *said,
        f"Their line runs {side_words(float(side), show)} and "
        f"{rise_words(float(rise), show)}, past the point "
        f"{show(abs(float(place[0])), 'length')} "
        f"{'ahead of' if place[0] >= 0 else 'behind'} the zero plane, "
        f"{show(abs(float(place[1])), 'length')} "
        f"{'left' if place[1] >= 0 else 'right'} of the centre-line and "
        f"{show(abs(float(place[2])), 'length')} "
        f"{'above' if place[2] >= 0 else 'below'} the bench's top"
        f"{_couple_words(bench.axis, system)}.",
    ]


def _couple_words(axis: CentralAxis, system: UnitSystem) -> str:
    couple = float(axis.couple)
    if abs(couple) <= 1e-6 * float(axis.force):  # an arm of a thousandth of a mm
        return ""
    return f", with a couple of {system.show(abs(couple), 'moment')} about it"


def _support_rows(bench: SolvedBench, system: UnitSystem) -> list[list[str]]:
    rows = [["support", *WAYS, "in all", "of its rating", "of its slip limit", ""]]
    slips = [system.show(float(share), "share") for share in bench.held.slip_shares]
    slips += [""] * len(bench.hold.stand_names)
    for name, force, share, slip in zip(
        bench.hold.all_names, bench.supports, bench.held.shares, slips, strict=True
    ):
        rows.append(
            [
                name,
                *(signed(float(part), system, "force") for part in force),
                system.show(float(norm(force)), "force"),
                system.show(float(share), "share"),
                slip,
                _remark(bench, name, float(share)),
            ]
        )
    return rows


def _remark(bench: SolvedBench, name: str, share: float) -> str:
    remarks = [
        ("lifted off", name in bench.lifted),
        ("slides", name in bench.sliding),
        ("over its rating", share > 1),
        ("governs", name == bench.governing),
    ]
    return ", ".join(word for word, holds in remarks if holds)


def support_words(bench: SolvedBench, *, system: UnitSystem) -> list[str]:
    """Say which support governs, what has lifted off and what slides."""
    share = system.show(float(bench.held.shares.max()), "share")
    said = [f"The {bench.governing} governs, at {share} of its rating."]
    if bench.lifted:
        said.append(f"The body has lifted off: {', '.join(bench.lifted)}.")
    if bench.sliding:
        said.append(
            f"The jaws slide at: {', '.join(bench.sliding)}. From there on the "
            "shares are no longer these."
        )
    return said


def bench_words(bench: SolvedBench, *, system: UnitSystem) -> str:
    """Say what is left on the bench of all that loads it."""
    show = system.show
    left = bench.bench_left_over
    largest = float(np.abs(bench.bench_loop[:3]).max())
    return (
        "The bench feels every base, fork and clamp. All of it adds up to "
        f"{show(float(norm(left[:3])), 'force')}, the weight of the body, which goes "
        f"to the floor; without the weight {show(largest, 'force')} are left."
    )


def bench_fields(bench: SolvedBench) -> dict[str, Any]:
    """Return the pulls and the supports in SI units; names end with their unit."""
    axis = None if isinstance(bench.axis, WorkbookError) else bench.axis
    slips: list[float | None] = [float(s) for s in bench.held.slip_shares]
    slips += [None] * len(bench.hold.stand_names)
    return {
        "form": 1,
        "title": bench.hold.title,
        "pulls": [
            {
                "name": name,
                "code": code_or_reason(solved.setup),
                "hook_m": hook.tolist(),
                "force_N": force.tolist(),
                "tension_N": float(solved.pull.pull_tension),
                "ram_force_N": float(solved.pull.ram_force),
                "governing": str(solved.load_path.governing),
                "share_1": float(solved.load_path.largest_share),
            }
            for name, solved, hook, force in zip(
                bench.names, bench.pulls, bench.hooks, bench.forces, strict=True
            )
        ],
        "force_N": bench.wrench[:3].tolist(),
        "moment_about_zero_N_m": bench.wrench[3:].tolist(),
        "line_point_m": axis and axis.point.tolist(),
        "line_direction_1": axis and axis.direction.tolist(),
        "couple_N_m": axis and float(axis.couple),
        "no_line_because": None if axis else str(bench.axis),
        "weight_N": bench.hold.weight,
        "supports": [
            {
                "name": name,
                "place_m": place.tolist(),
                "force_on_body_N": force.tolist(),
                "share_1": float(share),
                "slip_share_1": slip,
                "lifted_off": name in bench.lifted,
            }
            for name, place, force, share, slip in zip(
                bench.hold.all_names,
                bench.places,
                bench.supports,
                bench.held.shares,
                slips,
                strict=True,
            )
        ],
        "governing": bench.governing,
        "body_slide_at_zero_m": bench.held.displacement[:3].tolist(),
        "body_turn_rad": bench.held.displacement[3:].tolist(),
        "bench_left_over_N": bench.bench_left_over[:3].tolist(),
        "bench_left_over_N_m": bench.bench_left_over[3:].tolist(),
        "caution": caution("S0"),
    }
