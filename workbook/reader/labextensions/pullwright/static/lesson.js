// A lesson that opens by itself: it runs, its tools are put away, the reader stays
// where they are. Only code that was shipped runs unasked: the server hands over what
// that is, with the words to say (workbook/reader/lesson_page.py). Any other notebook
// is left as it is; where the server hands over nothing, every notebook is.

import { Glossary } from "./glossary.js";
import { PREDICT, Steps } from "./steps.js";

const KEPT = "pullwright:code"; // whether this reader wants to see code
const VIEW = "application/vnd.jupyter.widget-view+json";
const START = "start"; // tag of a cell that says what to press where this is missing
const NO_SHORTCUTS = "data-lm-suppress-shortcuts"; // which JupyterLab looks for
const NARROW = "(max-width: 700px)";
const SINGLE = "single-document"; // how JupyterLab shows one thing alone
const WHILE = 150; // ms in which what is rendered together is marked up together

/** Return what the server hands over, or null. */
export function handedOver(page) {
  const data = page.querySelector("#jupyter-config-data");
  return (data && JSON.parse(data.textContent).pullwright) || null;
}

/** Return the code of a notebook, cell by cell; empty cells do not count. */
export function codeOf(cells) {
  return cells
    .filter((cell) => cell.type === "code")
    .map((cell) => cell.sharedModel.getSource())
    .filter((source) => source.trim());
}

/** Return whether a notebook is a lesson "as shipped", one "changed", or null. */
export function lessonIs(path, code, lessons) {
  const same = (shipped) =>
    shipped.length === code.length && shipped.every((one, i) => one === code[i]);
  if (Object.values(lessons).some(same)) return "as shipped";
  const name = path.split("/").pop();
  const [, first] = /^(.*?)(?: \(new(?: \d+)?\)|-Copy\d+)?\.ipynb$/.exec(name) ?? [];
  return `${first}.ipynb` in lessons ? "changed" : null;
}

/** Return the ids of the widgets that a code cell shows. */
export function widgetsOf(cell) {
  const outputs = cell.type === "code" ? cell.outputs.toJSON() : [];
  return outputs
    .map((output) => output.data?.[VIEW]?.model_id)
    .filter((id) => id !== undefined);
}

/** Return the widgets that the kernel of a session knows. */
export async function widgetsAlive(session) {
  const kernel = session.session?.kernel;
  if (!kernel) return null;
  const { content } = await kernel.requestCommInfo({ target_name: "jupyter.widget" });
  return new Set(Object.keys(content.comms ?? {}));
}

/** Tell whether a key would take a notebook apart or open a cell's source. */
function changesCells(event) {
  if (event.ctrlKey || event.metaKey || event.altKey) return false;
  const letter = event.key.length === 1 && event.key !== " ";
  return letter || ["Enter", "Delete", "Backspace"].includes(event.key);
}

/** Tell whether a change of the page is one of a rendered text. */
function isOfText({ target, addedNodes }) {
  return (
    target.closest(".jp-RenderedMarkdown") ||
    target.querySelector(":scope > .jp-RenderedMarkdown") ||
    [...addedNodes].some((node) => node.querySelector?.(".pw-parts"))
  );
}

/** Return a button that is pressed or not, and tells which it has become. */
function switchFor(text, turned) {
  const button = document.createElement("button");
  Object.assign(button, { type: "button", textContent: text });
  button.addEventListener("click", () => {
    const pressed = button.getAttribute("aria-pressed") !== "true";
    button.setAttribute("aria-pressed", String(pressed));
    turned(pressed);
  });
  return button;
}

