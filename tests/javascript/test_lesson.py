"""A lesson that opens: which notebook is one, what runs unasked, what is said."""

import json

import pytest

MODULE = "workbook/reader/labextensions/pullwright/static/lesson.js"
SAYS = {
    "starting": "los",
    "changed": "anders",
    "stopped": "aus",
    "failed": "schief",
    "code": "Kode",
    "everything": "alles",
    "steps": "Teile",
    "next": "weiter: {title}",
}
SHIPPED = {"08_fork.ipynb": ["a = 1", "a"], "09_sag.ipynb": ["b"]}
# A notebook on its panel, as far as a lesson looks at it; `session.alive` are the
# widgets its kernel knows, null where there is no kernel.
FAKES = """
class Signal {
  heard = [];
  connect(slot, self) { this.heard.push([slot, self]); }
  disconnect(slot) { this.heard = this.heard.filter(([one]) => one !== slot); }
  emit(sender, value) {
    for (const [slot, self] of [...this.heard]) slot.call(self, sender, value);
  }
}
class Classes {
  classes = new Set();
  addClass(name) { this.classes.add(name); }
  removeClass(name) { this.classes.delete(name); }
  toggleClass(name, on) { this[on ? "addClass" : "removeClass"](name); }
}
class Cell extends Classes {
  constructor({ type = "code", source = "", ids = [], tags }) {
    super();
    this.node = document.createElement("div");
    this.model = {
      type,
      id: source,
      sharedModel: { getSource: () => source },
      outputs: { toJSON: () => ids.map(shows) },
      getMetadata: (key) => (key === "tags" ? tags : undefined),
    };
  }
}
const VIEW = "application/vnd.jupyter.widget-view+json";
const shows = (id) => ({ data: { [VIEW]: { model_id: id } } });
window.panelOf = (path, cells, alive) => {
  const comms = Object.fromEntries((alive ?? []).map((id) => [id, {}]));
  const kernel = { requestCommInfo: async () => ({ content: { comms } }) };
  const widgets = cells.map((one) => new Cell(one));
  return Object.assign(new Classes(), {
    node: document.createElement("div"),
    context: { path, ready: Promise.resolve() },
    content: { widgets, model: { cells: widgets.map((w) => w.model) },
               node: document.body, outerNode: document.body },
    sessionContext: { ready: Promise.resolve(), statusChanged: new Signal(),
                      session: { kernel: alive ? kernel : null } },
    revealed: Promise.resolve(),
    disposed: new Signal(),
    toolbar: { setHidden(hidden) { this.isHidden = hidden; } },
    contentHeader: { addWidget: ({ node }) => document.body.append(node), fit() {} },
  });
};
window.actions = {
  executed: new Signal(), ran: [], success: true,
  async runCells(notebook, cells) {
    this.ran.push(cells.length);
    for (const cell of cells) {
      this.executed.emit(this, { notebook, cell, success: true });
    }
    return this.success;
  },
};
window.opened = async (path, cells, alive) => {
  window.panel = panelOf(path, cells, alive);
  const widgets = { Widget: class { constructor({ node }) { this.node = node; } } };
  const page = { lessons: SHIPPED, says: SAYS };
  window.glossary = { marked: 0, markUp() { this.marked += 1; } };
  window.lesson = await parts.look(panel, { page, actions, widgets, glossary });
};
"""
LESSON = [
    {"type": "markdown", "source": "a", "tags": ["start"]},
    {"source": "a = 1"},
    {"source": "a"},
    {"source": " \n"},  # which running past the end adds
]


@pytest.fixture
def opened(page):
    """Return a function that opens a notebook on a page of its own."""
    known = f"const SHIPPED = {json.dumps(SHIPPED)}, SAYS = {json.dumps(SAYS)};"
    page.evaluate(f"() => {{ {known} {FAKES} }}")

    def open_(path, cells, alive):
        page.evaluate("([p, c, a]) => opened(p, c, a)", [path, cells, alive])
        return page

    return open_


def line(page):
    return page.get_by_role("status").text_content()


def ran(page):
    return page.evaluate("actions.ran")


