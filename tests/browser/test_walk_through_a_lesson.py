"""Lesson 08 from the first page to its exit question, by keyboard or by touch alone."""

import pytest

from workbook.course import lesson
from workbook.exercises import exercise, wording
from workbook.exercises.replay import variant_of
from workbook.language import say, text
from workbook.reader.record import FILE, Record

pytestmark = pytest.mark.browser

LESSON = lesson("08")
TITLE = text("lesson", "L08", "listed")["title"]
PARTS = [
    "1 · Recall", "2 · Feel it", "3 and 4 · Predict, then explore",
    "5 · Type what you saw", "6 · Name the idea", "7 · Worked example", "Bridles",
    "8 · Check by hand", "9 · Stop and think", "10 · Exit question",
]  # fmt: skip
FIRST = [
    "What you will be able to do", "Which way is plus", "Units", "Sign in, or practise",
]  # fmt: skip
STUDENT, CLASS_KEY = "K7", "oak"
PANEL = ".jp-NotebookPanel:not(.lm-mod-hidden)"
# Every pointer that touches the page, by its kind.
POINTERS = """window.pointers = new Set();
addEventListener("pointerdown", (e) => window.pointers.add(e.pointerType), true);"""
FOCUSED = "e => e === document.activeElement"
HERE = """() => {
    const e = document.activeElement;
    const name = e.ariaLabel || [...(e.labels ?? [])].map((l) => l.innerText).join(" ");
    return `${e.tagName} ${name || e.innerText || e.className}`.slice(0, 60);
}"""
# Tab goes round a whole page, the tools of JupyterLab among them.
MOST_TABS = 120


class Keyboard:
    """A reader who has a keyboard and nothing else."""

    def __init__(self, page):
        self.page, self.press = page, page.keyboard.press

    def go(self, part, *, back=False):
        """Press Tab until a part of the page has the focus."""
        part.wait_for(state="attached")
        trail = []
        for _ in range(MOST_TABS):
            self.press("Shift+Tab" if back else "Tab")
            if part.evaluate(FOCUSED):
                return
            trail.append(self.page.evaluate(HERE))
        pytest.fail(f"Tab never reached {part}, but {trail}")

    def use(self, part):
        """Go to a button or a link, and press it."""
        self.go(part)
        self.press("Enter")

    def choose(self, radio):
        """Go to the choices, and down them to one."""
        group = radio.locator("xpath=ancestor::fieldset").get_by_role("radio")
        self.go(group.first)
        self.press("Space")
        for _ in range(group.count()):
            if radio.is_checked():
                return
            self.press("ArrowDown")
        assert radio.is_checked()

    def write(self, box, words):
        """Type in a box, over what stands there."""
        if not box.evaluate(FOCUSED):
            self.go(box)
        self.press("ControlOrMeta+A")
        self.page.keyboard.type(words)
        self.press("Enter")


class Touch:
    """A reader with a finger, and the keyboard on the screen."""

    def __init__(self, page):
        self.page = page

    def use(self, part):
        """Tap a part of the page."""
        part.scroll_into_view_if_needed()
        part.tap()

    def choose(self, radio):
        """Tap a choice."""
        self.use(radio)
        assert radio.is_checked()

    def write(self, box, words):
        """Tap a box, and type over what stands there."""
        self.use(box)
        box.evaluate("box => box.select?.()")
        self.page.keyboard.type(words)
        self.page.keyboard.press("Enter")


