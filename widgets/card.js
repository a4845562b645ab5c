// A card: a question, what is typed or chosen, and what is said about it.
// Everything shown comes from the kernel as `frame`; a part is built anew only
// when it changes, so typed text, choice and focus stay where they are.

import { startClock } from "./clock.js";
import { drawIt } from "./draw.js";
import { fillScreen, lone, ownKeys } from "./keys.js";
import { button, element } from "./parts.js";
import { pick } from "./pick.js";
import { setOut } from "./set_out.js";

const DRAFT = 300; // ms without a key before the kernel is told what is typed
// Other ways to write the text of an answer than one box, by the name of their part.
const EDITORS = { board: drawIt, parts: setOut, pick };

function paragraphs(texts, parent) {
  for (const text of texts) element("p", "", parent, text);
}

function folded({ summary, lines }, at) {
  const details = element("details", "", at);
  element("summary", "", details, summary);
  paragraphs(lines, details);
}

// The kernel's own drawing: nothing typed or read from a record is ever in it.
function picture(svg, parent) {
  const drawn = new DOMParser().parseFromString(svg, "image/svg+xml");
  const { width, height } = drawn.documentElement.viewBox.baseVal;
  drawn.documentElement.classList.toggle("pw-tall", height > 0.7 * width);
  drawn.documentElement.classList.toggle("pw-high", height > 0.6 * width);
  parent.append(document.importNode(drawn.documentElement, true));
}

// A lesson beside this one: JupyterLab opens it, elsewhere the browser goes there.
function toLesson({ text, file }, parent) {
  const link = element("a", "", parent, text);
  link.href = new URL(file, location.href).href;
  const [, path] = /\/(?:tree|notebooks)\/(.*)$/.exec(new URL(link.href).pathname) ?? [];
  if (!path) return;
  link.dataset.commandlinkerCommand = "docmanager:open";
  link.dataset.commandlinkerArgs = JSON.stringify({ path: decodeURIComponent(path) });
}

// Another card of the page, by the place it says it is.
function goTo(place) {
  const card = document.querySelector(`.pw-card[data-pw-place="${place}"]`);
  card?.scrollIntoView({ block: "start" });
  const box = card?.querySelector("input:not([type=hidden])");
  (box ?? card?.querySelector("a, button"))?.focus({ preventScroll: true });
}

// What stands before the box in which the same text can be typed.
function aside(label) {
  const made = element("div", "pw-aside");
  label.before(made);
  return made;
}

