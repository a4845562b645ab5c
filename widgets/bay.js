// The practice bay: a picture, one panel of acts, readings, what parts carry, the log.
// Everything shown comes from the kernel as `frame`; a part is built anew only when it
// changes. What is typed stays in `drafts` by act and part, done or refused.

import { fillScreen, lone, ownKeys } from "./keys.js";
import { makeMoves } from "./moves.js";
import { button, element } from "./parts.js";
import { patch } from "./patch.js";

const DRAFT = 300; // ms without a key before the kernel is told what is typed
const PHONE = 520; // px, under which the picture is drawn for a narrow page
const LONG = 28; // letters of a choice that may be cut off
const STILL = 4; // px that a click may shake

// What stands in which column; on a narrow page one column is under the other.
const COLUMNS = {
  head: ["title", "intro"],
  seen: ["sketch", "bar", "told", "faults"],
  acts: ["panel"],
  found: ["readings", "shares", "log"],
  end: ["foot", "caution"],
};

// What is given in one part of a form.
function given(box) {
  if (box.dataset.how !== "several") return box.value;
  return [...box.querySelectorAll(":checked")].map((tick) => tick.value);
}

const partIn = (box) => box.dataset.key.split("/")[1];

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
    if (spec.asked) element("option", "", box, spec.asked).value = "";
    for (const [value, text] of spec.options) element("option", "", box, text).value = value;
    if (spec.options.some(([, text]) => text.length > LONG)) whole(box, parent);
  } else {
    Object.assign(box, { autocomplete: "off", spellcheck: false, value: spec.first });
    if (tag === "input") Object.assign(box, { type: "text", inputMode: "decimal" });
  }
  return box;
}

