"""One colour means one thing, in every explorer and every room."""

import pytest

from workbook.figures.drawing.marks import Label
from workbook.figures.drawing.rooms import ROOMS
from workbook.figures.drawing.styles import BLUE, GOLD, GREEN, PURPLE, RED, STYLES
from workbook.figures.drawing.views import VIEWS
from workbook.figures.pictures import subjects
from workbook.figures.subject import Look
from workbook.quantities.units import METRIC
from workbook.scenes.fields import starts

# What the marks of a role stand for. Whatever has a colour must be here.
STANDS_FOR = {
    "the chain that pulls": {
        *("pull leg", "take-up", "force pull", "bar pull"),
        *("pull core", "pull links", "pull text", "loading"),
    },
    "the ram": {"ram", "extension", "force ram", "bar ram", "ram text"},
    "the anchor leg": {
        *("anchor leg", "force anchor", "bar anchor"),
        *("anchor core", "anchor links", "anchor text"),
    },
    "what holds it to the bench": {
        *("anchor", "fork", "slot", "fork bar", "fork slot"),
        *("force support", "bar support", "support text", "cable", "reach"),
    },
    "a second pull or leg": {
        *("force second", "second leg", "bar second"),
        *("second core", "second links", "second text"),
    },
}
COLOURS = {
    "the chain that pulls": BLUE,
    "the ram": GREEN,
    "the anchor leg": RED,
    "what holds it to the bench": PURPLE,
    "a second pull or leg": GOLD,
}
LOADED = {
    "fire": {"cable": "to the bench"},
    "pull": {"ram_force_kn": 70},
    "arrow": {"second": "at the same point"},
    "anchoring": {"tie": "back", "rise_deg": 20},
}
WITHOUT_A_CHAIN = {"damage", "measuring", "final check"}


def sheets(name):
    subject = subjects()[name]
    solved = subject.solve({**starts(subject.fields), **LOADED.get(name, {})})
    for room in ROOMS.values():
        for view in (None, VIEWS["home"]):
            look = Look(
                system=METRIC,
                room=room,
                view=view,
                ghosts=[("I", solved)],
                extras=[*subject.extras],
            )
            yield from subject.sheets(solved, look).each


def coloured(role):
    """Return the colours of a role that are no grey and no ink."""
    style, hues = STYLES[role], [c["light"] for c in COLOURS.values()]
    parts = [part["light"] for part in (style.stroke, style.fill) if part]
    return {part for part in parts if part in hues}


@pytest.mark.parametrize("name", sorted(subjects()))
def test_every_colour_of_an_explorer_means_one_thing(name):
    meaning = {role: what for what, roles in STANDS_FOR.items() for role in roles}
    seen = set()
    for sheet in sheets(name):
        for panel in sheet.panels:
            for mark in panel.drawing.marks:
                for colour in coloured(mark.role):
                    what = meaning[mark.role]
                    assert colour == COLOURS[what]["light"], mark
                    seen.add(what)
    assert ("the chain that pulls" in seen) == (name not in WITHOUT_A_CHAIN)


def test_what_stands_for_one_thing_has_one_colour_and_no_role_two_meanings():
    roles = [role for found in STANDS_FOR.values() for role in found]
    assert len(roles) == len(set(roles))
    for what, found in STANDS_FOR.items():
        for role in found:
            assert coloured(role) == {COLOURS[what]["light"]}, role


def test_split_bars_and_triangle_go_in_the_order_of_the_rig_with_its_lines():
    pull = subjects()["pull"]
    beside = pull.beside(pull.solve(starts(pull.fields)), system=METRIC)
    bars, triangle = (panel.drawing.marks for panel in beside.panels)

    order = ["ram", "pull leg", "anchor leg"]
    boxes = [m for m in bars if not isinstance(m, Label)]
    arrows = [m for m in triangle if not isinstance(m, Label)]
    assert [m.name for m in boxes[:3]] == [f"bar {name}" for name in order]
    assert [m.name for m in arrows] == order
    for box, arrow, name in zip(boxes, arrows, order, strict=False):
        rig = STYLES[name]
        assert STYLES[box.role].stroke == STYLES[arrow.role].stroke == rig.stroke
        assert STYLES[box.role].dash == STYLES[arrow.role].dash == rig.dash


def test_what_pulls_across_is_explained_below_its_bar():
    pull = subjects()["pull"]
    solved = pull.solve(starts(pull.fields))
    for room in ROOMS.values():
        bars = pull.beside(solved, system=METRIC, room=room).panels[0].drawing
        note = next(m for m in bars.marks if m.name == "note")
        across = next(m for m in bars.marks if m.name == "label across")

        assert note.text.startswith("across: square to")
        assert note.at[1] < across.at[1]