/** One lesson on its panel. */
export class LessonPage {
  constructor(panel, { says, actions, widgets, glossary }) {
    Object.assign(this, { panel, says, actions, glossary });
    this.bar = new widgets.Widget({ node: this.made() });
    panel.addClass("pw-lesson");
    panel.contentHeader.addWidget(this.bar);
    // The layout gives a bar its least height and does not ask how long its line is.
    this.lines = new ResizeObserver(() => {
      this.bar.node.style.minHeight = `${Math.max(28, this.line.offsetHeight + 4)}px`;
      panel.contentHeader.fit();
    });
    this.lines.observe(this.line);
    this.showCode(localStorage.getItem(KEPT) === "shown");
    for (const cell of this.cells) {
      // JupyterLab calls the whole a feed, and a feed is made of articles.
      cell.node.setAttribute("role", "article");
      if (cell.model.getMetadata("tags")?.includes(START)) cell.addClass("pw-start");
    }
    actions.executed.connect(this.executed, this);
    panel.sessionContext.statusChanged.connect(this.status, this);
    panel.disposed.connect(this.end, this);
    this.guard = (event) => this.leaveAsRead(event);
    // JupyterLab listens on the document, and before what is inside of it.
    for (const kind of ["keydown", "dblclick"]) {
      window.addEventListener(kind, this.guard, true);
    }
    this.explainWords();
  }

  /** While code is hidden, keep single keys and double clicks from changing cells. */
  leaveAsRead(event) {
    const { target } = event;
    const shown = this.button.getAttribute("aria-pressed") === "true";
    if (shown || !this.panel.content.node.contains(target)) return;
    if (event.type === "dblclick") {
      // It would show the source of a text.
      if (target.closest(".jp-MarkdownCell")) event.stopImmediatePropagation();
    } else if (changesCells(event) && !target.hasAttribute(NO_SHORTCUTS)) {
      // The notebook's keys sleep for this one; those of what has the focus do not.
      target.setAttribute(NO_SHORTCUTS, "");
      setTimeout(() => target.removeAttribute(NO_SHORTCUTS));
    }
  }

  /** Give words their meaning, now and whenever a text is rendered. */
  explainWords() {
    let soon;
    const mark = () => {
      this.glossary.markUp(this.panel.node.querySelectorAll(".jp-RenderedMarkdown, .pw-parts"));
      this.watch.takeRecords(); // of what was marked
    };
    this.watch = new MutationObserver((changes) => {
      if (!changes.some(isOfText)) return;
      clearTimeout(soon);
      soon = setTimeout(mark, WHILE);
    });
    this.watch.observe(this.panel.node, { childList: true, subtree: true });
    mark();
  }

  get cells() {
    return [...this.panel.content.widgets];
  }

  made() {
    const node = document.createElement("div");
    node.className = "pw-lesson-bar";
    this.line = document.createElement("p");
    this.line.setAttribute("role", "status");
    this.button = switchFor(this.says.code, (shown) => {
      localStorage.setItem(KEPT, shown ? "shown" : "hidden");
      this.showCode(shown);
    });
    node.append(this.line, this.button);
    return node;
  }

  /** Tell whether a cell has a tag. */
  has(tag) {
    return this.cells.some(({ model }) => model.getMetadata("tags")?.includes(tag));
  }

  /** Lead through the lesson, with a switch that shows everything. */
  lead() {
    this.steps = new Steps(this.panel, this.says);
    const all = switchFor(this.says.everything, (shown) => this.steps.showAll(shown));
    all.setAttribute("aria-pressed", String(this.steps.all));
    this.button.before(all);
  }

  say(name) {
    this.line.textContent = name ? this.says[name] : "";
    this.panel.toggleClass("pw-starting", name === "starting");
  }

  showCode(shown) {
    this.button.setAttribute("aria-pressed", String(shown));
    this.panel.toggleClass("pw-with-code", shown);
    this.panel.toolbar.setHidden(!shown);
    for (const cell of this.cells) {
      if (cell.model.type === "code") cell.inputHidden = !shown;
    }
  }

  /** Put away what has lost its kernel, or all that may have before one is there. */
  hideLost(alive) {
    for (const cell of this.cells) {
      const ids = widgetsOf(cell.model);
      cell.toggleClass(
        "pw-lost",
        ids.some((id) => !alive?.has(id)),
      );
    }
  }

