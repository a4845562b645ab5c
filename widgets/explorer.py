"""An explorer: controls, picture, numbers and words of one subject, put together."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from html import escape
from typing import TYPE_CHECKING, Any, Generic, ParamSpec, Protocol, TypeVar

import ipywidgets as ipw

from widgets.answer import ask
from widgets.code_box import CodeBox
from widgets.compare import TELLING, Compare, Frozen
from widgets.controls import mark_held
from widgets.hand import Hand, Move, spatial
from widgets.moves import Changes, Jumps
from widgets.panel import ControlPanel
from widgets.play import played_words, steps_along, stills
from widgets.stage import Stage
from widgets.tools import NamedList, button, checkboxes, units_choice
from workbook.figures.drawing.rooms import Sheets
from workbook.figures.subject import Look
from workbook.language import STANDING, caution, left_out, say
from workbook.quantities.units import SYSTEMS
from workbook.reader.school import school_limits, school_rules
from workbook.reader.settings import remember_units, unit_system
from workbook.scenes.fields import Checked, checked

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from widgets.controls import Control
    from workbook.figures.drawing.expected import Expected
    from workbook.figures.drawing.marks import Sheet
    from workbook.figures.subject import Subject, Values
    from workbook.scenes.fields import Value

S = TypeVar("S")
P = ParamSpec("P")
CURTAINED, TALL = "pw-curtained", "pw-tall"


class Lock(Protocol):
    """What holds the controls until it is answered, and stands above them."""

    widget: ipw.Widget
    answer: str | None  # what was answered, ``None`` until then
    sketch: Sheet | None  # stands in the place of a picture that is still hidden
    expected: Expected | None  # what was locked, as far as a picture can show it
    on_lock: Callable[[], None]  # the explorer puts here what lets the controls go

    def show(self) -> None:
        """Show what it asks and what was answered again, in the reader's units."""