const top = (part) => part.getBoundingClientRect().top;

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
  let open = model.get("frame").opened ?? ""; // which act's form is open
  let last = open; // and where Tab stops among the acts
  let waiting = 0;

  const grid = element("div", "pw-bay-grid", el);
  for (const [column, names] of Object.entries(COLUMNS)) {
    const made = element("div", `pw-bay-${column}`, grid);
    for (const name of names) slots[name] = element("div", `pw-bay-${name}`, made);
  }
  const picture = element("div", "pw-picture", slots.sketch);
  const page = { drawn: element("div", "pw-drawn", picture), hand: element("div", "pw-hand", picture), bar: slots.bar };
  slots.bar.classList.add("pw-bar");
  const live = element("div", "pw-live", el);
  live.setAttribute("aria-live", "polite");
  const moves = makeMoves({
    model,
    page,
    says: model.get("says"),
    draw: ({ sketch }) => patch(page.drawn, sketch ?? ""),
    speak: (words) => (live.textContent = words),
  });
  el.setAttribute("aria-labelledby", `${id}-title`);
  for (const name of ["told", "intro"]) slots[name].setAttribute("role", "status");

  function keep(act, part, value) {
    model.set("drafts", { ...model.get("drafts"), [`${act}/${part}`]: value });
    clearTimeout(waiting);
    waiting = setTimeout(() => model.save_changes(), DRAFT);
  }

  function form(spec, parent) {
    const made = element("form", "", parent);
    for (const part of spec.parts) {
      const box = partOf(part, `${id}-${spec.act}-${part.name}`, made);
      Object.assign(box.dataset, { how: part.how, key: `${spec.act}/${part.name}` });
      const draft = model.get("drafts")[`${spec.act}/${part.name}`];
      if (draft !== undefined) putBack(box, draft);
      box.addEventListener("input", () => {
        keep(spec.act, part.name, given(box));
        if (spec.drawn) moves.set({ [part.name]: given(box) });
      });
    }
    if (spec.drawn) element("p", "pw-whole pw-ahead", made);
    if (spec.act === "people") element("p", "pw-quiet", made, model.get("frame").words.click);
    element("p", "pw-whole pw-came", made);
    element("button", "pw-button", made, model.get("frame").words.do).dataset.key = `do ${spec.act}`;
    made.addEventListener("keydown", (event) => {
      if (event.key !== "Enter" || event.target.matches("button, textarea")) return;
      event.preventDefault(); // the notebook swallows what the browser would do
      made.requestSubmit();
    });
    made.addEventListener("submit", (event) => {
      event.preventDefault();
      model.send({ act: "do", name: spec.act, given: filled() });
    });
  }

  // What stands in the open form, by part.
  const boxesOf = () => [...slots.panel.querySelectorAll("form [data-how]")];
  const filled = () => Object.fromEntries(boxesOf().map((box) => [partIn(box), given(box)]));

  function write(place, words) {
    const at = slots.panel.querySelector(place);
    if (at && at.textContent !== words) at.textContent = words;
  }

  // What a hand in the picture has set stands in the form too, and what was typed since
  // stays.
  function follow({ opened, given: set, ahead }) {
    if (opened !== open) return;
    for (const box of boxesOf()) {
      const value = moves.valueOf(partIn(box), set?.[partIn(box)]);
      if (typeof value !== "string" || value === box.value) continue;
      putBack(box, value);
      keep(open, partIn(box), value);
    }
    write(".pw-ahead", ahead);
  }

  // One list of acts in the order of the job; the form of the open one under its name.
  // Tab stops once in it, and arrows go from act to act.
  function panel(groups, at) {
    element("h5", "", at, model.get("frame").words.panel);
    element("p", "pw-quiet", at, model.get("frame").words.arrows);
    const all = groups.flatMap(({ acts }) => acts);
    const stopped = all.find(({ act }) => act === (open || last)) ?? all.find(({ why }) => !why);
    for (const { title, acts } of groups) {
      const group = element("div", "pw-acts", at);
      group.setAttribute("role", "group");
      group.setAttribute("aria-label", title);
      element("p", "pw-group", group, title);
      for (const spec of acts) {
        const name = element("button", "pw-act", group, spec.title);
        Object.assign(name, { type: "button", title: spec.why });
        name.dataset.key = spec.act;
        name.tabIndex = spec === stopped ? 0 : -1;
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
          model.send({ act: "open", name: open, given: filled() });
          el.querySelector(`[data-key="${open || spec.act}"]`)?.focus({ preventScroll: true });
          // The whole form, where the list of acts scrolls by itself.
          const now = slots.panel.querySelector('[aria-expanded="true"]');
          if (now) slots.panel.scrollTop += top(now) - top(slots.panel);
        });
        if (shown) form(spec, group);
      }
    }
  }

  const WAYS = { ArrowDown: (k) => k + 1, ArrowUp: (k) => k - 1, Home: () => 0, End: () => -1 };
  slots.panel.addEventListener("keydown", (event) => {
    const acts = [...slots.panel.querySelectorAll(".pw-act")];
    const to = WAYS[event.key]?.(acts.indexOf(event.target));
    if (to === undefined || !event.target.matches(".pw-act")) return;
    event.preventDefault();
    (acts.at(to) ?? acts[0]).focus();
  });
  slots.panel.addEventListener("focusin", ({ target }) => {
    if (!target.matches(".pw-act")) return;
    for (const act of slots.panel.querySelectorAll(".pw-act")) act.tabIndex = act === target ? 0 : -1;
    last = target.dataset.key;
  });

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
    title: ["title"], intro: ["intro"], panel: ["panel"],
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
    const scrolled = slots.panel.scrollTop;
    for (const [name, make] of Object.entries(makes)) {
      const spec = JSON.stringify(reads[name].map((one) => frame[one] ?? null));
      if (built[name] === spec) continue;
      built[name] = spec;
      slots[name].replaceChildren();
      make(frame, slots[name]);
    }
    patch(page.drawn, frame.sketch ?? "");
    picture.hidden = slots.bar.hidden = !frame.sketch;
    moves.show(frame);
    follow(frame);
    write(".pw-came", frame.note || (frame.did === open ? frame.done : ""));
    slots.panel.scrollTop = scrolled;
    el.dataset.frame = frame.count;
    if (!key || document.activeElement?.dataset.key === key) return;
    const to = el.querySelector(`[data-key="${CSS.escape(key)}"]`) ?? el.querySelector(`[data-key="${open}"]`) ?? el.querySelector(".pw-act");
    to?.focus({ preventScroll: true });
  }

  // Where somebody stands is pointed at in the picture; a drag turns it.
  let pressed = [0, 0];
  picture.addEventListener("pointerdown", ({ clientX, clientY }) => (pressed = [clientX, clientY]));
  picture.addEventListener("click", ({ clientX, clientY }) => {
    const { floor } = model.get("frame");
    if (open !== "people" || !floor || Math.hypot(clientX - pressed[0], clientY - pressed[1]) > STILL) return;
    const box = page.drawn.getBoundingClientRect();
    const at = [(clientX - box.left) / box.width, (clientY - box.top) / box.height, 1];
    for (const [k, part] of ["forward", "left"].entries()) {
      const mm = floor[k].reduce((sum, one, n) => sum + one * at[n], 0);
      const place = el.querySelector(`[data-key="people/${part}"]`);
      place.value = String(10 * Math.round(mm / 10));
      keep("people", part, place.value);
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
    moves.end();
    model.off("change:frame", show);
  };
}

export default { render };
