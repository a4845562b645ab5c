"""One solved pull as a table to read and as fields for other programs."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Any

from workbook.errors import FormError
from workbook.figures.drawing.views import VIEWS
from workbook.figures.pictures.pull import PULL, describe
from workbook.figures.pictures.ratings import of_governing, over, stop_words
from workbook.figures.subject import Look
from workbook.language import say, text
from workbook.quantities.tables import columns
from workbook.reports.report import Report

if TYPE_CHECKING:
    from workbook.figures.drawing.marks import Sheet
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.setups import Setup, SolvedPull

WORDS = ("report", "pull")
UNITS = {
    "head": "m", "direction": "1", "side_angle": "rad", "rise": "rad",
    "lean": "rad", "tilt": "rad", "anchor_angle": "rad", "pull_leg": "m",
    "ram_force": "N", "pull_tension": "N", "anchor_tension": "N",
    "force_on_clamp": "N", "base_on_bench": "N", "anchor_on_bench": "N",
    "travel_ratio": "1",
}  # fmt: skip


@dataclass(frozen=True)
class PullReport(Report):
    """A set-up and what it does."""

    leaves_out = PULL.leaves_out
    solved: SolvedPull
    seen_from: str | None = None

    def blocks(self, system: UnitSystem) -> list[list[str]]:  # noqa: D102
        solved, show = self.solved, system.show
        path = solved.load_path
        governs = say(
            *WORDS,
            "governs",
            show=show,
            place=f"place.{path.governing}",
            whose=text("rating", "whose", str(of_governing(path, "basis"))),
            force=float(path.highest_ram_force),
            gauge=float(path.highest_pressure),
        )
        amounts = [[name, amount, ""] for name, amount in PULL.numbers(solved, system)]
        # One width for both tables, so that they stand under each other.
        lines = columns([*amounts, *self._parts(system)])
        return [
            [str(stop_words(path, show))] if over(path) != "none" else [],
            [solved.setup.title or say(*WORDS, "title"), *self.codes()],
            lines[: len(amounts)],
            [say(*WORDS, "load_path"), *lines[len(amounts) :], governs],
            [describe(solved, system=system)],
        ]

    def codes(self) -> list[str]:  # noqa: D102
        return [say(*WORDS, "code", code=code_or_reason(self.solved.setup))]

    def _parts(self, system: UnitSystem) -> list[list[str]]:
        return [
            [
                text("term", "place", part.place),
                system.show(float(part.load), "force"),
                say(
                    *WORDS,
                    "part_past" if part.share > 1 else "part",
                    show=system.show,
                    share=f"{system.show(float(part.share), 'share'):>5}",
                    rating=part.rating,
                    part=part.name,
                    basis=text("rating", "basis", part.basis),
                ),
            ]
            for part in self.solved.load_path.parts
        ]

    def amounts(self) -> dict[str, Any]:  # noqa: D102
        solved = self.solved
        pull, path = asdict(solved.pull), solved.load_path
        return {
            "title": solved.setup.title,
            "code": code_or_reason(solved.setup),
            "setup": dict(solved.setup.values),
            "pull": {
                f"{name}_{one}": pull[name].tolist() for name, one in UNITS.items()
            },
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
                    "rating_for": part.basis,
                }
                for part in path.parts
            ],
            "governing": str(path.governing),
            "highest_ram_force_N": float(path.highest_ram_force),
            "highest_pressure_Pa": float(path.highest_pressure),
        }

    def sheet(self, system: UnitSystem) -> Sheet:  # noqa: D102
        view = None if self.seen_from is None else VIEWS[self.seen_from]
        return PULL.sheets(self.solved, Look(system=system, view=view)).whole


def code_or_reason(setup: Setup) -> str:
    """Return the set-up code, or why there is none."""
    try:
        return setup.code
    except FormError as reason:
        return say(*WORDS, "no_code", reason=reason)
