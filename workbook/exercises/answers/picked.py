"""Answers that pick from lettered items: choose one, tick all, match, put in order.

An answer is letters: ``c``, ``b, d``, ``c a d b``, or with places ``a 2, b 1``. Which
letter an item has is drawn with the question's numbers.
"""

from __future__ import annotations

import re
import unicodedata
from abc import ABC, abstractmethod
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import combinations
from string import ascii_lowercase
from typing import TYPE_CHECKING, Any, Generic, TypeVar

from workbook.errors import FormError
from workbook.exercises import wording
from workbook.exercises.declaration import (
    Finding,
    Judgement,
    Known,
    Numbers,
    ReadAnswer,
    stepped,
)
from workbook.exercises.seeds import Stream
from workbook.language import fill, shown, text
from workbook.quantities.units import METRIC

if TYPE_CHECKING:
    from workbook.exercises.engine import Variant
    from workbook.quantities.units import UnitSystem

SHUFFLE = {"shuffle": stepped("1", 1, 1000)}
"""What every exercise with lettered items draws: their order."""

LONGEST = 200
KNOWN_MARKS = 0.6  # at most, for a known mistake, as for a slip
Made = tuple[str, ...]  # letters; of a match each with its place, "a 2"
Right = TypeVar("Right")
_BETWEEN = re.compile(r"[\s,;.:>/()\u2010-\u2015\u2192-]+")


@dataclass(frozen=True)
class Mispicked(Known, Generic[Right]):
    """A known mistake: what is taken for right, in the form the kind has it.

    It is `None` where the numbers leave no room for it.
    """

    taken: Callable[[Numbers], Right | None]


