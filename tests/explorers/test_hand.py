"""The hand in the picture: what it moves, what it keeps still, from where it looks."""

import json
import re
import time
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from widgets import EXPLORERS, Explorer, PullExplorer
from widgets.play import steps_along
from workbook.errors import OutOfRangeError
from workbook.figures.pictures import subjects
from workbook.quantities.units import METRIC
from workbook.scenes.fields import Number
from workbook.scenes.setups import Setup
from workbook.scenes.strokes import strokes

PULL = subjects()["pull"]


class Page:
    """What a browser does with a stage: numbers its moves and reads the frames."""

    def __init__(self, explorer):
        self.explorer = explorer
        self.seq = 0
        self.steps = []
        explorer.stage.send = self.steps.append

    @property
    def frame(self):
        """The newest frame."""
        return self.explorer.stage.frame

    def move(
        self,
        *,
        view=None,
        phase="move",
        via="mouse",
        grab=1,
        since=None,
        way=None,
        **values,
    ):
        """Make a move; return the frame that answers it."""
        self.seq += 1
        said = {"seq": self.seq, "phase": phase, "via": via, "grab": grab}
        more = {"view": view, "values": values}
        more |= {} if since is None else {"since": since}
        more |= {} if way is None else {"way": way}
        self.explorer.stage._handle_custom_msg({"move": {**said, **more}}, [])
        assert self.frame["answers"] == self.seq
        return self.frame

    def grip(self, name):
        """Return a grip of the newest frame."""
        return next(grip for grip in self.frame["grips"] if grip["name"] == name)

    def play(self, first, steps, run=5):
        """Ask for steps of a stroke; return what was sent."""
        content = {"play": "stroke_mm", "first": first, "steps": steps, "run": run}
        self.explorer.stage._handle_custom_msg(content, [])
        return self.steps


@pytest.fixture
def explorer():
    return PullExplorer()


@pytest.fixture
def page(explorer):
    return Page(explorer)


class Lock:
    """A lock that is answered when a test says so."""

    answer = expected = None

    def __init__(self):
        self.widget = None
        self.on_lock = lambda: None


@pytest.fixture
def held():
    return Page(Explorer(PULL, lock=Lock()))


# ------------------------------------------------------------------- moves


def test_a_move_ends_where_the_slider_does(page, explorer):
    page.move(phase="start", fork_offset_mm=30)
    page.move(fork_offset_mm=40)
    page.move(phase="end", fork_offset_mm=50)

    other = PullExplorer()
    other.controls["fork_offset_mm"].slider.value = 50
    assert explorer.values == other.values
    assert explorer.code == other.code
    assert explorer.controls["fork_offset_mm"].slider.value == 50
    assert explorer.controls["fork_offset_mm"].box.value == "50"
    assert page.frame["numbers"] == other.stage.frame["numbers"]
    assert page.frame["values"]["fork_offset_mm"] == 50


def test_every_move_is_one_frame_and_the_slider_moves_the_hand_too(page, explorer):
    before = page.frame["count"]

    page.move(fork_offset_mm=30, lean_deg=12)
    assert page.frame["count"] == before + 1

    explorer.controls["extension_mm"].value = 325
    assert page.frame["count"] == before + 2
    assert page.frame["values"]["extension_mm"] == 325
    assert page.grip("head")["value"] == 325
    assert page.frame["answers"] == 1


def test_a_late_answer_of_a_slider_undoes_no_move_of_a_hand(
    page, explorer, monkeypatch
):
    now = SimpleNamespace(seconds=0.0)
    monkeypatch.setattr(time, "monotonic", lambda: now.seconds)
    control = explorer.controls["extension_mm"]
    for value in (325, 350, 675):
        page.move(phase="end", via="key", extension_mm=value)

    control.slider.value = 324.99999999999994  # as a browser says it
    assert control.value == control.slider.value == 675
    assert page.frame["values"]["extension_mm"] == 675

    control.slider.value = 650.0  # the reader's own
    assert control.value == 650

    page.move(phase="end", via="key", extension_mm=675)
    page.move(phase="end", via="key", extension_mm=700)
    now.seconds = 60.0  # long after: no answer any more
    control.slider.value = 675.0
    assert control.value == 675


