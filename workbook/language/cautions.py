"""The standing cautions, and what the models leave out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from workbook.language.sentences import say

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

CAUTIONS = tuple(f"S{number}" for number in range(17))
"""Their names."""

STANDING: Mapping[str, tuple[str, ...]] = {
    # Once in full: at the head of a lesson, on a page, under a command's result.
    "page": ("S0",),
    # One line beside each single result: explorers, cards, saved pictures.
    "result": ("short",),
    # Lessons, in the notebook and on its handout, besides what each page has.
    "L00": ("S1", "S2", "S3", "S4", "S13", "S14"),
    "L01": ("S12", "S13"),
    "L02": ("S2", "S6"),
    "L03": ("S2", "S6"),
    "L04": ("S2",),
    "L05": (),
    "L06": ("S1", "S2"),
    "L07": ("S1", "S8"),
    "L08": ("S1", "S8", "S6", "S16"),
    "L09": ("S1", "S5"),
    "L10": ("S6", "S7"),
    "L11": ("S1", "S2", "S3", "S4", "S5", "S14"),
    "L12": ("S1", "S4", "S5", "S11"),
    "L13": ("S2", "S9"),
    "L14": ("S1", "S3"),
    "L15": ("S2", "S9", "S10", "S13"),
    "L16": ("S15",),
    "L17": ("S1", "S2", "S3", "S4", "S9", "S10", "S13", "S14"),
    # Explorers, which the line beside their result opens, after S0.
    "hit": ("S12", "S13"),
    "arrow": ("S2", "S6"),
    "anchoring": ("S2", "S6"),
    "measuring": ("S2",),
    "damage": (),
    "pull line": ("S1", "S2"),
    "pull": ("S1", "S8"),
    "roller": ("S1", "S8"),
    "bridle": ("S1", "S8", "S6", "S16"),
    "chain sag": ("S1", "S5"),
    "springback": ("S2", "S9", "S10", "S13"),
    "sheet edge": ("S2", "S9", "S10", "S13"),
    "steps": ("S2", "S9"),
    "rams": ("S1", "S4", "S5", "S11"),
    "final check": ("S15",),
    "holding": ("S1", "S3"),
    "fire": ("S1", "S2", "S3", "S4", "S5", "S14"),
}
"""Where each caution stands: the one table that every surface is made or tested by."""


def caution(name: str) -> str:
    """Return a standing caution, such as ``"S0"``.

    Examples
    --------
    >>> caution("S14")
    'Do not pull alone.'
    """
    return say("caution", name)


def left_out(names: Iterable[str]) -> str:
    """Return what a model leaves out, from the names of it, each said once.

    Examples
    --------
    >>> left_out(("bench_give", "sudden", "bench_give")).partition(".")[0]
    'give of the bench, anything sudden'
    """
    parts = [say("caution", "leaves_out", name) for name in dict.fromkeys(names)]
    return say("caution", "left_out", parts=parts)