@dataclass(frozen=True, kw_only=True)
class Picked(ABC, Generic[Right]):
    """What the kinds have in common.

    Parameters
    ----------
    items : callable
        Names of the items from the given numbers; their texts are the exercise's own,
        under ``item``.
    right : callable
        What is right, by the items' names, in the form that the kind has.
    """

    items: Callable[[Numbers], Sequence[str]]
    right: Callable[[Numbers], Right]
    says: str = field(default="", init=False)
    also: tuple[str, ...] = field(default=(), init=False)

    def lettered(self, given: Numbers) -> dict[str, str]:
        """Return which item each letter stands for."""
        order = Stream(f"shuffle {given.shuffle:.0f}".encode())
        mixed = order.shuffled([*self.items(given)])
        return dict(zip(ascii_lowercase, mixed, strict=False))

    def solve(self, given: Numbers, /) -> Made:
        """Return the right answer, or one of them."""
        return self.in_letters(self.right(given), self.lettered(given))

    @abstractmethod
    def in_letters(self, picked: Right, lettered: Mapping[str, str]) -> Made:
        """Return what is right, or taken for it, in letters."""

    @abstractmethod
    def worth(self, made: Made, right: Right, lettered: Mapping[str, str]) -> float:
        """Return how far an answer agrees with what is right, or taken for it."""

    # A typed answer --------------------------------------------------------------

    def read(self, typed: str, given: Numbers) -> ReadAnswer:
        """Read letters, with whatever stands between them."""
        try:
            return ReadAnswer(made=self._read(typed, self.lettered(given)))
        except FormError as refusal:
            return ReadAnswer(problem="letters_unread", refusal=refusal)

    def _read(self, typed: str, lettered: Mapping[str, str]) -> Made:
        return self._letters(typed, lettered)

    def _letters(self, typed: str, known: Collection[str]) -> Made:
        """Return the letters that were typed, each a known one."""
        found = _BETWEEN.sub("", plain(typed))
        if not found:
            raise FormError("exercise.no_letter", last=max(known))
        if not {*found} <= {*known}:
            raise FormError(
                "exercise.letters_unread", said=quoted(typed), last=max(known)
            )
        return tuple(found)

    # What it is worth ------------------------------------------------------------

    def judge(self, made: Made, variant: Variant) -> Judgement:
        """Judge an answer; a mistake is known by agreeing with all that it takes."""
        given = variant.given
        lettered = self.lettered(given)
        right = self.right(given)
        value = self._value(made, given)
        score = round(self.worth(made, right, lettered), 6)
        if score == 1:
            return Judgement(name="right", score=1.0, value=value)
        names = tuple(
            mistake.name
            for mistake, taken in self._armed(variant)
            if self.worth(made, taken, lettered) == 1
        )
        several = "two_fit" if names else "none_of_these"
        return Judgement(
            name=names[0] if len(names) == 1 else several,
            score=min(score, KNOWN_MARKS) if names else score,
            value=value,
            choices=(*names, "none_of_these") if names else (),
            findings=tuple(self._findings(made, right, lettered)),
        )

    def _value(self, made: Made, given: Numbers) -> float | None:
        return None

    def _findings(
        self, made: Made, right: Right, lettered: Mapping[str, str]
    ) -> Sequence[Finding]:
        return ()

    def _armed(self, variant: Variant) -> list[tuple[Known, Right]]:
        """Return the mistakes that there is room for, with what they take for right."""
        known = (m for m in variant.exercise.mistakes if isinstance(m, Mispicked))
        taken = ((mistake, mistake.taken(variant.given)) for mistake in known)
        return [(mistake, picked) for mistake, picked in taken if picked is not None]

    def separated(self, variant: Variant) -> bool:
        """Tell whether no mistake takes for right what is right."""
        lettered = self.lettered(variant.given)
        return all(
            self.worth(variant.answer, taken, lettered) < 1
            for _, taken in self._armed(variant)
        )

    def apart(self, made: Made, variant: Variant) -> bool:
        """Tell whether another question's letters are others than here."""
        return bool(made != variant.answer)

    # What is said of it ----------------------------------------------------------

    def text(self, made: Made, *, system: UnitSystem = METRIC) -> str:
        """Return an answer as a reader sees it."""
        return ", ".join(made)

    def typed(self, made: Made) -> str:
        """Return an answer as it may be typed."""
        return ", ".join(made)

    def rows(
        self, variant: Variant, *, system: UnitSystem = METRIC
    ) -> list[tuple[str, str]]:
        """Return the items: each letter and its text."""
        one, values = variant.exercise, wording.shown(variant, system)
        texts = text("exercise", one.lesson, one.key, "item")
        return [
            (letter, fill(texts[name], **values))
            for letter, name in self.lettered(variant.given).items()
        ]

    def places(
        self, variant: Variant, *, system: UnitSystem = METRIC
    ) -> dict[str, str]:
        """Return the items in one line, for worked copies."""
        rows = self.rows(variant, system=system)
        return {"items": "; ".join(f"{letter}: {item}" for letter, item in rows)}

    def in_key(self, variant: Variant) -> dict[str, Any]:
        """Return the right letters, and those of the mistakes."""
        lettered = self.lettered(variant.given)
        return {
            "answer": self.typed(variant.answer),
            "unit": "",
            "mistakes": [
                {"name": m.name, "gives": self.typed(self.in_letters(taken, lettered))}
                for m, taken in self._armed(variant)
            ],
        }

    def mistakes_text(self, variant: Variant, *, system: UnitSystem = METRIC) -> str:
        """Return the letters that the mistakes lead to, each with its name."""
        found = self.in_key(variant)["mistakes"]
        return "; ".join(f"{mistake['name']} {mistake['gives']}" for mistake in found)


def plain(typed: str) -> str:
    """Return typed text with one width and case of letters.

    Raises
    ------
    FormError
        If it is longer than letters ever are.
    """
    if len(typed) > LONGEST:
        raise FormError("exercise.long_letters", most=LONGEST)
    return unicodedata.normalize("NFKC", typed).casefold().strip()


def quoted(typed: str) -> str:
    """Return the beginning of what was typed, as it may be shown."""
    return shown(typed.strip()[:40])


@dataclass(frozen=True, kw_only=True)
class Choose(Picked[str]):
    """A kind of answer: one item, or an answer of one's own behind the last letter.

    Its value is the number of the item, counted from 1 as ``items`` has them; a later
    part may go on from it.
    """

    says: str = field(default="choose", init=False)

    def in_letters(self, picked: str, lettered: Mapping[str, str]) -> Made:
        """Return the letter of the item."""
        return tuple(letter for letter, name in lettered.items() if name == picked)

    def worth(self, made: Made, right: str, lettered: Mapping[str, str]) -> float:
        """Return 1 for the item, else 0."""
        return float(lettered.get(made[0]) == right)

    def own(self, lettered: Collection[str]) -> str:
        """Return the letter behind the last: none of these, but what is written."""
        return ascii_lowercase[len(lettered)]

    def _read(self, typed: str, lettered: Mapping[str, str]) -> Made:
        letters = [*lettered, self.own(lettered)]
        if not plain(typed):
            raise FormError("exercise.no_letter", last=max(letters))
        found = re.fullmatch(r"([^\W\d_])(?:[\s:.,)]+(.*))?", plain(typed), re.DOTALL)
        if found is None or found[1] not in letters:
            said = quoted(typed)
            raise FormError("exercise.one_letter", said=said, letters=letters)
        letter, words = found[1], (found[2] or "").strip()
        if words and letter != letters[-1]:
            raise FormError("exercise.letter_alone", letter=letter, own=letters[-1])
        if letter == letters[-1] and not re.search(r"\w", words):
            raise FormError("exercise.own_answer", letter=letter)
        return (letter,)

    def _value(self, made: Made, given: Numbers) -> float | None:
        name = self.lettered(given).get(made[0])
        return None if name is None else 1.0 + [*self.items(given)].index(name)