def lost(page):
    return page.evaluate("panel.content.widgets.map((w) => w.classes.has('pw-lost'))")


@pytest.mark.parametrize(
    ("path", "code", "kind"),
    [
        ("08_fork.ipynb", ["a = 1", "a"], "as shipped"),
        ("deep/mine.ipynb", ["a = 1", "a"], "as shipped"),
        ("08_fork.ipynb", ["a = 1"], "changed"),
        ("08_fork.ipynb", ["a = 1", "a", "a"], "changed"),
        ("deep/08_fork.ipynb", [], "changed"),
        ("08_fork (new).ipynb", ["x"], "changed"),
        ("08_fork (new 2).ipynb", ["x"], "changed"),
        ("08_fork-Copy1.ipynb", ["x"], "changed"),
        ("mine.ipynb", ["x"], None),
        ("mine.ipynb", [], None),
        ("08_fork.txt", ["x"], None),
    ],
)
def test_a_lesson_is_known_by_its_code_and_a_changed_one_by_its_name(
    page, path, code, kind
):
    said = page.evaluate(
        "([p, c, s]) => parts.lessonIs(p, c, s)", [path, code, SHIPPED]
    )

    assert said == kind


def test_what_the_server_hands_over_is_read_from_the_page(page):
    def handed(config):
        return page.evaluate(
            """(config) => {
                document.body.innerHTML = config;
                return parts.handedOver(document);
            }""",
            config,
        )

    kind = 'id="jupyter-config-data" type="application/json"'
    assert handed(f'<script {kind}>{{"pullwright": {{"a": 1}}}}</script>') == {"a": 1}
    assert handed(f'<script {kind}>{{"other": 1}}</script>') is None
    assert handed("") is None


def test_a_lesson_as_shipped_runs_unasked(opened):
    page = opened("08_fork.ipynb", LESSON, [])

    assert ran(page) == [4]
    assert line(page) == ""
    assert page.evaluate("panel.classes.has('pw-starting')") is False


def test_a_page_with_nothing_to_predict_is_not_led_through(opened):
    page = opened("08_fork.ipynb", LESSON, [])
    assert page.evaluate("lesson.steps") is None

    predicts = [{**cell, "tags": ["predict"]} for cell in LESSON]
    page = opened("08_fork.ipynb", predicts, [])
    assert page.evaluate("lesson.steps.parts") == []


def test_a_changed_lesson_is_left_alone_and_the_reader_told(opened):
    page = opened("08_fork.ipynb", [*LESSON, {"source": "print()"}], [])

    assert ran(page) == []
    assert line(page) == "anders"

    page.evaluate("actions.runCells({}, panel.content.widgets)")  # of another
    page.evaluate("""actions.executed.emit(actions,
        { notebook: panel.content, cell: lesson.cells[1], success: false })""")
    assert line(page) == "anders"
    page.evaluate("actions.runCells(panel.content, panel.content.widgets)")
    assert line(page) == ""


def test_a_notebook_that_is_no_lesson_is_not_touched(opened):
    page = opened("mine.ipynb", [{"source": "x"}], [])

    assert ran(page) == []
    assert page.evaluate(
        "[lesson, panel.classes.size, actions.executed.heard.length]"
    ) == [
        None,
        0,
        0,
    ]


def test_a_lesson_whose_kernel_lives_goes_on_where_it_was(opened):
    page = opened(
        "08_fork.ipynb", [{"source": "a = 1"}, {"source": "a", "ids": ["w"]}], ["w"]
    )

    assert ran(page) == []
    assert line(page) == ""
    assert lost(page) == [False, False]


def test_a_lesson_whose_kernel_died_runs_anew(opened):
    page = opened(
        "08_fork.ipynb", [{"source": "a = 1"}, {"source": "a", "ids": ["w"]}], ["v"]
    )

    assert ran(page) == [2]
    assert lost(page) == [False, False]