def test_the_picture_is_sent_before_slider_and_box(page, explorer):
    sent, control = [], explorer.controls["fork_offset_mm"]
    for part, name in ((control.slider, "value"), (control.box, "value")):
        part.observe(lambda change: sent.append(change["owner"]), names=name)
    explorer.stage.observe(lambda change: sent.append(change["owner"]), names="frame")

    page.move(fork_offset_mm=110.0)

    assert sent == [explorer.stage, control.slider, control.box]


def test_a_value_beyond_the_limits_goes_to_them_and_is_kept_to_the_grain(
    page, explorer
):
    page.move(lean_deg=-4000)
    assert explorer.values["lean_deg"] == explorer.subject.fields["lean_deg"].low

    page.move(lean_deg=10.123)
    assert explorer.values["lean_deg"] == 10.1


def test_what_is_held_is_not_dragged_but_may_be_turned(held):
    before = held.explorer.values
    assert held.frame["still"] is True

    held.move(phase="start", fork_offset_mm=30, view="side")

    assert held.explorer.values == before
    assert held.frame["view"] == "side"
    assert held.play(0, 3) == []
    held.explorer.lock.answer = "said"
    held.explorer.lock.on_lock()
    assert held.frame["still"] is False
    held.move(fork_offset_mm=30)
    assert held.explorer.values["fork_offset_mm"] == 30


def test_a_refused_move_says_why_keeps_its_handles_and_is_left_again(page):
    page.move(phase="start", fork_offset_mm=200)
    page.move(fork_offset_mm=300)

    assert "swivels" in page.frame["refusal"]
    assert page.frame["grips"] is None
    assert page.frame["values"]["fork_offset_mm"] == 300
    page.move(phase="end", fork_offset_mm=50)
    assert page.grip("anchor")["value"] == 50


def test_a_drag_is_one_change_however_long_it_takes(page, explorer, clock):
    page.move(phase="start", fork_offset_mm=10)
    clock.seconds += 30
    page.move(fork_offset_mm=20)
    clock.seconds += 30
    page.move(phase="end", fork_offset_mm=50)

    label = explorer.subject.fields["fork_offset_mm"].label
    assert f"Changed: {label} went from 0 mm to 50 mm." in page.frame["spoken"]


def test_what_goes_back_has_not_changed(page, clock):
    page.move(phase="start", fork_offset_mm=10)
    page.move(phase="cancel", fork_offset_mm=0)

    assert "Changed" not in page.frame["spoken"]


# ------------------------------------------------- what stays while it moves


def rail(frame):
    """Return where the car is drawn."""
    found = re.findall(r'<polygon class="pw-body[^>]*>', frame["picture"])
    assert len(found) > 10
    return found


@pytest.mark.parametrize("via", ["mouse", "touch", "key", "slider"])
def test_car_and_scale_stand_still_until_it_rests(page, explorer, via):
    def move(value, phase):
        if via == "slider":
            explorer.controls["extension_mm"].value = value
        else:
            page.move(extension_mm=value, phase=phase, via=via)

    before = rail(page.frame)
    move(600, "start")
    move(900, "move")
    assert rail(page.frame) == before
    assert page.frame["moving"]

    if via in {"mouse", "touch"}:
        page.move(extension_mm=900, phase="end", via=via)
    else:
        page.move(phase="rest")
    assert not page.frame["moving"]
    assert rail(page.frame) != before
    assert (
        page.frame["picture"]
        == PullExplorer({"extension_mm": 900}).stage.frame["picture"]
    )


def test_a_hand_that_holds_still_is_not_at_rest(page):
    before = rail(page.frame)
    page.move(extension_mm=600, phase="start")
    page.move(phase="rest")
    page.move(extension_mm=900)

    assert rail(page.frame) == before