@dataclass(frozen=True, kw_only=True)
class Tick(Picked[Collection[str]]):
    """A kind of answer: a set of items. Each missed or wrong one costs its share.

    Parameters
    ----------
    stoppers : bool
        Whether the items are reasons to stop: one that is missed leaves nothing.
    """

    stoppers: bool = False
    says: str = field(default="tick", init=False)

    def in_letters(self, picked: Collection[str], lettered: Mapping[str, str]) -> Made:
        """Return the letters of the items, in their order."""
        return tuple(letter for letter, name in lettered.items() if name in picked)

    def worth(
        self, made: Made, right: Collection[str], lettered: Mapping[str, str]
    ) -> float:
        """Return what is left when each missed or wrong item has cost its share."""
        missed, extra = self._off(made, right, lettered)
        if self.stoppers and missed:
            return 0.0
        return max(0.0, 1 - (missed + extra) / len(right))

    def _read(self, typed: str, lettered: Mapping[str, str]) -> Made:
        return tuple(sorted({*self._letters(typed, lettered)}))

    def _off(
        self, made: Made, right: Collection[str], lettered: Mapping[str, str]
    ) -> tuple[int, int]:
        ticked = {lettered[letter] for letter in made}
        return len({*right} - ticked), len(ticked - {*right})

    def _findings(
        self, made: Made, right: Collection[str], lettered: Mapping[str, str]
    ) -> Sequence[Finding]:
        missed, extra = self._off(made, right, lettered)
        left_out = "stopper_missed" if self.stoppers else "missed"
        both = ((left_out, missed), ("ticked_too_many", extra))
        return [Finding(name, {"count": count}) for name, count in both if count]


@dataclass(frozen=True, kw_only=True)
class Match(Picked[Mapping[str, str]]):
    """A kind of answer: each item to one of a few places. Each right one has its share.

    What is right is the name of the place by that of the item; a mistake may be about
    some of the items only.

    Parameters
    ----------
    among : tuple of str
        Names of the places, their texts under ``place``; they are numbered from 1.
    stop : str
        The place that means to stop, if one does: an item of it that is put elsewhere
        leaves nothing.
    """

    among: tuple[str, ...]
    stop: str = ""
    says: str = field(default="match", init=False)

    def in_letters(
        self, picked: Mapping[str, str], lettered: Mapping[str, str]
    ) -> Made:
        """Return each letter with the number of its place."""
        return tuple(
            f"{letter} {self.among.index(picked[name]) + 1}"
            for letter, name in lettered.items()
            if name in picked
        )

    def worth(
        self, made: Made, right: Mapping[str, str], lettered: Mapping[str, str]
    ) -> float:
        """Return the share of the items that are in their places."""
        if self._let_go_on(made, right, lettered):
            return 0.0
        return len({*made} & {*self.in_letters(right, lettered)}) / len(right)

    def _let_go_on(
        self, made: Made, right: Mapping[str, str], lettered: Mapping[str, str]
    ) -> int:
        """Return how many that have to stop were put elsewhere."""
        stops = {name: place for name, place in right.items() if place == self.stop}
        return len({*self.in_letters(stops, lettered)} - {*made})

    def _read(self, typed: str, lettered: Mapping[str, str]) -> Made:
        found = [*_BETWEEN.sub("", plain(typed))]
        pairs = [*zip(found[::2], found[1::2], strict=False)]
        numbers = {str(n) for n in range(1, len(self.among) + 1)}
        if len(found) % 2 or not all(
            letter in lettered and number in numbers for letter, number in pairs
        ):
            raise FormError(
                "exercise.places_unread",
                said=quoted(typed),
                last=max(lettered),
                most=len(numbers),
            )
        each_once([letter for letter, _ in pairs], lettered)
        return tuple(sorted(f"{letter} {number}" for letter, number in pairs))

    def _findings(
        self, made: Made, right: Mapping[str, str], lettered: Mapping[str, str]
    ) -> Sequence[Finding]:
        hits = len({*made} & {*self.in_letters(right, lettered)})
        found = [Finding("in_place", {"count": hits, "of": len(right)})]
        missed = self._let_go_on(made, right, lettered)
        if missed:
            found.insert(0, Finding("stopper_missed", {"count": missed}))
        return found

    def places(
        self, variant: Variant, *, system: UnitSystem = METRIC
    ) -> dict[str, str]:
        """Return items and places, each in one line."""
        numbered = (f"{n} {place}" for n, place in self.numbered(variant))
        return {
            **super().places(variant, system=system),
            "places": ", ".join(numbered),
        }

    def numbered(self, variant: Variant) -> list[tuple[str, str]]:
        """Return the places: each number and its text."""
        one = variant.exercise
        texts = text("exercise", one.lesson, one.key, "place")
        return [(str(n), texts[name]) for n, name in enumerate(self.among, start=1)]