class Explorer(Generic[S]):
    """Controls set a set-up; the picture shows what the engine makes of it.

    ``controls`` holds the inputs by name, ``result`` the engine's last answer
    (``None`` where it refused), ``box`` what goes on the page.

    Parameters
    ----------
    subject : Subject
        What it is about.
    start : mapping, optional
        Values that differ from the fields' own start values.
    code : str, optional
        A set-up code instead of ``start``.
    named : mapping, optional
        The lesson's named set-ups: name to values.
    lock : Lock, optional
        Hold the controls until it is answered.
    curtain : bool
        Hide the picture too until then: for a start that would give the answer away.
    front : sequence of str, optional
        Names of the controls in front; the rest are behind a fold.
    extras : sequence of str
        Which of the subject's further pictures are open from the start.
    """

    def __init__(
        self,
        subject: Subject[S],
        start: Mapping[str, Value] | None = None,
        *,
        code: str | None = None,
        named: Mapping[str, Mapping[str, Value]] | None = None,
        lock: Lock | None = None,
        curtain: bool = False,
        front: Sequence[str] | None = None,
        extras: Sequence[str] = (),
    ) -> None:
        self.subject = subject
        self.front = tuple(front or subject.front)
        units = unit_system()
        self.system = subject.units(units)
        self.code_box = CodeBox(subject, on_code=self._bring)
        school = {
            subject.school[name]: limit
            for name, limit in school_limits().items()
            if name in subject.school
        }
        self.start: Values = checked(subject.fields, {**school, **(start or {})})
        if code is not None:
            self.start = self.code_box.decoded(code)
        self.named = {
            name: checked(subject.fields, {**self.start, **values})
            for name, values in (named or {}).items()
        }
        self.panel = ControlPanel(
            subject,
            self.start,
            system=self.system,
            front=self.front,
            on_move=self._step,
        )
        self.answer = ask(subject, self.panel.values)
        self.compare = Compare(subject, on_choice=self._show)
        self.jumps, self.changes = Jumps(), Changes(subject.fields, self.start)
        self.hand: Hand[S] = Hand(subject)
        self.stage = Stage(
            on_key=self.press,
            on_play=self._play,
            space=spatial(subject.name) if self.hand.spatial else {},
        )
        self.stage.observe(self._redraw, names=["room", "letters"])
        self.stage.observe(self._moved, names="move")
        self.badge, self.past = ipw.HTML(), ipw.HTML()
        self.units = units_choice(units.name, self._use_units)
        self.named_list = NamedList(self.named, self._by_hand(self.load))
        self.extras = checkboxes(subject.extras, self._show, ticked=extras)
        self.freeze_button = button("freeze", self._by_hand(self.freeze))
        self.clear_button = button("clear", self.clear)
        self.reset_button = button("reset", self._by_hand(self.reset))
        self.lock = lock
        if lock is not None:
            lock.on_lock = self._release
        # What was locked before, in a lesson opened again, holds nothing.
        self.curtain = curtain and self.held
        self._hold()
        self.box = self._laid_out()
        self._show()

    @property
    def controls(self) -> dict[str, Control]:
        """The control of every field, by name."""
        return self.panel.controls

    @property
    def held(self) -> bool:
        """Whether the reader's hand moves nothing, until the lock is answered."""
        return self.lock is not None and self.lock.answer is None

    @property
    def values(self) -> Checked:
        """The present value of every control."""
        return self.panel.values

    @property
    def result(self) -> S | None:
        """What the engine made of the present values; ``None`` where it refused."""
        return self.answer.result

    @property
    def refusal(self) -> str:
        """The engine's reason in the reader's units; empty where it answered."""
        refusal = self.answer.refusal
        return "" if refusal is None else refusal.spoken(self.system.show)

    @property
    def frozen(self) -> list[Frozen[S]]:
        """The frozen set-ups: letter, values and result of each."""
        return self.compare.frozen

    @property
    def code(self) -> str:
        """The short code that restores every control."""
        return self.code_box.encoded(self.values)

    def set(self, **values: Value) -> None:
        """Bring controls to values, checked like typed ones."""
        self._bring(checked(self.subject.fields, {**self.values, **values}))

    def at(self, **values: Value) -> S:
        """Return the engine's answer for other values; nothing moves.

        Lessons use it to print numbers while the reader's controls stay held.
        """
        given = checked(self.subject.fields, {**self.start, **values})
        return self.subject.solve(given)

    def amounts(self, result: S) -> Mapping[str, tuple[float, str]]:
        """Return the numbers of an answer: SI value and kind by name."""
        return self.subject.told(result)

    def restore(self, code: str) -> None:
        """Bring every control to the values of a code."""
        self._bring(self.code_box.decoded(code))

    def reset(self) -> None:
        """Go back to the start; again within five seconds undoes it."""
        self._jump("reset", self.start)

    def load(self, name: str) -> None:
        """Bring the controls to one of the lesson's named set-ups."""
        self._jump(f"named {name}", self.named[name])

    @property
    def loaded(self) -> str:
        """The named set-up that stands now; empty if none of them does."""
        here = self.values
        return next((name for name, values in self.named.items() if values == here), "")

    def _told_loaded(self) -> str:
        """Return number and name of the named set-up that stands now."""
        if not (name := self.loaded):
            return ""
        number = [*self.named].index(name) + 1
        return say("explorer", "numbered", number=number, name=name)

    def freeze(self) -> None:
        """Keep the present set-up as a ghost, at most three."""
        self.compare.freeze(self.answer)
        self._show()

    def clear(self) -> None:
        """Drop the frozen set-ups."""
        self.compare.clear()
        self._show()

    def use_units(self, name: str) -> None:
        """Show everything in another system of units, and remember it."""
        self.units.value = name

    def press(self, key: str) -> None:
        """Do what a single key stands for; nothing while the controls are held."""
        if self.held:
            return
        if key == "f":
            self.freeze()
        elif key == "r":
            self.reset()
        elif int(key) <= len(self.named):
            self.load([*self.named][int(key) - 1])

    # One step: the values are read once, solved once, shown once. -------------

    def _step(self) -> None:
        self.hand.begin(self.result)
        self._answer()
        self._show()

    def _answer(self) -> None:
        self.answer = ask(self.subject, self.panel.values, way=self.hand.way)

    def _bring(self, values: Values) -> None:
        self.hand.stop()
        self.panel.bring(values)
        self._answer()
        self._show()

    def _moved(self, _change: object) -> None:
        """Do what a hand in the picture has done; what is held does not move."""
        move = Move(**self.stage.move)
        if self.held:
            move = replace(move, values={}, way=None)
        self.hand.hear(move, self.result)
        if move.values:
            self.panel.take_nearest(move.values)
            self._answer()
        self._show()

    def _play(self, wish: Mapping[str, Any]) -> None:
        """Send the pictures of a stroke that the page asks for, or stills of it."""
        if self.held or self.result is None:
            return
        values, look = self.values, self._look(rest=self.result)
        way = self.hand.way
        if "stills" in wish:
            look = replace(look, ghosts=stills(self.subject, values, way=way))
            sheets = self.subject.sheets(self.result, look)
            self.stage.send({"stills": self._parts(sheets, self.result, keep=False)})
            return
        run, steps = wish["run"], wish["steps"]
        sent = 0
        for step in steps_along(
            *(self.subject, values),
            first=wish["first"],
            steps=steps,
            look=look,
            way=way,
        ):
            parts = self._parts(step.sheets, step.result, keep=True)
            self.stage.send({"run": run, "step": {**parts, "value": step.value}})
            sent += 1
        if sent < steps:
            self.stage.send({"run": run, "over": True})

    def _jump(self, name: str, there: Values) -> None:
        self._bring(self.jumps.end_of(name, here=self.values, there=there))

    def _redraw(self, _change: object) -> None:
        self._show()

    def _show(self) -> None:
        try:
            self._show_answer()  # first: the reader waits for the picture
            values = self.answer.values
            self.panel.settle(values)
            held = self.subject.held_words(values)
            words = escape(say("explorer", "held", what=held))
            self.badge.value = f'<span class="pw-badge">{words}</span>'
            past = escape("" if self.curtain else self._past_margin())
            self.past.value = past and f'<p class="pw-refusal">{past}</p>'
            self.past.layout.display = None if past else "none"
            if not self.hand.moving:  # a code is for what stays
                self.code_box.show(values)
            self.named_list.show(self.loaded)
            self.compare.show(self.result, self.system)
            self.clear_button.layout.display = None if self.frozen else "none"
        except Exception as error:
            # A callback's error would vanish from the reader's sight.
            self.stage.refuse(say("explorer", "our_mistake", error=error))
            raise

    def _show_answer(self) -> None:
        told = partial(self.hand.told, self.controls, held=self.held)
        if self.result is None:
            drawn = None
            if not self.curtain:
                look = replace(self._look(rest=self.hand.rest), extras=())
                drawn = self.subject.refused(self.values, look, way=self.hand.way)
            self.stage.refuse(self.refusal, drawn, hand=told(None, None))
            return
        if self.curtain:
            words = say("explorer", "curtain")
            asked = self.lock.sketch if self.lock else None
            shown = None if asked is None else Sheets(asked)
            self.stage.show(shown, words=words, hand=told(self.result, None))
            return
        sheets = self.subject.sheets(self.result, self._look(rest=self.hand.rest))
        changed = self.changes.told(
            self.answer.values, self.system, taken=self.hand.taken
        )
        past = self._past_margin()
        words = " ".join(filter(None, (past, str(sheets.picture.text), changed)))
        self.stage.show(
            sheets,
            **self._numbers(self.result),
            words=words,
            spoken=self._played(),
            loaded=self._told_loaded(),
            over=past if self.stage.room == "projector" else "",
            hand=told(self.result, sheets.picture),
        )

    def _past_margin(self) -> str:
        """Say that a part carries more than the school allows, if it does."""
        margin = school_limits().get("margin")
        if margin is None or self.result is None or self.subject.share is None:
            return ""
        share = float(self.subject.share(self.result))
        if not share > margin * (1 + 1e-9):
            return ""
        show = self.system.show
        return say("session", "past_margin", share=share, margin=margin, show=show)

    def _played(self) -> str:
        """Say what a stroke has changed that was played until now."""
        since = self.hand.since
        if since is None or self.result is None:
            return ""
        return played_words(
            *(self.subject, self.values, self.result),
            since=since,
            system=self.system,
            way=self.hand.way,
        )

    def _look(self, *, rest: S | None) -> Look[S]:
        return Look(
            system=self.system,
            ghosts=self.compare.ghosts,
            expected=None if self.lock is None else self.lock.expected,
            room=self.stage.drawn_for,
            extras=[name for name, box in self.extras.items() if box.value],
            view=self.hand.view,
            rest=rest,
        )

    def _numbers(self, result: S) -> dict[str, Any]:
        """Return the numbers that the stage shows of a result."""
        numbers = self.subject.numbers(result, self.system)
        rows = self.compare.numbers(result, self.system) or numbers
        return {"three": numbers[:TELLING], "numbers": rows}

    def _parts(self, sheets: Sheets, result: S, *, keep: bool) -> dict[str, str]:
        """Return what goes into the parts of the page for a result on the way."""
        words = str(sheets.picture.text)
        return self.stage.drawn(sheets, **self._numbers(result), words=words, keep=keep)

    # Hold, units and layout ----------------------------------------------------

    def _hold(self) -> None:
        self.panel.hold(self.held)
        self.code_box.hold(self.held)
        for part in (self.named_list.widget, self.freeze_button, self.reset_button):
            mark_held(part, self.held)

    def _by_hand(self, act: Callable[P, None]) -> Callable[P, None]:
        """Return an act as the reader's hand may do it: not while it is held."""

        def done(*args: P.args, **kwargs: P.kwargs) -> None:
            if not self.held:
                act(*args, **kwargs)

        return done

    def _release(self) -> None:
        self.curtain = False
        self.box.remove_class(CURTAINED)
        self._hold()
        self._show()

    def _use_units(self, name: str) -> None:
        self.system = self.subject.units(SYSTEMS[name])
        remember_units(SYSTEMS[name])
        self.panel.use(self.system)
        if self.lock is not None:
            self.lock.show()
        self._show()

    def _laid_out(self) -> ipw.VBox:
        """Lay the parts out in the order in which Tab goes through them."""
        tools = [
            *([self.named_list.widget] if self.named else []),
            self.freeze_button,
            self.clear_button,
            self.reset_button,
            *self.extras.values(),
        ]
        left = [
            ipw.HBox([self.badge, self.units]).add_class("pw-head"),
            self.past.add_class("pw-past"),
            self.lock and self.lock.widget,
            *self.panel.front,
            self.panel.fold,
            ipw.HBox(tools).add_class("pw-set"),
        ]
        parts = [
            _column(left).add_class("pw-left"),
            self.stage,
            self.compare.widget,
            self.code_box.widget,
            cautions(self.subject.cautions, self.subject.leaves_out),
        ]
        box = _column(parts).add_class("pw-explorer")
        if self.subject.first_beside:
            box.add_class(TALL)
        return box.add_class(CURTAINED) if self.curtain else box

    def _repr_mimebundle_(self, **kwargs: object) -> dict[str, Any]:
        # Without a kernel a page shows the plain text: say what to do.
        plain = {"text/plain": say("explorer", "plain")}
        return {**self.box._repr_mimebundle_(**kwargs), **plain}


def _column(parts: Iterable[ipw.Widget | None]) -> ipw.VBox:
    return ipw.VBox([part for part in parts if part is not None])


def cautions(names: Iterable[str], leaves_out: Iterable[str]) -> ipw.HTML:
    """Return the line beside a result, which opens the standing cautions.

    The rules of the reader's school stand under them.

    What the model leaves out stands beside it and is never folded away.
    """
    short = "".join(escape(caution(name)) for name in STANDING["result"])
    said = "".join(f"<p>{escape(caution(name))}</p>" for name in names)
    if rules := school_rules():
        own = "".join(f"<li>{escape(rule)}</li>" for rule in rules)
        said += f"<b>{escape(say('session', 'head'))}</b><ul>{own}</ul>"
    more = (
        f"<b>{escape(say('explorer', 'left_out'))}</b> {escape(left_out(leaves_out))}"
    )
    fold = f"<details><summary>{short}</summary>{said}</details>"
    box = ipw.HTML(f'<div class="pw-caution">{fold}<p>{more}</p></div>')
    return box.add_class("pw-cautions").add_class("pw-quiet")