  /** Begin: run what was shipped, unless it runs already; else say what to press. */
  async begin(kind) {
    const { sessionContext, revealed } = this.panel;
    this.hideLost(null);
    if (kind === "as shipped") {
      this.say("starting");
      if (this.has(PREDICT)) this.lead(); // else a page to look something up
    }
    await Promise.all([sessionContext.ready, revealed]);
    const alive = await widgetsAlive(sessionContext);
    if (this.panel.isDisposed) return;
    this.hideLost(alive);
    const shown = this.cells.flatMap((cell) => widgetsOf(cell.model));
    const goesOn = shown.length > 0 && shown.every((id) => alive?.has(id));
    if (goesOn) this.say("");
    else if (kind === "changed") this.say("changed");
    else if (!alive) this.say("stopped");
    else await this.run();
    this.steps?.settle(true);
  }

  async run() {
    const { content, sessionContext } = this.panel;
    const at = content.outerNode.scrollTop;
    const done = this.actions.runCells(content, this.cells, sessionContext);
    requestAnimationFrame(() => (content.outerNode.scrollTop = at));
    this.say((await done) ? "" : "failed");
  }

  executed(_actions, { notebook, cell, success }) {
    if (notebook !== this.panel.content) return;
    cell.removeClass("pw-lost");
    if (success && cell.model.type === "code") this.say("");
  }

  status(_session, status) {
    if (!["restarting", "autorestarting", "dead"].includes(status)) return;
    this.hideLost(null);
    this.say("stopped");
  }

  end() {
    this.actions.executed.disconnect(this.executed, this);
    this.watch.disconnect();
    this.lines.disconnect();
    for (const kind of ["keydown", "dblclick"]) {
      window.removeEventListener(kind, this.guard, true);
    }
  }
}

/** Look after one notebook that was opened. */
export async function look(panel, { page, found = () => {}, ...tools }) {
  await panel.context.ready;
  const cells = [...panel.content.model.cells];
  const kind = lessonIs(panel.context.path, codeOf(cells), page.lessons);
  if (!kind || panel.isDisposed) return null;
  found();
  const lesson = new LessonPage(panel, { says: page.says, ...tools });
  await lesson.begin(kind);
  return lesson;
}

/** On a narrow page show a lesson alone, without the bars beside it, while it lasts.

  Another front end has no such bars, and one that began so keeps what it has. */
export function fitNarrow(shell, narrow) {
  if (!shell.toggleSideTabBarVisibility) return;
  let put = null; // what was put away
  const fit = () => {
    if (narrow.matches === Boolean(put)) return;
    if (!narrow.matches) {
      for (const side of put.sides) shell.toggleSideTabBarVisibility(side);
      shell.mode = put.mode;
      put = null;
      return;
    }
    const sides = ["left", "right"].filter((side) => shell.isSideTabBarVisible(side));
    put = { sides, mode: shell.mode };
    shell.collapseRight();
    for (const side of sides) shell.toggleSideTabBarVisibility(side);
    shell.mode = SINGLE;
  };
  narrow.addEventListener("change", fit);
  fit();
}

/** Return the plugin, made of what the application shares. */
export function plugin({ INotebookTracker, NotebookActions }, widgets) {
  return {
    id: "pullwright:lesson",
    autoStart: true,
    requires: [INotebookTracker],
    activate: (app, tracker) => {
      const page = handedOver(document);
      if (!page) return;
      const glossary = new Glossary(page.glossary);
      const style = document.createElement("link");
      Object.assign(style, { rel: "stylesheet", href: new URL("lesson.css", import.meta.url) });
      document.head.append(style);
      let first = true;
      const found = async () => {
        if (!first) return;
        first = false;
        await app.restored;
        app.shell.collapseLeft?.();
        fitNarrow(app.shell, matchMedia(NARROW));
      };
      const tools = { page, found, actions: NotebookActions, widgets, glossary };
      const opened = (panel) => look(panel, tools);
      tracker.forEach(opened);
      tracker.widgetAdded.connect((_tracker, panel) => opened(panel));
    },
  };
}
