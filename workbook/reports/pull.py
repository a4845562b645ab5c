"""One solved pull as a table to read and as fields for other programs."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from workbook.errors import FormError
from workbook.figures.pictures.pull import PULL, describe
from workbook.language import caution, left_out

if TYPE_CHECKING:
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.setups import Setup, SolvedPull


def pull_table(solved: SolvedPull, *, system: UnitSystem) -> str:
    """Return a pull as a table in the reader's units, cautions below it.

    Parameters
    ----------
    solved : SolvedPull
        The set-up and what it does.
    system : UnitSystem
        The reader's units.
    """
    show = system.show
    rows = PULL.numbers(solved, system)
    wide = max(len(name) for name, _ in rows)
    path = solved.load_path
    parts = [
        f"  {part.place:<{wide}}  {show(float(part.load), 'force'):>10}  "
        f"{show(float(part.share), 'share'):>5} of {show(part.rating, 'force')}  "
        f"({part.name}, {part.kind} rating)"
        for part in path.parts
    ]
    return "\n".join(
        [
            solved.setup.title or "One pull",
            f"set-up code: {code_or_reason(solved.setup)}",
            "",
            *(f"  {name:<{wide}}  {text:>10}" for name, text in rows),
            "",
            "Load path: load, and share of its own rating",
            *parts,
            f"The {path.governing} governs. It reaches its rating at a ram force of "
            f"{show(float(path.highest_ram_force), 'force')}, "
            f"{show(float(path.highest_pressure), 'pressure')} on the gauge.",
            "",
            describe(solved, system=system),
            "",
            f"What the model leaves out: {left_out()}",
            caution("S0"),
        ]
    )


def code_or_reason(setup: Setup) -> str:
    """Return the set-up code, or why there is none."""
    try:
        return setup.code
    except FormError as reason:
        return f"none: {reason}"


def pull_fields(solved: SolvedPull) -> dict[str, Any]:
    """Return a pull in SI units: every name of `Pull` with its unit.

    Lengths are in metres, forces in newtons, pressures in pascals, angles in
    radians; points and forces in space are x forward, y left, z up.
    """
    units = {
        "head": "m", "direction": "1", "side_angle": "rad", "rise": "rad",
        "lean": "rad", "tilt": "rad", "anchor_angle": "rad", "pull_leg": "m",
        "ram_force": "N", "pull_tension": "N", "anchor_tension": "N",
        "force_on_clamp": "N", "base_on_bench": "N", "anchor_on_bench": "N",
        "travel_ratio": "1",
    }  # fmt: skip
    pull = asdict(solved.pull)
    path = solved.load_path
    return {
        "form": 1,
        "title": solved.setup.title,
        "code": code_or_reason(solved.setup),
        "setup": dict(solved.setup.values),
        "pull": {f"{name}_{unit}": pull[name].tolist() for name, unit in units.items()},
        "pressure_Pa": float(solved.pressure),
        "along_wanted_N": float(solved.along),
        "across_wanted_N": float(solved.across),
        "load_path": [
            {
                "place": part.place,
                "part": part.name,
                "load_N": float(part.load),
                "rating_N": part.rating,
                "share": float(part.share),
                "rating_kind": part.kind,
            }
            for part in path.parts
        ],
        "governing": str(path.governing),
        "highest_ram_force_N": float(path.highest_ram_force),
        "highest_pressure_Pa": float(path.highest_pressure),
        "caution": caution("S0"),
    }
