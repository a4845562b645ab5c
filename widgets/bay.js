// The practice bay: a picture, one panel of acts, readings, what parts carry, the log.
// Everything shown comes from the kernel as `frame`; a part is built anew only when it
// changes. What is typed stays in `drafts` by act and part, done or refused.

import { fillScreen, lone, ownKeys } from "./keys.js";
import { button, element } from "./parts.js";
import { patch } from "./patch.js";

const DRAFT = 300; // ms without a key before the kernel is told what is typed
const PHONE = 520; // px, under which the picture is drawn for a narrow page
const LONG = 28; // letters of a choice that may be cut off
const BEAT = 220; // ms between two steps of the metal, played

// What stands in which column; on a narrow page one column is under the other.
const COLUMNS = {
  head: ["title", "intro"],
  seen: ["sketch", "bar", "told", "faults"],
  acts: ["panel"],
  found: ["readings", "shares", "log"],
  end: ["foot", "caution"],
};

const still = () => matchMedia("(prefers-reduced-motion: reduce)").matches;

// What is given in one part of a form.
function given(box) {
  if (box.dataset.how !== "several") return box.value;
  return [...box.querySelectorAll(":checked")].map((tick) => tick.value);
}

function putBack(box, value) {
  if (box.dataset.how !== "several") {
    if (box.tagName === "SELECT" && ![...box.options].some((one) => one.value === value)) return;
    box.value = value;
    box.dispatchEvent(new Event("put"));
    return;
  }
  for (const tick of box.querySelectorAll("input")) tick.checked = value.includes(tick.value);
}

// What is chosen, whole, where it may be cut off in its box.
function whole(box, parent) {
  const words = element("p", "pw-whole", parent);
  const say = () => (words.textContent = box.selectedOptions[0]?.textContent ?? "");
  for (const told of ["change", "put"]) box.addEventListener(told, say);
  say();
}

function partOf(spec, id, parent) {
  if (spec.how === "several") {
    const set = element("fieldset", "", parent);
    element("legend", "", set, spec.label);
    for (const [value, text] of spec.options) {
      const label = element("label", "pw-choice", set);
      Object.assign(element("input", "", label), { type: "checkbox", value });
      element("span", "", label, text);
    }
    return set;
  }
  element("label", "", parent, spec.label).htmlFor = id;
  const tag = { choice: "select", text: "textarea" }[spec.how] ?? "input";
  const box = element(tag, "", parent);
  box.id = id;
  if (tag === "select") {
    for (const [value, text] of spec.options) element("option", "", box, text).value = value;
    if (spec.options.some(([, text]) => text.length > LONG)) whole(box, parent);
  } else {
    Object.assign(box, { autocomplete: "off", spellcheck: false, value: spec.first });
    if (tag === "input") Object.assign(box, { type: "text", inputMode: "decimal" });
  }
  return box;
}

function rows(list, name, at) {
  const made = element(name, "", at);
  for (const text of list) element("li", "", made, text);
  return made;
}