def walk(page, reader, folder, look=lambda name: None):
    """Sign in, and go through the lesson, as a reader does."""
    panel = page.locator(PANEL)

    def go_on(title):
        reader.use(panel.get_by_role("button", name=f"Go on: {title}"))
        panel.get_by_role("heading", name=title, exact=True).wait_for()
        look(title.split()[0])

    panel.get_by_role("heading", name="00 · Start here").wait_for()
    for title in FIRST:
        go_on(title)
    reader.write(panel.get_by_label(say("sign_in", "student"), exact=True), STUDENT)
    reader.write(panel.get_by_label(say("sign_in", "class_key")), CLASS_KEY)
    who = {"class_key": CLASS_KEY, "student": STUDENT}
    panel.get_by_role("status").get_by_text(say("card", "student", **who)).wait_for()
    reader.use(page.get_by_role("link", name=f"08 {TITLE}"))
    panel.get_by_role("heading", name=f"08 · {TITLE}").wait_for()
    panel.locator("[data-pw-state]").first.wait_for(state="attached")
    look("opened")

    def part(name):
        return panel.locator(".pw-explorer").nth(0 if name == "slot" else 1)

    def predict(name, choice, see):
        ours = part(name)
        reader.choose(ours.get_by_role("radio").nth(choice))
        reader.use(ours.get_by_role("button", name=say("prediction", "lock")))
        look_box = ours.get_by_label(say("prediction", "look"))
        look_box.wait_for()
        reader.write(look_box, see)
        ours.locator("[data-pw-state=seen]").wait_for()

    for title in PARTS[:3]:
        go_on(title)
    predict("slot", 1, "218 mm")
    moved = part("slot").get_by_label("fork offset, plus to the left (mm), typed")
    reader.write(moved, "50")
    numbers = part("slot").locator(".pw-numbers")
    numbers.locator("tr", has_text="head moved to the left").get_by_text(
        "218 mm"
    ).wait_for()
    look("moved")
    go_on(PARTS[3])
    asks = text("lesson", "L08", "explorer", "slot", "readings", "side_angle")
    read = panel.locator(".pw-card", has=page.get_by_label(asks))
    reader.write(read.get_by_role("textbox"), "8.3 deg")
    read.get_by_role("status").get_by_text(say("reading", "there")).wait_for()
    for title in PARTS[4:7]:
        go_on(title)
    predict("bridle", 0, "12 kN")
    go_on(PARTS[7])
    go_on(PARTS[8])
    gate = panel.locator(".pw-card", has_text=say("gate", "title")).last
    [right] = [
        name for name, told in LESSON.gates[0].options.items() if told == "right"
    ]
    reader.choose(gate.get_by_role("radio", name=LESSON.gates[0].option(right)))
    reader.use(gate.get_by_role("button", name=say("gate", "submit")))
    gate.get_by_role("status").get_by_text(say("gate", "right")).wait_for()
    look("gate")

    go_on(PARTS[9])
    asked = variant_of(exercise(LESSON.exit), **who, set="exit")
    card = panel.locator(".pw-card").last
    answer = card.get_by_role("textbox")
    reader.write(answer.first, wording.answer_text(asked))
    card.get_by_role("status").get_by_text(say("outcome", "right")).wait_for()
    look("exit")
    kinds = [line["kind"] for line in Record(folder / FILE).mine("answer")]
    assert kinds == ["answer"]


@pytest.fixture
def new_reader(open_folder, lab):
    """Give a workbook whose reader has answered nothing."""
    lab.end_kernels()
    (lab.folder / FILE).unlink(missing_ok=True)
    return open_folder


@pytest.mark.long
def test_a_lesson_is_walked_by_keyboard_alone(lab, new_reader):
    page = lab.page
    page.add_init_script(POINTERS)
    page.goto(new_reader.address + "&reset")

    walk(page, Keyboard(page), lab.folder, look=lab.screenshot)

    assert page.evaluate("[...window.pointers]") == []


@pytest.mark.long
def test_a_lesson_is_walked_by_touch_alone(chromium, lab, new_reader):
    size = {"width": 390, "height": 800}
    with chromium.new_context(has_touch=True, viewport=size) as context:
        page = context.new_page()
        page.set_default_timeout(60_000)
        page.add_init_script(POINTERS)
        page.goto(new_reader.address + "&reset")

        def look(name):
            page.screenshot(path=lab.shots / f"{name}.png")

        walk(page, Touch(page), lab.folder, look=look)

        assert page.evaluate("[...window.pointers]") == ["touch"]