def test_what_a_changed_lesson_lost_is_hidden_until_it_runs(opened):
    cells = [
        {"source": "x", "ids": ["w"]},
        {"source": "y", "ids": ["v"]},
        {"source": "z"},
    ]
    page = opened("08_fork.ipynb", cells, ["v"])

    assert lost(page) == [True, False, False]
    page.evaluate("actions.runCells(panel.content, panel.content.widgets)")
    assert lost(page) == [False, False, False]


def test_without_a_kernel_the_reader_is_told_what_to_press(opened):
    page = opened("08_fork.ipynb", LESSON, None)

    assert ran(page) == []
    assert line(page) == "aus"


def test_a_kernel_that_starts_anew_hides_what_is_lost_and_says_so(opened):
    cells = [{"source": "a = 1"}, {"source": "a", "ids": ["w"]}]
    page = opened("08_fork.ipynb", cells, ["w"])

    page.evaluate("panel.sessionContext.statusChanged.emit(null, 'busy')")
    assert (line(page), lost(page)) == ("", [False, False])
    page.evaluate("panel.sessionContext.statusChanged.emit(null, 'autorestarting')")

    assert (line(page), lost(page)) == ("aus", [False, True])


def test_a_part_that_fails_is_said(opened):
    opened("mine.ipynb", [], []).evaluate("actions.success = false")

    page = opened("08_fork.ipynb", LESSON, [])

    assert line(page) == "schief"


def test_code_and_tools_come_with_one_button_and_the_choice_is_kept(opened):
    page = opened("08_fork.ipynb", LESSON, [])
    state = """[panel.classes.has('pw-with-code'), panel.toolbar.isHidden,
        lesson.cells[1].inputHidden]"""
    button = page.get_by_role("button", name="Kode")

    assert page.evaluate(state) == [False, True, True]
    button.click()
    assert page.evaluate(state) == [True, False, False]
    assert button.get_attribute("aria-pressed") == "true"
    page.evaluate("document.body.innerHTML = ''")
    opened("08_fork.ipynb", LESSON, [])

    assert page.evaluate(state) == [True, False, False]


def test_the_cell_that_says_what_to_press_is_marked(opened):
    page = opened("08_fork.ipynb", LESSON, [])

    marked = page.evaluate("lesson.cells.map((w) => w.classes.has('pw-start'))")

    assert marked == [True, False, False, False]


def test_a_closed_lesson_listens_to_nothing(opened):
    page = opened("08_fork.ipynb", LESSON, [])

    page.evaluate("panel.disposed.emit(panel)")

    assert page.evaluate("actions.executed.heard.length") == 0


def test_words_are_marked_at_once_and_when_a_text_is_rendered(opened):
    page = opened("08_fork.ipynb", LESSON, [])
    assert page.evaluate("glossary.marked") == 1

    def add(html):
        page.evaluate("html => { panel.node.innerHTML = html; }", html)
        page.clock.run_for(200)
        return page.evaluate("glossary.marked")

    assert add("<div class=other><p>ram</p></div>") == 1
    assert add("<div class=jp-RenderedMarkdown><p>ram</p></div>") == 2
    page.evaluate("panel.node.firstChild.append('and a leg')")
    page.clock.run_for(200)
    assert page.evaluate("glossary.marked") == 3
    assert add("<div><ul class=pw-parts><li>ram</ul></div>") == 4
    page.evaluate("panel.disposed.emit(panel)")
    assert add("<div class=jp-RenderedMarkdown></div>") == 4


# Returns whether the notebook's own shortcuts sleep, or the double click is lost.
PRESS = """([pressed, place]) => {
  document.body.insertAdjacentHTML("beforeend",
    `<div class="jp-Cell jp-MarkdownCell" id=cell><p id=text>x</p></div>
     <div class="jp-Cell"><input id=box></div>`);
  const at = document.querySelector(place);
  if (!pressed.key) {
    let heard = false;
    document.addEventListener("dblclick", () => (heard = true), { once: true });
    at.dispatchEvent(new MouseEvent("dblclick", { bubbles: true }));
    return !heard;
  }
  let sleep;
  const look = () => {
    sleep = at.hasAttribute("data-lm-suppress-shortcuts");
  };
  document.addEventListener("keydown", look, { once: true, capture: true });
  at.dispatchEvent(new KeyboardEvent("keydown", { bubbles: true, ...pressed }));
  return sleep;
}"""


