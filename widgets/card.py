"""A card: parts that the kernel describes and the browser shows and sends back."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import anywidget
import traitlets

from widgets.stage import module
from workbook.errors import WorkbookError
from workbook.language import say, text
from workbook.reader.record import Record, record_here
from workbook.reader.settings import unit_system, watch_units

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from workbook.reader.way_in import WayIn

HERE = Path(__file__).parent
ALWAYS = ("state", "whose", "title")  # what a card has while its lesson is shut
RIGHT, CLOSE, WRONG, ASKED_BACK = "✓", "≈", "✗", "?"


class Card(anywidget.AnyWidget):
    """What all cards share: parts in ``frame``, typed text, a note, the record.

    ``frame`` is what the browser shows; ``drafts`` what is typed in each field,
    checked or not. A subclass answers `parts` and `acts`.

    Parameters
    ----------
    record : Record, optional
        The reader's record; by default the one in the present folder.
    """

    _esm = module("card.js")
    _css: Path | str = HERE / "card.css"
    frame = traitlets.Dict().tag(sync=True)
    # Not echoed: an echo that comes late would undo what was typed meanwhile.
    drafts = traitlets.Dict().tag(sync=True, echo_update=False)
    says = traitlets.Dict().tag(sync=True)
    plain = ""  # what the card is, in a few words
    projects = False  # whether it can fill the screen
    quiet: tuple[str, ...] = ()  # acts that leave the note of the last one where it is
    way_in: WayIn | None = None  # where its lesson stands behind a gate

    def __init__(self, *, record: Record | None = None) -> None:
        self.record = record or record_here()
        self.note = ""
        self._count = 0
        page = text("explorer", "page") if self.projects else {}
        names = ("projector", "projector_label")
        super().__init__(says={name: page[name] for name in names if page})
        self.on_msg(lambda _widget, content, _buffers: self._heard(content))
        self.record.watch(self.told)
        watch_units(self.other_units)
        self.show()

    def parts(self) -> dict[str, Any]:
        """Return what stands on the card, by part; an empty part is left out."""
        raise NotImplementedError

    def acts(self) -> Mapping[str, Callable[[dict[str, Any]], None]]:
        """Return what the reader can do, by name."""
        raise NotImplementedError

    def stand_behind(self, way_in: WayIn) -> None:
        """Ask nothing until the way into the lesson is open."""
        self.way_in = way_in
        way_in.on_change.append(self.show)
        self.show()

    @property
    def shut(self) -> bool:
        """Whether its lesson is not open yet."""
        return self.way_in is not None and self.way_in.shut

    @property
    def called(self) -> str:
        """Who works here, in a sentence."""
        reader = self.record.reader
        if not reader.signed_in:
            return say("card", "nobody")
        codes = {"student": reader.student, "class_key": reader.class_key}
        if reader.pair:
            return say("card", "pair", partner=reader.pair, **codes)
        return say("card", "student", **codes)

    def swapping(self) -> dict[str, str] | None:
        """Return the button that lets the partner drive, where two work here."""
        partner = self.record.reader.pair
        text = say("card", "swap", partner=partner)
        return {"act": "swap", "text": text} if partner else None

    def told(self, line: dict[str, Any]) -> None:
        """Show the card again when somebody else works from now on."""
        if line["kind"] == "identity":
            self.show()

    def other_units(self) -> None:
        """Show the card again in the units that were chosen."""
        self.note = ""  # it may have a number in the old ones
        self.show()

    def show(self, *, focus: str = "") -> None:
        """Send the card's parts; ``focus`` names the part to go on in."""
        self._count += 1
        parts = self.parts()  # may find that the record is gone
        if self.shut:
            kept = {name: parts[name] for name in ALWAYS if name in parts}
            parts = {**kept, "intro": [say("way_in", "waits")]}
        parts, turn = self._with_turn(parts)
        note = " ".join(filter(None, (self.note, self.record.told, turn)))
        self.frame = {**parts, "note": note, "focus": focus, "count": self._count}

    def _with_turn(self, parts: dict[str, Any]) -> tuple[dict[str, Any], str]:
        """Return the parts, with the button to swap once a turn is over, and say so."""
        swap = self.swapping() if self.record.turn_over and not self.shut else None
        if not swap:
            return parts, ""
        others = [tool for tool in parts.get("tools") or [] if tool != swap]
        reader = self.record.reader
        told = say("card", "turn", student=reader.student, partner=reader.pair)
        return {**parts, "tools": [swap, *others]}, told

    def _heard(self, content: dict[str, Any]) -> None:
        shared = {"swap": lambda _: self._swap()}
        act = {**shared, **self.acts()}.get(content.get("act", ""))
        if act is None or self.shut:
            return
        if content["act"] not in self.quiet:
            self.note = ""
        try:
            act(content)
        except WorkbookError as refusal:
            self.note = refusal.spoken(unit_system().show)
            self.show()
        except Exception as error:
            # A callback's error would vanish from the reader's sight.
            self.note = say("card", "our_mistake", error=error)
            self.show()
            raise

    def _swap(self) -> None:
        """Let the partner drive, and say so."""
        if self.record.reader.pair:
            self.record.swap()
            self.note = self.called
            self.show()

    def _repr_mimebundle_(self, **kwargs: Any) -> Any:
        """Return the view; the plain text is the same for every reader."""
        plain = {"text/plain": say("card", "run_all", what=self.plain)}
        bundle = super()._repr_mimebundle_(**kwargs)
        if bundle is None:  # where a front end shows no widgets
            return plain
        data, metadata = bundle
        return {**data, **plain}, metadata
