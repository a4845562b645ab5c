"""What is said of an anchored body: its clamps, its model, and what says stop."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from workbook.figures.drawing.texts import Amount, Text, said
from workbook.figures.pictures.pull_directions import rise_words
from workbook.figures.pictures.ratings import first
from workbook.scenes.anchored import CLAMPS, NOTHING, TIE_WAYS, SolvedAnchoring

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from workbook.figures.drawing.marks import Coordinate
    from workbook.quantities.units import UnitSystem

LETTERS = ("LF", "RF", "LR", "RR")  # of the clamps, in their order
STRAIGHT = 1e-6  # m; a pull line nearer the centre-line runs along it
# Which clamps carry most together, where it is not one alone.
_TOGETHER = {
    (True, False, True, False): "left",
    (False, True, False, True): "right",
    (True, True, False, False): "front",
    (False, False, True, True): "rear",
    (True, True, True, True): "all",
}


def say_of(key: tuple[Any, ...], system: UnitSystem, **values: Any) -> Text:
    """Return a text of this picture."""
    return said("picture", "anchoring", *key, show=system.show, **values)


def in_state(lift: Coordinate, pull: Coordinate) -> NDArray[np.str_]:
    """Return whether a lift (...) is one: lifted, pressed or neither."""
    least = NOTHING * pull
    pressed = np.where(lift < -least, "pressed", "neither")
    return np.where(lift > least, "lifted", pressed)


def past(solved: SolvedAnchoring) -> NDArray[np.bool_]:
    """Return which clamps, and the tie if there is one, are past ratings, (..., k)."""
    tie = solved.given.chosen("tie") in TIE_WAYS
    shares = [solved.shares, *([solved.tie_share[..., None]] if tie else [])]
    return np.asarray(np.concatenate(shares, axis=-1) > 1)


def clamp_words(
    solved: SolvedAnchoring, clamp: int, system: UnitSystem, *, brief: bool
) -> Text:
    """Return what a clamp's label says: what it carries, and what becomes of it."""
    state = np.where(solved.lifted[..., clamp], "lifted", "plain")
    state = np.where(solved.slip_shares[..., clamp] >= 1, "slides", state)
    state = np.where(solved.shares[..., clamp] > 1, "past", state)
    return say_of(
        ("clamp", "brief" if brief else "shown", state),
        system,
        letter=LETTERS[clamp],
        force=solved.forces[..., clamp],
    )


def short_words(
    solved: SolvedAnchoring, clamp: int, system: UnitSystem, *, brief: bool
) -> str | Text:
    """Return what is left of it where there is no room: never less than a warning."""
    if brief:
        return LETTERS[clamp]
    return clamp_words(solved, clamp, system, brief=True)


def side_said(off: Coordinate, system: UnitSystem) -> Text:
    """Say how far the pull line lies from the centre-line."""
    way = np.where(off > 0, "left", "right")
    way = np.where(np.abs(off) < STRAIGHT, "middle", way)
    return say_of(("side", way), system, off=np.abs(off))


def _how_many(solved: SolvedAnchoring) -> NDArray[np.str_]:
    count = np.asarray(past(solved).sum(axis=-1))
    return np.where(count > 1, "parts", np.where(count > 0, "part", "none"))


def stop_words(
    solved: SolvedAnchoring, system: UnitSystem, *, brief: bool = False
) -> Text:
    """Say which clamp or tie is past its rating, and furthest; else nothing."""
    tie = solved.given.chosen("tie") in TIE_WAYS
    names = np.array([*CLAMPS, *(["tie"] if tie else [])])
    shares = [solved.shares, *([solved.tie_share[..., None]] if tie else [])]
    each = np.concatenate(shares, axis=-1)
    return said(
        *("rating", "stop", *(["brief"] if brief else []), _how_many(solved)),
        show=system.show,
        count=np.asarray(past(solved).sum(axis=-1)),
        part=say_of(("clamp", "part", names[each.argmax(axis=-1)]), system),
        share=each.max(axis=-1),
        rating=solved.given.array("rating_kn"),
    )


def described(solved: SolvedAnchoring, system: UnitSystem) -> Text:
    """Return what the picture shows, for one set-up or for many."""
    show, given = system.show, solved.given
    nose = np.where(solved.yaw > 0, "left", "right")
    nose = np.where(np.abs(solved.yaw) < 1e-6 * solved.tension, "none", nose)
    lift = solved.lifts[..., :2].sum(axis=-1)
    rear = solved.lifts[..., 2:].sum(axis=-1)
    slides = np.asarray((solved.slip_shares >= 1).sum(axis=-1))
    words = say_of(
        ("describe",),
        system,
        pull=Amount(solved.tension, "force", show),
        side=say_of(
            ("runs", np.where(np.abs(given.array("side_mm")) < STRAIGHT, "on", "off")),
            system,
            side=side_said(given.array("side_mm"), system),
        ),
        rise=rise_words(given.array("rise_deg"), show),
        most=_most(solved, system),
        nose=say_of(("nose", nose), system, moment=np.abs(solved.yaw)),
        front=say_of(
            ("describe_pair", "front", in_state(lift, solved.tension)),
            system,
            force=np.abs(lift),
        ),
        rear=say_of(
            ("describe_pair", "rear", in_state(rear, solved.tension)),
            system,
            force=np.abs(rear),
        ),
        slides=say_of(
            ("slides", np.where(slides > 0, "some", "none")), system, count=slides
        ),
        tie=_tie(solved, system),
        model=say_of(("model", given.chosen("hold")), system),
    )
    return first(_how_many(solved), stop_words(solved, system), words, show)


def _most(solved: SolvedAnchoring, system: UnitSystem) -> Text:
    names = np.array(CLAMPS)[solved.governing]
    for pattern, name in _TOGETHER.items():
        names = np.where((solved.most == pattern).all(axis=-1), name, names)
    return say_of(("most", names), system, force=solved.forces.max(axis=-1))


def _tie(solved: SolvedAnchoring, system: UnitSystem) -> Text:
    tie = solved.given.chosen("tie")
    if tie not in TIE_WAYS:
        return say_of(("describe_tie", "none"), system)
    tight = np.where(solved.tie > NOTHING * solved.tension, tie, "slack")
    return say_of(("describe_tie", tight), system, force=solved.tie)
