"""What every explorer shares: controls, stage, code, freeze, units, prediction."""

from __future__ import annotations

import time
from html import escape
from typing import TYPE_CHECKING, Any, ClassVar, Protocol

import ipywidgets as ipw

from widgets.controls import Control, control_for, on_change, set_all
from widgets.stage import Stage
from workbook.errors import FormError, WorkbookError
from workbook.language import caution, left_out
from workbook.quantities.units import SYSTEMS
from workbook.reader.settings import remember_units, unit_system
from workbook.scenes import codes
from workbook.scenes.fields import Choice, Field, Value, checked, si

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from workbook.figures.drawing.marks import Sheet

# Not A, B, C: these are points of the rig.
GHOSTS = ("I", "II", "III")
UNDO_SECONDS = 5.0
RESTING_SECONDS = 1.0


class Lock(Protocol):
    """What holds the controls until it is answered, and stands above them."""

    widget: ipw.Widget
    answer: str | None  # what was answered, ``None`` until then
    on_lock: Callable[[], None]  # the explorer puts here what lets the controls go


class Explorer:
    """Sliders set a set-up; the picture shows what the engine makes of it.

    ``controls`` holds the inputs by name, ``result`` the engine's last answer
    (``None`` where it refused), ``box`` what goes on the page.

    A subclass names its ``word`` (for codes), its ``fields`` and how many are
    in front, and answers `solve`, `sheets`, `amounts`, `words` and `held`.

    Parameters
    ----------
    start : mapping, optional
        Values that differ from the fields' own start values.
    code : str, optional
        A set-up code instead of ``start``.
    named : mapping, optional
        The lesson's named set-ups: name to values.
    lock : Lock, optional
        Hold the controls until it is answered.
    curtain : bool
        Hide the picture too until the prediction is locked: for a start that
        would give the answer away.
    front : sequence of str, optional
        Names of the controls in front; the rest are behind a fold.
    """

    word: ClassVar[str]
    fields: ClassVar[Mapping[str, Field]]
    front: ClassVar[Sequence[str]]
    cautions: ClassVar[Sequence[str]] = ("S0",)
    extra_picture: ClassVar[str] = ""

    def __init__(
        self,
        start: Mapping[str, Value] | None = None,
        *,
        code: str | None = None,
        named: Mapping[str, Mapping[str, Value]] | None = None,
        lock: Lock | None = None,
        curtain: bool = False,
        front: Sequence[str] | None = None,
    ) -> None:
        given = checked(self.fields, start or {})
        self.start = (
            given if code is None else codes.decode(self.word, self.fields, code)
        )
        self.named = dict(named or {})
        self.result: Any = None
        self.refusal = ""
        self.frozen: list[tuple[str, dict[str, Value], Any]] = []
        self.system = unit_system()
        self.controls: dict[str, Control] = {
            name: control_for(field, system=self.system)
            for name, field in self.fields.items()
        }
        set_all(self.controls, self.start)
        self._busy = False
        self._last_move, self._last_values = 0.0, self.start
        self._rested = self.start
        self._before: tuple[str, float, dict[str, Value]] = ("", 0.0, self.start)
        self.stage = Stage(on_key=self._key)
        self.stage.observe(lambda _change: self._update(), names="projector")
        self.lock = lock
        if lock is not None:
            lock.on_lock = self._release
        self._build(front or self.front)
        on_change(self.controls, self._update)
        # A prediction locked before, in this lesson opened again, holds nothing.
        held = self.lock is not None and self.lock.answer is None
        self.curtain = curtain and held
        self._hold(held)
        self._update()

    # What a subclass answers -------------------------------------------------

    def solve(self, values: dict[str, Value]) -> Any:
        """Ask the engine; raise its refusal."""
        raise NotImplementedError

    def sheets(self, result: Any, ghosts: list[tuple[str, Any]]) -> list[Sheet]:
        """Return the pictures of a result, big and few for a projector."""
        raise NotImplementedError

    def amounts(self, result: Any) -> dict[str, tuple[float, str]]:
        """Return the numbers, most telling first: SI value and kind by name."""
        raise NotImplementedError

    def words(self, result: Any) -> str:
        """Say in two to four sentences what the picture shows."""
        raise NotImplementedError

    def held(self, values: dict[str, Value]) -> str:
        """Return the words of the held-fixed badge."""
        raise NotImplementedError

    def arrange(self, values: dict[str, Value]) -> None:
        """Show and hide what depends on a choice; nothing by default."""

    def other_ways(self) -> dict[str, Control]:
        """Return controls that set another one, by the name of that one."""
        return {}

    def numbers(self, result: Any) -> list[tuple[str, str]]:
        """Return the numbers beside the picture, as text in the reader's units."""
        amounts = self.amounts(result).items()
        return [(name, self.system.show(v, kind)) for name, (v, kind) in amounts]

    # What a reader does ------------------------------------------------------

    @property
    def values(self) -> dict[str, Value]:
        """The present value of every control."""
        return {name: control.value for name, control in self.controls.items()}

    @property
    def code(self) -> str:
        """The short code that restores every control."""
        return codes.encode(self.word, self.fields, self.values)

    def set(self, **values: Value) -> None:
        """Bring controls to values, checked like typed ones."""
        self._bring(checked(self.fields, {**self.values, **values}))

    def at(self, **values: Value) -> Any:
        """Return the engine's answer for other values; nothing moves.

        Lessons use it to print numbers while the reader's controls stay held.
        """
        return self.solve(checked(self.fields, {**self.start, **values}))

    def restore(self, code: str) -> None:
        """Bring every control to the values of a code."""
        self._bring(codes.decode(self.word, self.fields, code))

    def reset(self) -> None:
        """Go back to the start; again within five seconds undoes it."""
        self._jump("reset", self.start)

    def load(self, name: str) -> None:
        """Bring the controls to one of the lesson's named set-ups."""
        self._jump(name, checked(self.fields, {**self.start, **self.named[name]}))

    def freeze(self) -> None:
        """Keep the present set-up as a ghost, at most three."""
        if self.result is not None and len(self.frozen) < len(GHOSTS):
            letter = GHOSTS[len(self.frozen)]
            self.frozen.append((letter, self.values, self.result))
            self._update()

    def clear(self) -> None:
        """Drop the frozen set-ups."""
        self.frozen.clear()
        self._update()

    def use_units(self, name: str) -> None:
        """Show everything in another system of units, and remember it."""
        self.system = SYSTEMS[name]
        remember_units(self.system)
        for control in (*self.controls.values(), *self.other_ways().values()):
            control.use(self.system)
        self._update()

    # How it is done ----------------------------------------------------------

    def _bring(self, values: dict[str, Value]) -> None:
        self._busy = True
        set_all(self.controls, values)
        self._busy = False
        self._update()

    def _jump(self, what: str, values: dict[str, Value]) -> None:
        done, when, before = self._before
        if done == what and time.monotonic() - when < UNDO_SECONDS:
            self._before = ("", 0.0, self.values)
            self._bring(before)
            return
        self._before = (what, time.monotonic(), self.values)
        self._bring(values)

    def _key(self, key: str) -> None:
        if self.lock is not None and self.lock.answer is None:
            return
        if key == "f":
            self.freeze()
        elif key == "r":
            self.reset()
        elif int(key) <= len(self.named):
            self.load([*self.named][int(key) - 1])

    def _hold(self, held: bool) -> None:
        for control in (*self.controls.values(), *self.other_ways().values()):
            control.hold(held)
        for part in (self._names, self._freeze, self._reset, self._code):
            part.disabled = held

    def _release(self) -> None:
        self.curtain = False
        self._hold(False)
        self._update()

    def _update(self) -> None:
        if self._busy:
            return
        values = self.values
        try:
            self.result, self.refusal = self.solve(values), ""
        except WorkbookError as refusal:
            self.result, self.refusal = None, refusal.spoken(self.system.show)
        try:
            self._show(values)
        except Exception as error:
            # A callback's error would vanish from the reader's sight.
            self.stage.refuse(
                f"This is a mistake in the workbook, please report it: {error}"
            )
            raise

    def _show(self, values: dict[str, Value]) -> None:
        self._show_result(values)  # first: the reader waits for the picture
        held = escape(self.held(values))
        self._badge.value = f'<span class="pw-badge">Held fixed: {held}</span>'
        self.arrange(values)
        self._code.value = self.code
        self._compare.value = self._compared()

    def _show_result(self, values: dict[str, Value]) -> None:
        if self.result is None:
            self.stage.refuse(self.refusal)
            return
        if self.curtain:
            words = "The picture opens when your prediction is locked."
            self.stage.show([], numbers=[], words=words)
            return
        ghosts = [(letter, result) for letter, _, result in self.frozen]
        self.stage.show(
            self.sheets(self.result, ghosts),
            numbers=self.numbers(self.result),
            words=f"{self.words(self.result)} {self._moved(values)}".strip(),
        )

    def _moved(self, values: dict[str, Value]) -> str:
        """Say what has changed since the controls last rested."""
        now = time.monotonic()
        if now - self._last_move > RESTING_SECONDS:
            self._rested = self._last_values
        self._last_move, self._last_values = now, values
        old = self._rested
        told = [
            f"{self.fields[name].label} went from {self._said(name, old[name])} "
            f"to {self._said(name, value)}"
            for name, value in values.items()
            if value != old[name]
        ]
        return f"Changed: {'; '.join(told)}." if 0 < len(told) <= 3 else ""

    def _said(self, name: str, value: Value) -> str:
        field = self.fields[name]
        if isinstance(field, Choice):
            return field.shown(str(value))
        return self.system.show(si(field, value), field.kind)

    def _compared(self) -> str:
        """Return the table of frozen set-ups, the present one and differences."""
        if not self.frozen:
            return ""
        columns = [(ghost, dict(self.numbers(r))) for ghost, _, r in self.frozen]
        if self.result is not None:
            columns.append(("now", dict(self.numbers(self.result))))
        last = self.frozen[-1][0]
        head = ["", *(name for name, _ in columns), f"now − {last}"]
        rows = [
            [name, *(c.get(name, "") for _, c in columns), self._difference(name)]
            for name in columns[0][1]
        ]
        body = "".join(_row("td", row) for row in rows)
        return (
            '<table class="pw-compare"><caption>frozen and present</caption>'
            f"{_row('th', head)}{body}</table>"
        )

    def _difference(self, name: str) -> str:
        """Return present minus last frozen, from the numbers themselves."""
        if self.result is None:
            return ""
        now, then = self.amounts(self.result), self.amounts(self.frozen[-1][2])
        if name not in now or name not in then:
            return ""
        (value, kind), (other, _) = now[name], then[name]
        shown = self.system.show(value - other, kind)
        return shown if shown.startswith("−") else f"+{shown}"

    def _build(self, front: Sequence[str]) -> None:
        self._badge, self._compare = ipw.HTML(), ipw.HTML()
        self._code_note = ipw.HTML()
        self._units = ipw.ToggleButtons(
            options=[*SYSTEMS], value=self.system.name, style={"button_width": "84px"}
        )
        self._units.observe(lambda change: self.use_units(change["new"]), names="value")
        self._code = ipw.Text(
            description="set-up code",
            continuous_update=False,
            layout=ipw.Layout(width="420px"),
        )
        self._code.observe(self._code_typed, names="value")
        top = ipw.HBox([self._badge, self._units])
        top.layout.justify_content = "space-between"
        others = self.other_ways()
        rest = [
            part.widget
            for name, control in self.controls.items()
            for part in (control, others.get(name))
            if part is not None and (name not in front or part is not control)
        ]
        fold = ipw.Accordion([ipw.VBox(rest)], titles=("more controls",))
        fold.selected_index = None
        parts = [
            top,
            *([self.lock.widget] if self.lock else []),
            *(self.controls[name].widget for name in front),
            *([fold.add_class("pw-quiet")] if rest else []),
            self.stage,
            self._build_bar(),
            self._compare,
            ipw.HBox([self._code, self._code_note]).add_class("pw-quiet"),
            ipw.HTML(self._foot()).add_class("pw-quiet"),
        ]
        self.box = ipw.VBox(parts).add_class("pw-explorer")

    def _build_bar(self) -> ipw.HBox:
        numbered = [(f"{i}  {name}", name) for i, name in enumerate(self.named, 1)]
        self._names = ipw.Dropdown(options=[("named set-ups", ""), *numbered])
        self._names.layout.width = "230px"
        self._names.observe(self._picked, names="value")
        self.extra = ipw.Checkbox(description=self.extra_picture, indent=False)
        self.extra.observe(lambda _change: self._update(), names="value")
        self._freeze = _button("freeze (F)", self.freeze)
        self._clear = _button("clear frozen", self.clear)
        self._reset = _button("reset (R)", self.reset)
        bar = [
            *([self._names] if self.named else []),
            self._freeze,
            self._clear,
            self._reset,
            *([self.extra] if self.extra_picture else []),
        ]
        return ipw.HBox(bar, layout=ipw.Layout(flex_flow="row wrap"))

    def _foot(self) -> str:
        cautions = "".join(f"<p>{escape(caution(c))}</p>" for c in self.cautions)
        return (
            f'<div class="pw-caution">{cautions}<p><b>What the model leaves out:</b> '
            f"{escape(left_out())}</p></div>"
        )

    def _picked(self, change: dict[str, Any]) -> None:
        if change["new"]:
            self.load(change["new"])
            self._names.value = ""

    def _code_typed(self, _change: object) -> None:
        if self._code.value == self.code:
            self._code_note.value = ""
            return
        try:
            self.restore(self._code.value)
            self._code_note.value = ""
        except FormError as error:
            self._code_note.value = (
                f'<span class="pw-note" role="alert">{escape(str(error))}</span>'
            )

    def _repr_mimebundle_(self, **kwargs: object) -> dict[str, object]:
        # Without a kernel a page shows the plain text: say what to do.
        plain = {"text/plain": "Here comes an explorer: choose Run, Run All Cells."}
        return {**self.box._repr_mimebundle_(**kwargs), **plain}


def _button(text: str, action: Callable[[], None]) -> ipw.Button:
    button = ipw.Button(description=text)
    button.on_click(lambda _button: action())
    return button


def _row(cell: str, texts: Sequence[str]) -> str:
    cells = "".join(f"<{cell}>{escape(text)}</{cell}>" for text in texts)
    return f"<tr>{cells}</tr>"
