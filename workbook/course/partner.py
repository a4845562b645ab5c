"""The partner game of lesson 05: one mixes kinds of damage, the other names them.

A round is the exercise of the corner readings with numbers of its own, so that it is
asked, read and marked as that exercise is.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from workbook.errors import FormError, NoConvergenceError
from workbook.exercises import exercise
from workbook.exercises.answers.picked import SHUFFLE
from workbook.exercises.bank.lesson_05 import CORNERS, NOBODY, WAYS, sizes_of
from workbook.exercises.engine import variant_for, variant_from
from workbook.exercises.seeds import Stream, seed_for
from workbook.figures.drawing.labels import settle
from workbook.figures.drawing.rooms import ROOMS
from workbook.figures.drawing.views import VIEWS
from workbook.figures.pictures import subjects
from workbook.figures.subject import Look
from workbook.mechanics.survey.damage import KINDS
from workbook.quantities.units import factor
from workbook.scenes.damaged_box import FIELD_OF
from workbook.scenes.fields import checked

if TYPE_CHECKING:
    from collections.abc import Mapping

    from workbook.exercises.engine import Variant
    from workbook.figures.drawing.marks import Sheet
    from workbook.quantities.units import UnitSystem

QUESTION = "5.3"
GAME = "partner game"
LEAST, MOST = 0.008, 0.020  # of a size, so that the readings show it [m]
MOST_KINDS = 2
DRAWS = 100


@dataclass(frozen=True)
class Score:
    """Who named each round so far, and whether it came right."""

    rounds: tuple[tuple[str, bool], ...] = ()

    def after(self, namer: str, right: bool) -> Score:
        """Return the score with one more round."""
        return Score((*self.rounds, (namer, right)))

    @property
    def right(self) -> int:
        """How many rounds came right, of the pair."""
        return sum(right for _, right in self.rounds)

    def of(self, namer: str) -> tuple[int, int]:
        """Return how many rounds somebody named right, and how many in all.

        Examples
        --------
        >>> Score().after("Ana", True).after("Ben", False).after("Ana", False).of("Ana")
        (1, 2)
        """
        named = [right for who, right in self.rounds if who == namer]
        return sum(named), len(named)


def drawn_round(seed: str, number: int) -> Variant:
    """Return a round whose mix is drawn from a seed, the same for everybody."""
    one = exercise(QUESTION)
    return variant_for(one, class_key=GAME, student=seed, attempt=number)


def mixed_round(sizes: Mapping[str, float], number: int) -> Variant:
    """Return a round with the mix that somebody has typed.

    Parameters
    ----------
    sizes : mapping of str to float
        Size of each kind that is there, of a twist the height of the left front
        corner over the right one. [m]
    number : int
        Of the round: it draws how the readings are off.

    Raises
    ------
    FormError
        If there are too few or too many kinds, or a size would not show.
    """
    there = {kind: size for kind, size in sizes.items() if size}
    if not 1 <= len(there) <= MOST_KINDS:
        raise FormError("partner.kinds", most=MOST_KINDS)
    for kind, size in there.items():
        if not LEAST <= abs(size) <= MOST:
            raise FormError(
                "partner.size", kind=f"damage.{kind}", least=LEAST, most=MOST
            )
    one = exercise(QUESTION)
    mix = [(KINDS.index(kind) + 1.0, size) for kind, size in there.items()]
    (first, first_size), (second, second_size) = [*mix, (float(NOBODY), LEAST)][:2]
    typed = repr(sorted(there.items()))
    seed = seed_for(
        class_key=GAME, student=typed, exercise=one.id, version=1, attempt=number
    )
    stream, mm = Stream(seed), factor("mm")
    for _ in range(DRAWS):
        variant = variant_from(
            one,
            {
                "shuffle": stream.choice(SHUFFLE["shuffle"].values),
                "first": first,
                "first_size": first_size / mm,
                "second": second,
                "second_size": second_size / mm,
                **{
                    f"off_{corner}_{way}": stream.choice((-1.0, 0.0, 1.0))
                    for corner in CORNERS
                    for way in WAYS
                },
            },
        )
        if one.allowed(variant.given):
            return variant
    raise NoConvergenceError("exercise.no_numbers", id=one.id, draws=DRAWS)


def mix_picture(variant: Variant, *, system: UnitSystem) -> Sheet:
    """Return the box with the mix of a round in it, as the explorer draws it."""
    subject, sizes = subjects()["damage"], sizes_of(variant.given)
    values = {
        field: round(
            float(getattr(sizes, kind)) / factor("deg" if kind == "twist" else "mm"), 1
        )
        for kind, field in FIELD_OF.items()
    }
    room, view = ROOMS["phone"], VIEWS["home"]  # a card's sketch is as small
    look: Look[Any] = Look(system=subject.units(system), room=room, view=view)
    solved = subject.solve(checked(subject.fields, values))
    return settle(subject.sheets(solved, look).picture)[0]