def test_labels_keep_their_places_while_a_hand_moves(page):
    def places():
        stage = page.explorer.stage
        return dict(stage._places["picture"])

    page.move(phase="start", extension_mm=325)
    jumps = 0
    for value in range(330, 430, 5):
        before = places()
        page.move(extension_mm=value)
        jumps += sum(before[name] != place for name, place in places().items())
    # Each of them anew at every step jumps three times as often, or more.
    alone = 0
    last = None
    for value in range(330, 430, 5):
        page.explorer.set(extension_mm=value)
        found = places()
        alone += sum(last[n] != p for n, p in found.items()) if last else 0
        last = found
    assert 3 * jumps < alone


# ----------------------------------------------------------------- the view


def test_the_view_is_no_part_of_the_set_up(page, explorer):
    explorer.freeze()
    code, numbers = explorer.code, page.frame["numbers"]
    pictures = {page.frame["picture"]}
    for view in ("side", "above", "front", {"az": 20, "el": 40}):
        page.move(view=view, via="view", phase="end")
        pictures.add(page.frame["picture"])
        assert page.frame["view"] == view
        assert page.frame["numbers"] == numbers
        assert "Changed" not in page.frame["words"]

    assert len(pictures) == 5
    assert explorer.code == code
    assert explorer.values == explorer.start
    assert page.explorer.frozen[0].values == explorer.start
    explorer.reset()
    assert page.frame["view"] == {"az": 20, "el": 40}


def test_a_hand_turns_no_further_than_it_may(page):
    far = page.move(view={"az": 300, "el": 300})["picture"]
    end = page.move(view={"az": 80, "el": 75})["picture"]
    less = page.move(view={"az": 80, "el": 74})["picture"]

    # Words may have moved on, from where they were.
    far, end, less = (
        re.sub(r'<text.*?</text>|<polyline class="pw-leader"[^>]*>', "", picture)
        for picture in (far, end, less)
    )
    assert far == end != less


def test_a_flat_picture_has_nothing_to_take(page):
    page.move(view="flat", via="view", phase="end")
    assert page.frame["grips"] == []
    flat = page.frame["picture"]

    page.move(view="home", via="view", phase="end")
    assert [grip["name"] for grip in page.frame["grips"]] == [
        *("anchor", "head", "base", "set-out line", "clamp")
    ]
    assert page.frame["picture"] != flat


@pytest.mark.parametrize(
    "nonsense",
    ["behind", {}, {"az": 1}, {"az": "x", "el": 1}, {"az": float("nan"), "el": 1}, 7],
)
def test_a_browser_that_remembers_nonsense_sees_what_it_saw(page, nonsense):
    before = page.frame["picture"]

    page.move(view=nonsense, via="view", phase="end")

    assert page.frame["picture"] == before
    assert page.frame["view"] == "home"


@pytest.mark.parametrize("name", EXPLORERS)
def test_a_subject_is_turned_where_it_is_spatial(name):
    explorer = EXPLORERS[name]()
    spatial = subjects()[name].in_space is not None

    assert bool(explorer.stage.space) == spatial
    if spatial:
        views = explorer.stage.space["views"]
        assert [*views] == ["home", "side", "above", "front", "flat"]
        assert views["side"] == {"az": -35, "el": 5}
        assert views["flat"] is None
        assert explorer.stage.space["limits"] == {"az": 80, "el": [5, 75]}
    frame = Page(explorer).move(view="side", via="view", phase="end")
    assert "<svg" in frame["picture"]


# ----------------------------------------------------------------- the grips


def test_a_grip_has_the_steps_limits_and_words_of_its_slider(page, explorer):
    for grip in page.frame["grips"]:
        control = explorer.controls[grip["field"]]
        assert (grip["low"], grip["high"]) == (control.field.low, control.field.high)
        assert grip["step"] == control.field.step
        assert grip["grain"] == control.field.grain
        assert grip["value"] == control.value
        assert all(0 < at < 1 for at in grip["at"])
    assert page.grip("head")["text"] == "300 mm"
    assert page.grip("anchor")["text"] == "0 mm, slot 6 of 11"
    page.move(fork_offset_mm=50)
    assert page.grip("anchor")["text"] == "50 mm, slot 7 of 11"
    page.move(fork_offset_mm=63)
    assert page.grip("anchor")["text"] == "63 mm, between two slots"