function render({ model, el }) {
  el.classList.add("pw-card");
  el.setAttribute("role", "group");
  ownKeys(el);
  const id = "pw" + Math.random().toString(36).slice(2);
  const slots = {};
  const built = {};
  const choice = {};
  let fields = 0;
  let begun = 0;
  let waiting = 0;
  let stopClock = null;

  const send = (act, content = {}) => {
    clearTimeout(waiting);
    const seconds = begun ? (performance.now() - begun) / 1000 : null;
    model.send({ act, seconds, ...content });
    begun = 0;
  };

  function keep(name, text) {
    begun ||= performance.now();
    model.set("drafts", { ...model.get("drafts"), [name]: text });
    clearTimeout(waiting);
    waiting = setTimeout(() => model.save_changes(), DRAFT);
  }

  function field(spec, parent) {
    const key = `${id}-${(fields += 1)}`;
    const kind = Object.keys(EDITORS).find((part) => part in spec);
    const name = spec.name;
    const label = spec.label && element("label", "", parent, spec.label);
    if (label) label.htmlFor = key;
    const input = element("input", "", parent);
    Object.assign(input, { id: key, type: label ? "text" : "hidden", autocomplete: "off" });
    input.value = model.get("drafts")[name] ?? "";
    input.spellcheck = false;
    input.dataset.field = name;
    if (kind) {
      const changed = (text) => {
        input.value = text;
        keep(name, text);
      };
      const put = EDITORS[kind](spec, label ? aside(label) : parent, key, changed, el);
      put(input.value);
      for (const told of ["put", "input"]) input.addEventListener(told, () => put(input.value));
    }
    input.addEventListener("focus", () => (begun ||= performance.now()));
    input.addEventListener("input", () => keep(name, input.value));
  }

  function radios({ act, legend, choices }, parent) {
    delete choice[act];
    const set = element("fieldset", "", parent);
    element("legend", "", set, legend);
    for (const [name, text] of choices) {
      const label = element("label", "pw-choice", set);
      const radio = element("input", "", label);
      Object.assign(radio, { type: "radio", name: `${id}-${act}`, value: name });
      radio.addEventListener("change", () => (choice[act] = name));
      element("span", "", label, text);
    }
  }

  function buttons(all, parent) {
    for (const { act, text } of all) {
      const made = element("button", "pw-button", parent, text);
      made.type = "button";
      made.dataset.key = act;
      made.addEventListener("click", () => send(act));
    }
  }

  function form(spec, parent) {
    const made = element("form", "", parent);
    if (spec.choices) radios(spec, made);
    for (const one of spec.fields ?? []) field(one, made);
    element("button", "pw-button", made, spec.submit).dataset.key = spec.act;
    buttons(spec.beside ?? [], made);
    made.addEventListener("keydown", (event) => {
      if (event.key !== "Enter" || event.target.matches("button")) return;
      event.preventDefault(); // the notebook swallows what the browser would do
      made.requestSubmit();
    });
    made.addEventListener("submit", (event) => {
      event.preventDefault();
      const typed = {};
      for (const input of made.querySelectorAll("[data-field]")) {
        typed[input.dataset.field] = input.value;
      }
      model.set("drafts", { ...model.get("drafts"), ...typed });
      model.save_changes();
      send(spec.act, { typed, choice: choice[spec.act] ?? null });
    });
  }

  const build = {
    nearby: ({ called, choices }, at) => {
      const ways = element("nav", "", at);
      ways.setAttribute("aria-label", called);
      for (const [place, text] of choices) {
        const made = element("button", "pw-button", ways, text);
        made.type = "button";
        made.addEventListener("click", () => goTo(place));
      }
    },
    title: (text, at) => element("h4", "", at, text).setAttribute("id", `${id}-title`),
    clock: (told, at) => (stopClock = startClock(element("p", "", at), told)),
    intro: paragraphs,
    givens: (rows, at) => {
      const list = element("dl", "", at);
      for (const [name, value] of rows) {
        element("dt", "", list, name);
        element("dd", "", list, value);
      }
    },
    sketch: picture,
    worked: ({ summary, open, steps }, at) => {
      const fold = element("details", "", at);
      fold.open = open;
      element("summary", "", fold, summary);
      const list = element("ol", "", fold);
      for (const { text, blank } of steps) {
        const step = element("li", "", list);
        if (!blank) {
          step.textContent = text;
          continue;
        }
        const hidden = element("details", "", step);
        element("summary", "", hidden, blank);
        element("p", "", hidden, text);
      }
    },
    wait: ({ text, link }, at) => toLesson(link, element("p", "", at, `${text} `)),
    form,
    result: ({ sign, lines }, at) => {
      if (sign) element("span", "pw-sign", at, sign).setAttribute("aria-hidden", "true");
      paragraphs(lines, element("div", "", at));
    },
    links: (all, at) => {
      const list = element("ul", "", at);
      for (const { text, file, tells } of all) {
        const row = element("li", "", list);
        toLesson({ text, file }, row);
        element("span", "", row, tells);
      }
    },
    because: folded,
    ask: form,
    hints: paragraphs,
    note: (text, at) => element("p", "pw-note", at, text),
    tools: buttons,
    foot: paragraphs,
    caution: folded,
  };
  for (const name of Object.keys(build)) {
    slots[name] = element("div", `pw-${name}`, el);
  }
  const says = model.get("says");
  const project = () => fillScreen(el);
  if (says.projector) {
    button(says.projector, says.projector_label, project, element("div", "pw-project", el));
    el.addEventListener("keydown", (event) => lone(event) === "p" && project());
  }
  el.setAttribute("aria-labelledby", `${id}-title`);
  const spoken = new Set(["result", "hints", "note"]); // read out on a change
  for (const name of spoken) slots[name].setAttribute("role", "status");

  const focused = () => (el.contains(document.activeElement) ? document.activeElement : null);
  const focus = (selector) => el.querySelector(selector)?.focus();

  function show() {
    const frame = model.get("frame");
    const had = focused();
    const key = had?.dataset.key;
    const name = had?.dataset.field;
    const said = frame.result && built.result !== JSON.stringify(frame.result);
    for (const [part, make] of Object.entries(build)) {
      const spec = JSON.stringify(frame[part] ?? null);
      if (built[part] === spec) continue;
      built[part] = spec;
      if (part === "clock") stopClock?.();
      slots[part].replaceChildren();
      if (frame[part]) make(frame[part], slots[part]);
      slots[part].hidden = !frame[part] && !spoken.has(part);
    }
    el.dataset.frame = frame.count;
    el.dispatchEvent(new Event("shown"));
    if (frame.place) el.dataset.pwPlace = frame.place;
    if (frame.state) Object.assign(el.dataset, { pwState: frame.state, pwWhose: frame.whose });
    if (!had) return; // never take the focus from elsewhere on the page
    if (said) slots.result.scrollIntoView({ block: "nearest" });
    if (frame.focus) focus(`.pw-${frame.focus} :is(input:not([type=hidden]), a)`);
    else if (!had.isConnected) {
      if (name) focus(`[data-field="${CSS.escape(name)}"]`);
      else if (key) focus(`[data-key="${key}"]`);
    }
    if (!focused()) focus("input:not([type=hidden]), button");
  }

  function drafted() {
    const drafts = model.get("drafts");
    for (const input of el.querySelectorAll("[data-field]")) {
      const text = drafts[input.dataset.field] ?? "";
      if (input.value === text) continue;
      input.value = text;
      input.dispatchEvent(new Event("put"));
    }
  }

  model.on("change:frame", show);
  model.on("change:drafts", drafted);
  show();
  return () => {
    clearTimeout(waiting);
    stopClock?.();
    model.off("change:frame", show);
    model.off("change:drafts", drafted);
  };
}

export default { render };