@pytest.mark.parametrize(
    ("pressed", "place", "kept_away"),
    [
        ({"key": "d"}, "#cell", True),
        ({"key": "1"}, "#cell", True),
        ({"key": "Enter"}, "#cell", True),
        ({"key": "Delete"}, "#cell", True),
        ({"key": "d"}, "#box", True),
        ({"key": "d"}, "#elsewhere", False),
        ({"key": " "}, "#cell", False),
        ({"key": "ArrowDown"}, "#cell", False),
        ({"key": "s", "ctrlKey": True}, "#cell", False),
        ({"key": "s", "metaKey": True}, "#cell", False),
        ({}, "#text", True),
        ({}, "#box", False),
        ({}, "#elsewhere", False),
    ],
    ids=str,
)
def test_no_single_key_takes_a_lesson_apart_while_its_code_is_hidden(
    opened, pressed, place, kept_away
):
    page = opened("08_fork.ipynb", LESSON, [])
    page.evaluate(
        """() => document.documentElement.insertAdjacentHTML(
            "beforeend", "<p class=jp-MarkdownCell id=elsewhere>"
        )"""
    )

    assert page.evaluate(PRESS, [pressed, place]) is kept_away
    page.clock.run_for(50)
    assert page.locator("[data-lm-suppress-shortcuts]:not(button)").count() == 0


@pytest.mark.parametrize("pressed", [{"key": "d"}, {}], ids=["key", "double click"])
def test_with_code_shown_keys_are_the_notebooks(opened, pressed):
    page = opened("08_fork.ipynb", LESSON, [])
    button = page.get_by_role("button", name="Kode")

    assert page.evaluate(PRESS, [pressed, "#cell"]) is True
    page.clock.run_for(50)
    button.click()
    assert page.evaluate(PRESS, [pressed, "#cell"]) is False
    button.click()
    assert page.evaluate(PRESS, [pressed, "#cell"]) is True


def test_a_closed_lesson_guards_no_other(opened):
    page = opened("08_fork.ipynb", LESSON, [])

    page.evaluate("panel.disposed.emit(panel)")

    assert page.evaluate(PRESS, [{"key": "d"}, "#cell"]) is False
    assert page.evaluate(PRESS, [{}, "#text"]) is False


SHELL = """() => {
    const narrow = Object.assign(new EventTarget(), { matches: false });
    const shell = {
        bars: { left: true, right: true },
        mode: "multiple-document",
        right: "open",
        collapseRight() { this.right = "shut"; },
        isSideTabBarVisible(side) { return this.bars[side]; },
        toggleSideTabBarVisibility(side) { this.bars[side] = !this.bars[side]; },
    };
    Object.assign(window, { narrow, shell });
}"""
TURN = """(matches) => {
    narrow.matches = matches;
    narrow.dispatchEvent(new Event("change"));
    return [shell.mode, shell.bars.left, shell.bars.right];
}"""


def test_a_narrow_page_shows_the_lesson_alone_and_a_wide_one_what_was_there(page):
    page.evaluate(SHELL)
    page.evaluate("() => { shell.bars.right = false; parts.fitNarrow(shell, narrow); }")
    before = page.evaluate("[shell.mode, shell.bars.left, shell.bars.right]")
    assert before == ["multiple-document", True, False]

    assert page.evaluate(TURN, True) == ["single-document", False, False]
    assert page.evaluate(TURN, True) == ["single-document", False, False]
    assert page.evaluate(TURN, False) == before
    assert page.evaluate("parts.fitNarrow({ mode: 'its own' }, narrow)") is None


def test_a_page_that_is_narrow_from_the_start_shows_the_lesson_alone(page):
    page.evaluate(SHELL)
    page.evaluate("() => { narrow.matches = true; parts.fitNarrow(shell, narrow); }")

    shown = page.evaluate("[shell.mode, shell.bars.left, shell.bars.right]")
    assert shown == ["single-document", False, False]
    assert page.evaluate("shell.right") == "shut"