def test_a_grip_speaks_the_readers_units(page, explorer):
    explorer.use_units("lbf-inch")
    head = page.grip("head")

    assert head["text"] == "11.81 in"
    assert head["shown"] == {
        "per": pytest.approx(1 / 25.4),
        "places": 2,
        "ending": " in",
    }
    assert head["step"] == pytest.approx(0.25 * 25.4)
    assert page.grip("set-out line")["shown"]["ending"] == "°"


def test_a_frame_is_plain_data(page):
    json.dumps(page.frame)
    json.dumps(page.explorer.stage.space)


# ------------------------------------------------------------- the stroke


def test_a_stroke_is_told_where_there_is_one(page):
    stroke = page.frame["stroke"]

    assert (stroke["field"], stroke["value"]) == ("stroke_mm", 0)
    assert (stroke["low"], stroke["high"], stroke["step"]) == (0, 300, 5)
    assert Page(EXPLORERS["roller"]()).frame["stroke"] is None


def test_played_steps_show_what_the_field_would_and_move_nothing(page, explorer):
    sent = page.play(0, 4)

    assert explorer.values["stroke_mm"] == 0
    assert [one["run"] for one in sent] == [5] * 4
    assert [one["step"]["value"] for one in sent] == [0, 5, 10, 15]
    other = Page(PullExplorer())
    for one in sent:
        other.move(via="play", stroke_mm=one["step"]["value"])
        for part in ("three", "numbers"):
            assert one["step"][part] == other.frame[part]
        assert one["step"]["picture"].count("<") == pytest.approx(
            other.frame["picture"].count("<"), abs=4
        )
    assert len({one["step"]["picture"] for one in sent}) == 4
    assert len({one["step"]["three"] for one in sent}) == 4


def test_a_stroke_is_over_where_the_rig_stands_no_longer(page, explorer):
    whole = page.play(0, 100)

    last = whole[-2]["step"]["value"]
    assert whole[-1] == {"run": 5, "over": True}
    explorer.set(stroke_mm=last)
    assert explorer.result is not None
    if last < explorer.subject.fields["stroke_mm"].high:
        explorer.set(stroke_mm=last + 5)
        assert explorer.result is None


def test_the_end_of_what_was_played_is_one_sentence_with_first_and_last(page, explorer):
    explorer.set(fork_offset_mm=50)
    first = explorer.result
    page.move(via="play", phase="end", since=0.0, stroke_mm=100)

    show = explorer.system.show
    ends = [show(one.pull.side_angle, "angle") for one in (first, explorer.result)]
    assert ends[0] != ends[1]
    spoken = page.frame["spoken"]
    assert f"from {ends[0]} to {ends[1]}." in spoken
    assert spoken.count(".") <= 4  # two of them decimal points
    assert page.frame["words"] != spoken


def test_stills_stand_on_one_picture(page):
    page.explorer.stage._handle_custom_msg({"stills": "stroke_mm"}, [])

    (sent,) = page.steps
    assert sent["stills"]["picture"].count("<svg") == 1
    for percent in (0, 25, 50, 75, 100):
        assert f"{percent} %" in sent["stills"]["picture"]
    assert page.explorer.frozen == []


def test_every_number_that_is_told_is_one_of_the_fields(page):
    numbers = {n for n, f in PULL.fields.items() if isinstance(f, Number)}

    assert page.frame["values"].keys() == numbers


def test_a_stroke_goes_no_further_than_its_first_refusal(page):
    def refuses(values):
        if np.ndim(values["stroke_mm"]) == 0 and values["stroke_mm"] == 10:
            raise OutOfRangeError("linkage.path", clamp="", points=0, substeps=0)
        return PULL.solve(values)

    subject, look = replace(PULL, solve=refuses), page.explorer._look(rest=None)
    steps = steps_along(subject, page.explorer.values, first=0, steps=6, look=look)

    assert [step.value for step in steps] == [0, 5]


