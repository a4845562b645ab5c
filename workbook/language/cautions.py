"""The standing cautions, word for word, and what the models leave out."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

CAUTIONS: Mapping[str, str] = {
    "S0": (
        "This workbook teaches how pulls behave. It does not approve any real pull. "
        "Follow the vehicle maker's repair procedure, the equipment maker's book "
        "and tags, and the rules where you work. Real pulls are done only by "
        "trained people who are allowed to do them, or by learners under their eye."
    ),
    "S1": (
        "Stop. Never stand in line with a loaded chain, at either end. Keep to the "
        "side and outside the marked zone."
    ),
    "S2": (
        "Lower the load before you go near: to look, to measure, to hammer, to move "
        "a clamp."
    ),
    "S3": (
        "Fit a safety cable to every clamp and hook you load. Tie it to something "
        "that will still be there if the clamp is not."
    ),
    "S4": ("One person gives signals. Anyone may call stop."),
    "S5": (
        "Take up slack slowly. Stop. Look along every chain, clamp and base from "
        "the side. Then go on."
    ),
    "S6": (
        "No tag, no use. The part nearest its limit sets the pull, not the "
        "strongest part."
    ),
    "S7": (
        "The gauge shows the ram. It does not show the chain, the clamp or the metal."
    ),
    "S8": (
        "Pin and hold the base as its maker says. Never change lean, height or slot "
        "under load."
    ),
    "S9": (
        "Whitening paint, a click, a widening hole, a slipping jaw, a gauge that "
        "drops: lower the load and look. Do not clamp again on torn metal."
    ),
    "S10": (
        "No heat unless the vehicle maker allows it for this part, and then only as "
        "written."
    ),
    "S11": (
        "Never feel for a leak. Oil under pressure goes through gloves and skin. "
        "Get medical help at once, even for a small mark."
    ),
    "S12": (
        "Before any work: car stable, high-voltage system, fuel and restraint parts "
        "made safe by someone trained, by the maker's method."
    ),
    "S13": (
        "Eye protection always in the bay; gloves, boots and hearing protection as "
        "the task and site rules say. PPE does not make the line of fire safe."
    ),
    "S14": ("Do not pull alone."),
    "S15": (
        "A straight body is not yet a safe car. Joining, corrosion protection, "
        "restraint parts, sensors, wheels and final checks follow the maker's list."
    ),
}

LEFT_OUT = (
    "friction at head and rollers, weight of chain and ram in the split, play in the "
    "sockets, give of the bench, any tearing or folding of metal, anything sudden. It "
    "teaches direction and proportion and approves no pull. Ratings that are not from "
    "a named standard are invented."
)
