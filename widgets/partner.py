"""The partner game: a mix behind a curtain, named from its readings; the score."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Literal

from widgets.answer_box import answer_box
from widgets.card import HERE, RIGHT, WRONG, Card
from workbook.course.partner import (
    LEAST,
    MOST,
    Score,
    drawn_round,
    mix_picture,
    mixed_round,
)
from workbook.errors import FormError
from workbook.exercises import wording
from workbook.exercises.bank.lesson_05 import kinds_of
from workbook.exercises.marking import FRESH, mark
from workbook.figures.drawing.svg import render, style_sheet
from workbook.figures.sketches.sketches import sketch
from workbook.language import say, text
from workbook.mechanics.survey.damage import KINDS
from workbook.quantities.typed import read_quantity
from workbook.reader.settings import unit_system

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from workbook.exercises.engine import Variant
    from workbook.exercises.marking import Outcome
    from workbook.reader.record import Record

LONGEST = 40  # characters of a name or a seed


class PartnerGame(Card):
    """One mixes kinds of damage, the other names them from the readings alone.

    The two take turns; who plays alone names mixes drawn from a seed. Nothing of it
    goes into the record: it is practice for two at one screen.
    """

    _css = style_sheet() + (HERE / "card.css").read_text("utf-8")

    def __init__(self, *, record: Record | None = None) -> None:
        self.plain = say("partner", "plain")
        self.state: Literal["start", "mix", "name", "told"] = "start"
        self.players: tuple[str, ...] = ()
        self.score = Score()
        self.seed = ""
        self.variant: Variant | None = None
        self.outcome: Outcome | None = None
        super().__init__(record=record)

    @property
    def number(self) -> int:
        """Number of the present round, counted from 1."""
        return len(self.score.rounds) + (self.state != "told")

    @property
    def namer(self) -> str:
        """Who names this round: the second player first, then in turn."""
        return self.players[self.number % len(self.players)]

    @property
    def mixer(self) -> str:
        """Who mixes this round; the namer where somebody plays alone."""
        return self.players[(self.number + 1) % len(self.players)]

    @property
    def alone(self) -> bool:
        """Whether there is nobody to mix."""
        return len(self.players) == 1

    def acts(self) -> Mapping[str, Callable[[dict[str, Any]], None]]:
        """Return what the players can do."""
        return {
            "start": lambda sent: self._start(sent["typed"]),
            "hide": lambda sent: self._hide(sent["typed"]),
            "draw": lambda sent: self._draw(str(sent["typed"][self._field("seed")])),
            "name": lambda sent: self._name(str(sent["typed"][self._field("kinds")])),
            "next": lambda _sent: self._next(),
            "again": lambda _sent: self._again(),
        }

    def _field(self, name: str) -> str:
        """Return the name of a box of this round: the next one is empty again."""
        return f"{len(self.score.rounds)}/{name}"

    def _start(self, typed: Mapping[str, str]) -> None:
        names = [" ".join(str(typed[box]).split())[:LONGEST] for box in ("one", "two")]
        first = names[0] or say("partner", "someone", number=1)
        second = names[1]
        if second == first:
            second = say("partner", "someone", number=2)
        self.players = (first, second) if second else (first,)
        self._go("mix")

    def _hide(self, typed: Mapping[str, str]) -> None:
        self._curtain(mixed_round(self._sizes(typed), self.number))

    def _sizes(self, typed: Mapping[str, str]) -> dict[str, float]:
        """Read the sizes that were typed; what cannot be read is refused by name."""
        unit, sizes = unit_system().unit["small length"], {}
        for kind in KINDS:
            box = str(typed[self._field(kind)])
            if not box.strip():
                continue
            read = read_quantity(box, kind="length", default_unit=unit)
            if read.value is None:
                raise FormError(
                    "partner.unread", kind=f"damage.{kind}", trouble=read.sentence
                )
            sizes[kind] = read.value
        return sizes

    def _draw(self, seed: str) -> None:
        if not seed.strip():
            raise FormError("partner.seed")
        self.seed = seed.strip()[:LONGEST]
        self._curtain(drawn_round(self.seed, self.number))

    def _curtain(self, variant: Variant) -> None:
        self.variant, self.outcome = variant, None
        self._go("name")

    def _name(self, typed: str) -> None:
        assert self.variant is not None
        outcome = mark(self.variant, typed)
        self.outcome = outcome
        if outcome.held:  # nothing that could be read: the round goes on
            self.show()
            return
        namer = self.namer
        self.state = "told"
        self.score = self.score.after(namer, outcome.name == "right")
        self.show(focus="tools")

    def _next(self) -> None:
        if self.state != "told":
            return
        self.variant = self.outcome = None
        self.state = "mix"
        if self.alone:
            self._draw(self.seed)
        else:
            self._go("mix")

    def _again(self) -> None:
        self.players, self.score = (), Score()
        self.variant = self.outcome = None
        self._go("start")

    def _go(self, state: Literal["start", "mix", "name"]) -> None:
        self.state = state
        self.show(focus="form" if state != "mix" or not self.alone else "ask")

    def parts(self) -> dict[str, Any]:
        """Return what stands on the card: names, the mix, the readings, the score."""
        if self.state == "start":
            return {
                "title": say("partner", "title"),
                "intro": text("partner", "intro"),
                "form": {
                    "act": "start",
                    "fields": [
                        {"name": box, "label": say("partner", box)}
                        for box in ("one", "two")
                    ],
                    "submit": say("partner", "start"),
                },
            }
        shown = {"mix": self._mixing, "name": self._naming, "told": self._telling}
        title = say("partner", "round", number=self.number, namer=self.namer)
        told = self.state == "told"  # then the result says the score
        tools = ["next", "again"] if told else ["again"]
        return {
            "title": title,
            **shown[self.state](),
            "tools": [
                {"act": act, "text": say("partner", "tools", act)} for act in tools
            ],
            "foot": [self._score()] if self.score.rounds and not told else [],
        }

    def _mixing(self) -> dict[str, Any]:
        seed = "seed" if self.alone else "or_seed"
        ask = {
            "act": "draw",
            "fields": [{"name": self._field("seed"), "label": say("partner", seed)}],
            "submit": say("partner", "draw"),
        }
        if self.alone:
            return {"ask": ask}
        system = unit_system()
        unit = system.unit["small length"]
        who = {"namer": self.namer, "mixer": self.mixer}
        return {
            "intro": [
                say("partner", "mix", show=system.show, least=LEAST, most=MOST, **who)
            ],
            "form": {
                "act": "hide",
                "fields": [
                    {
                        "name": self._field(kind),
                        "label": say("partner", "size", kind, unit=unit),
                    }
                    for kind in KINDS
                ],
                "submit": say("partner", "hide"),
            },
            "ask": ask,
        }

    def _naming(self) -> dict[str, Any]:
        assert self.variant is not None
        system = unit_system()
        box = answer_box(self.variant, self._field("kinds"), system)
        drawn = sketch(self.variant, system=system)
        assert drawn is not None
        return {
            "intro": wording.question(self.variant, system=system).split("\n"),
            "sketch": render(drawn),
            "form": {"act": "name", "fields": [box], "submit": say("partner", "name")},
            "result": self._judged(),
        }

    def _telling(self) -> dict[str, Any]:
        assert self.variant is not None
        picture = mix_picture(self.variant, system=unit_system())
        return {"sketch": render(picture), "result": self._judged()}

    def _judged(self) -> dict[str, Any] | None:
        """Return what the checker says of what was named, and what the mix was."""
        variant, outcome = self.variant, self.outcome
        if variant is None or outcome is None:
            return None
        lines = [*wording.feedback(outcome, variant, FRESH, system=unit_system())]
        if outcome.held:
            return {"sign": "?", "lines": lines}
        kinds = [text("term", "damage", kind) for kind in kinds_of(variant.given)]
        lines += [say("partner", "told", "mix", kinds=kinds), self._score()]
        right = outcome.name == "right"
        return {"sign": RIGHT if right else WRONG, "lines": lines}

    def _score(self) -> str:
        """Say how often the pair and each of them named the mix right."""
        each = []
        for name in self.players:
            right, rounds = self.score.of(name)
            if not rounds:
                continue
            told = {"name": name, "right": right, "rounds": rounds}
            each.append(say("partner", "told", "each", **told))
        rounds = len(self.score.rounds)
        return say(
            "partner", "told", "score", right=self.score.right, rounds=rounds, each=each
        )