def test_a_stroke_is_played_with_a_clamp_that_stays_and_one_that_follows(page):
    page.explorer.set(fork_offset_mm=100)
    assert page.frame["stroke"]["ways"] == [
        ["stays", "clamp stays"],
        ["follows", "clamp follows"],
    ]
    assert page.frame["stroke"]["way"] == "stays"
    stays = [sent["step"] for sent in page.play(0, 100) if "step" in sent]

    page.steps.clear()
    page.move(via="typed", phase="end", way="follows", stroke_mm=0)
    follows = [sent["step"] for sent in page.play(0, 100) if "step" in sent]

    assert [s["value"] for s in stays] == [s["value"] for s in follows]
    assert "200 mm" not in stays[-1]["words"]
    assert stays[0]["three"] == follows[0]["three"]
    assert stays[-1]["three"] != follows[-1]["three"]  # their directions drift apart
    played = strokes(Setup(values=page.explorer.values), steps=41)
    rise = METRIC.show(played.pull.rise[-1], "angle")
    assert rise in follows[-1]["three"]
    assert rise not in stays[-1]["three"]
    assert len({s["picture"] for s in follows}) == len(follows)


def test_what_a_following_clamp_has_done_stays_in_sight_and_is_said(page):
    explorer = page.explorer
    code = explorer.code
    page.move(via="play", phase="end", since=0.0, way="follows", stroke_mm=100)

    said = page.frame["words"]
    assert "The clamp has followed the pull by 1" in said
    assert "The stroke was played." in page.frame["spoken"]
    assert explorer.result.followed == pytest.approx(0.1, abs=0.03)
    assert "way of the clamp" in marks_of(explorer)

    # A move of something else goes on from there; what brings a set-up does not.
    page.move(fork_offset_mm=50)
    assert explorer.result.followed > 0.05
    page.move(phase="end", stroke_mm=0)
    assert "followed" not in page.frame["words"]
    assert "way of the clamp" not in marks_of(explorer)
    page.move(phase="end", stroke_mm=100)
    explorer.restore(code)
    assert page.frame["stroke"]["way"] == "stays"
    assert explorer.result.followed == 0


def test_stills_show_a_following_clamp_on_its_way(page):
    wish = {"stills": "stroke_mm"}
    page.explorer.stage._handle_custom_msg(wish, [])
    page.move(via="typed", phase="end", way="follows", stroke_mm=0)
    page.explorer.stage._handle_custom_msg(wish, [])

    stays, follows = (sent["stills"]["picture"] for sent in page.steps)
    ghosts = re.compile(r'class="pw-ghost"[^>]*points="([^"]*)"')
    clamps = [{line.split()[0] for line in ghosts.findall(p)} for p in (stays, follows)]
    assert [len(one) for one in clamps] == [1, 5]  # where each of the stills begins


def test_a_held_explorer_lets_no_clamp_follow(page):
    page.explorer.lock = Lock()

    page.move(via="typed", phase="end", way="follows", stroke_mm=0)

    assert page.frame["stroke"]["way"] == "stays"


def test_car_and_scale_stand_still_while_the_clamp_follows(page):
    page.explorer.set(fork_offset_mm=100)
    page.move(via="typed", phase="end", way="follows", stroke_mm=0)
    first, *_, last = (sent["step"] for sent in page.play(0, 100) if "step" in sent)

    def drawn(step, role):
        return re.findall(rf'<poly\w+ class="pw-{role}"[^>]*>', step["picture"])

    for still in ("body-side", "body-glass", "bench-top"):
        assert drawn(first, still) == drawn(last, still) != []
    assert drawn(first, "pull-core") != drawn(last, "pull-core")


def marks_of(explorer):
    """Return the names of the marks in sight of what an explorer shows in space."""
    sheets = explorer.subject.sheets(explorer.result, explorer._look(rest=None))
    (panel, *_) = sheets.picture.panels
    return {mark.name for mark in panel.drawing.seen}