@dataclass(frozen=True, kw_only=True)
class Order(Picked[Mapping[str, float]]):
    """A kind of answer: the items in order. Of two that rank alike, any goes first.

    What is right is a rank for each item. A pair that is right earns what one the wrong
    way round costs (Kendall's rank correlation; below nought is nought), so that an
    order by chance earns nothing on the whole.

    Parameters
    ----------
    safety : collection of str
        Items of which none may be out of place: a pair with one of them that is the
        wrong way round leaves nothing.
    """

    safety: Collection[str] = ()
    says: str = field(default="order", init=False)

    def in_letters(
        self, picked: Mapping[str, float], lettered: Mapping[str, str]
    ) -> Made:
        """Return the letters by rank."""
        return tuple(sorted(lettered, key=lambda letter: picked[lettered[letter]]))

    def worth(
        self, made: Made, right: Mapping[str, float], lettered: Mapping[str, str]
    ) -> float:
        """Return the share of pairs in order, less the share the wrong way round."""
        if self._misplaced(made, right, lettered):
            return 0.0
        hits, pairs = self._pairs(made, right, lettered)
        return max(0.0, (2 * hits - pairs) / pairs)

    def separated(self, variant: Variant) -> bool:
        """Tell whether mistakes are apart, and the items as they stand earn nothing."""
        lettered = self.lettered(variant.given)
        as_shown = self.worth(tuple(lettered), self.right(variant.given), lettered)
        return super().separated(variant) and as_shown == 0

    def _pairs(
        self, made: Made, right: Mapping[str, float], lettered: Mapping[str, str]
    ) -> tuple[int, int]:
        """Return how many pairs are the right way round, and how many there are."""
        ranks = [right[lettered[letter]] for letter in made]
        unlike = [(a, b) for a, b in combinations(ranks, 2) if a != b]
        return sum(a < b for a, b in unlike), len(unlike)

    def _misplaced(
        self, made: Made, right: Mapping[str, float], lettered: Mapping[str, str]
    ) -> set[str]:
        """Return the letters of the safety items that stand out of place."""
        pairs = combinations(made, 2)
        turned = [p for p in pairs if right[lettered[p[0]]] > right[lettered[p[1]]]]
        return {x for pair in turned for x in pair if lettered[x] in self.safety}

    def _read(self, typed: str, lettered: Mapping[str, str]) -> Made:
        letters = self._letters(typed, lettered)
        each_once(letters, lettered)
        return letters

    def _findings(
        self, made: Made, right: Mapping[str, float], lettered: Mapping[str, str]
    ) -> Sequence[Finding]:
        hits, pairs = self._pairs(made, right, lettered)
        found = [Finding("pairs", {"count": hits, "of": pairs})]
        if self._misplaced(made, right, lettered):
            found.insert(0, Finding("safety_misplaced"))
        return found


def each_once(letters: Sequence[str], lettered: Collection[str]) -> None:
    """Refuse letters of which one is missing, or stands there twice."""
    twice = [letter for letter in lettered if letters.count(letter) > 1]
    if twice:
        raise FormError("exercise.letter_twice", letter=twice[0])
    missing = [letter for letter in lettered if letter not in letters]
    if missing:
        raise FormError("exercise.letters_missing", letters=missing)