function render({ model, el }) {
  el.classList.add("pw-card", "pw-bay");
  el.setAttribute("role", "group");
  ownKeys(el);
  const id = "pw" + Math.random().toString(36).slice(2);
  const built = {};
  const slots = {};
  let open = ""; // which act's form is open
  let waiting = 0;
  let beat = 0; // while the metal is played

  const grid = element("div", "pw-bay-grid", el);
  for (const [column, names] of Object.entries(COLUMNS)) {
    const made = element("div", `pw-bay-${column}`, grid);
    for (const name of names) slots[name] = element("div", `pw-bay-${name}`, made);
  }
  el.setAttribute("aria-labelledby", `${id}-title`);
  for (const name of ["told", "intro"]) slots[name].setAttribute("role", "status");

  function keep(act, part, value) {
    model.set("drafts", { ...model.get("drafts"), [`${act}/${part}`]: value });
    clearTimeout(waiting);
    waiting = setTimeout(() => model.save_changes(), DRAFT);
  }

  function form(spec, parent) {
    const made = element("form", "", parent);
    const boxes = {};
    for (const part of spec.parts) {
      const box = partOf(part, `${id}-${spec.act}-${part.name}`, made);
      Object.assign(box.dataset, { how: part.how, key: `${spec.act}/${part.name}` });
      const draft = model.get("drafts")[`${spec.act}/${part.name}`];
      if (draft !== undefined) putBack(box, draft);
      for (const told of ["input", "change"]) {
        box.addEventListener(told, () => keep(spec.act, part.name, given(box)));
      }
      boxes[part.name] = box;
    }
    if (spec.act === "people") element("p", "pw-quiet", made, model.get("frame").words.click);
    element("button", "pw-button", made, model.get("frame").words.do).dataset.key = `do ${spec.act}`;
    made.addEventListener("keydown", (event) => {
      if (event.key !== "Enter" || event.target.matches("button, textarea")) return;
      event.preventDefault(); // the notebook swallows what the browser would do
      made.requestSubmit();
    });
    made.addEventListener("submit", (event) => {
      event.preventDefault();
      stop();
      const values = {};
      for (const [name, box] of Object.entries(boxes)) values[name] = given(box);
      model.send({ act: "do", name: spec.act, given: values });
    });
    return made;
  }

  // One list of acts in the order of the job; the form of the open one under its name.
  function panel(groups, at) {
    element("h5", "", at, model.get("frame").words.panel);
    for (const { title, acts } of groups) {
      const group = element("div", "pw-acts", at);
      group.setAttribute("role", "group");
      group.setAttribute("aria-label", title);
      element("p", "pw-group", group, title);
      for (const spec of acts) {
        const name = element("button", "pw-act", group, spec.title);
        Object.assign(name, { type: "button", title: spec.why });
        name.dataset.key = spec.act;
        name.setAttribute("aria-disabled", String(Boolean(spec.why)));
        if (spec.why) {
          name.addEventListener("click", () => (slots.told.firstChild.textContent = spec.why));
          continue;
        }
        const shown = open === spec.act;
        name.setAttribute("aria-expanded", String(shown));
        name.addEventListener("click", () => {
          open = open === spec.act ? "" : spec.act;
          again("panel");
          el.querySelector(`[data-key="${open || spec.act}"]`)?.focus({ preventScroll: true });
          slots.panel.querySelector("form")?.scrollIntoView({ block: "nearest" });
        });
        if (shown) form(spec, group);
      }
    }
  }

  const go = (step) => model.send({ act: "go", step });
  function stop() {
    clearInterval(beat);
    beat = 0;
  }
  function play() {
    const { way } = model.get("frame");
    if (beat || !way) stop();
    else {
      let step = way.step >= way.most ? 0 : way.step;
      go(step);
      beat = setInterval(() => {
        step += 1;
        if (step >= way.most) stop();
        go(Math.min(step, way.most));
      }, BEAT);
    }
    again("bar");
  }

  function bar({ views, view, way, words }, at) {
    const seen = element("div", "pw-views", at);
    seen.setAttribute("role", "group");
    seen.setAttribute("aria-label", words.seen);
    for (const [name, text] of views) {
      const one = button(text, text, () => model.send({ act: "see", view: name }), seen);
      one.setAttribute("aria-pressed", String(name === view));
      one.dataset.key = `see ${name}`;
    }
    if (!way) return;
    const played = element("div", "pw-views", at);
    played.setAttribute("role", "group");
    played.setAttribute("aria-label", words.way);
    const put = (text, action, key) => (button(text, text, action, played).dataset.key = key);
    // Where motion is reduced there are stills, one step after the other.
    if (!still()) put(beat ? words.pause : words.play, play, "play");
    put(words.back, () => go(way.step - 1), "back");
    put(words.on, () => go(way.step + 1), "on");
    const said = words.at_step.replace("{step}", way.step).replace("{most}", way.most);
    element("span", "", played, said);
  }

  const makes = {
    title: ({ title, words }, at) => {
      element("h4", "", at, title).id = `${id}-title`;
      if (!words) return;
      const says = model.get("says");
      button(says.projector, says.projector_label, () => fillScreen(el), at);
    },
    intro: ({ intro }, at) => {
      for (const text of intro ?? []) element("p", "", at, text);
    },
    panel: (frame, at) => frame.panel && panel(frame.panel, at),
    bar: (frame, at) => frame.views && bar(frame, at),
    told: ({ note, done, givens }, at) => {
      element("p", note ? "pw-note" : "", at, note || done || "");
      const list = element("dl", "", at);
      for (const [name, value] of givens ?? []) {
        const one = element("div", "", list);
        element("dt", "", one, name);
        element("dd", "", one, value);
      }
    },
    readings: ({ readings, words }, at) => {
      if (!readings) return;
      element("h5", "", at, words.readings);
      if (readings.note) element("p", "", at, readings.note);
      if (!readings.rows.length) return;
      element("p", "pw-quiet", at, readings.unit);
      const scrolled = element("div", "pw-scrolled", at);
      Object.assign(scrolled, { tabIndex: 0, role: "group", ariaLabel: words.readings });
      const table = element("table", "", scrolled);
      const head = element("tr", "", element("thead", "", table));
      for (const text of readings.heads) element("th", "", head, text).scope = "col";
      const body = element("tbody", "", table);
      for (const [point, ...cells] of readings.rows) {
        const row = element("tr", "", body);
        element("th", "", row, point).scope = "row";
        for (const [value, outside] of cells) {
          const cell = element("td", outside ? "pw-outside" : "", row, value);
          if (outside) element("span", "pw-live", cell, ` ${readings.outside}`);
        }
      }
    },
    shares: ({ shares, words }, at) => {
      if (!shares?.length) return;
      element("h5", "", at, words.shares);
      const list = element("ul", "pw-scrolled", at);
      Object.assign(list, { tabIndex: 0, ariaLabel: words.shares });
      for (const { share, margin, text } of shares) {
        const one = element("li", share > margin ? "pw-past" : "", list, text);
        one.style.setProperty("--share", share);
        one.style.setProperty("--margin", margin);
      }
    },
    faults: ({ faults, words }, at) => {
      if (!faults?.length) return;
      element("h5", "", at, words.faults);
      rows(faults, "ul", at);
    },
    log: ({ log, may_undo, words }, at) => {
      if (!log) return;
      element("h5", "", at, words.log);
      const list = rows(log, "ol", at);
      Object.assign(list, { className: "pw-scrolled", tabIndex: 0, ariaLabel: words.log });
      list.scrollTop = list.scrollHeight;
      const undo = button(words.undo, words.undo_label, () => may_undo && model.send({ act: "undo" }), at);
      undo.setAttribute("aria-disabled", String(!may_undo));
      undo.dataset.key = "undo";
      if (log.length) {
        button(words.another, words.another_label, () => model.send({ act: "another" }), at).dataset.key = "another";
      }
    },
    foot: ({ kept }, at) => kept && element("p", "pw-quiet", at, kept),
    caution: ({ caution }, at) => {
      if (!caution) return;
      const fold = element("details", "", at);
      element("summary", "", fold, caution.summary);
      for (const text of caution.lines) element("p", "", fold, text);
    },
  };
  // What each part is made of: it is made again when one of these changes.
  const reads = {
    title: ["title"], intro: ["intro"], panel: ["panel"], bar: ["view", "way"],
    told: ["note", "done", "givens"], readings: ["readings"], shares: ["shares"],
    faults: ["faults"], log: ["log", "may_undo"], foot: ["kept"], caution: ["caution"],
  };

  function again(name) {
    built[name] = null;
    show();
  }

  function show() {
    const frame = model.get("frame");
    const key = el.contains(document.activeElement) ? document.activeElement.dataset.key : "";
    const top = slots.panel.scrollTop;
    for (const [name, make] of Object.entries(makes)) {
      const spec = JSON.stringify(reads[name].map((one) => frame[one] ?? null));
      if (built[name] === spec) continue;
      built[name] = spec;
      slots[name].replaceChildren();
      make(frame, slots[name]);
    }
    patch(slots.sketch, frame.sketch ?? "");
    slots.panel.scrollTop = top;
    el.dataset.frame = frame.count;
    if (!key || document.activeElement?.dataset.key === key) return;
    const to = el.querySelector(`[data-key="${CSS.escape(key)}"]`) ?? el.querySelector(`[data-key="${open}"]`) ?? el.querySelector(".pw-act");
    to?.focus({ preventScroll: true });
  }

  // Where somebody stands is pointed at in the picture of the whole bay.
  slots.sketch.addEventListener("click", (event) => {
    const { view, floor } = model.get("frame");
    const svg = slots.sketch.querySelector("svg");
    if (view !== "bay" || open !== "people" || !svg) return;
    const { x, y } = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
    const { width, height } = svg.viewBox.baseVal;
    const at = [x / width, y / height];
    const mm = floor.map(([from, to], k) => String(10 * Math.round((from + at[k] * (to - from)) / 10)));
    for (const [k, part] of ["forward", "left"].entries()) {
      const place = el.querySelector(`[data-key="people/${part}"]`);
      place.value = mm[k];
      keep("people", part, mm[k]);
    }
  });
  el.addEventListener("keydown", (event) => lone(event) === "p" && fillScreen(el));

  // The kernel draws for the room there is.
  let room = "";
  const sized = new ResizeObserver(([{ contentRect }]) => {
    if (!contentRect.width) return; // a cell out of sight
    let now = contentRect.width < PHONE ? "phone" : "page";
    if (document.fullscreenElement === el) now = "projector";
    if (now !== (room || "page")) model.send({ act: "fit", room: now });
    room = now;
  });
  sized.observe(el);

  model.on("change:frame", show);
  show();
  return () => {
    sized.disconnect();
    clearTimeout(waiting);
    stop();
    model.off("change:frame", show);
  };
}

export default { render };
