// A lesson that is led: its parts open one after the other, a line at the side shows
// them all, and what tells an explorer's answer waits until something was seen there.
// Behind a gate, all parts but the first wait until it was passed, whatever is shown.
// The page reads how far an explorer is (`data-pw-state`) and whose work it is
// (`data-pw-whose`); where a reader stands is kept for this lesson and that reader.

const AFTER_SEEN = "after-seen"; // tag of a cell that tells what an explorer shows
export const PREDICT = "predict"; // tag of the cell with the explorer that it waits for
const WAY_IN = "way-in"; // tag of the cell that says whether a lesson is open
const OPENS = new Set(["seen", "known", "passed"]); // states of what is waited for
const PLACE = "pullwright:place"; // where a reader stands in a lesson
const ALL = "pullwright:all"; // whether this reader wants to see everything
const STATE = "[data-pw-state]";
const GROWS = 6000; // ms in which pictures and cards of a lesson come up
const HERE = 0.15; // share of the page's height above which a part is being read

/** Return the parts of a lesson: each begins with a cell that begins with a heading. */
export function partsOf(cells) {
  const parts = [];
  for (const [index, { source }] of cells.entries()) {
    const [, title] = /^## +(.+)/.exec(source) ?? [];
    if (!title) continue;
    parts.push({ title, ...shortened(title), first: index });
  }
  return parts;
}

/** Return number and name of a part: of "3 and 4 · Predict" they are 3–4 and Predict. */
function shortened(title) {
  const [numbers, ...rest] = title.split(" · ");
  const number = numbers.match(/\d+/g)?.join("–");
  return rest.length > 0 && number ? { number, name: rest.join(" · ") } : { name: title };
}

/** Return of each cell its part (-1 above them) and the cells it waits for: one that says
  whether the lesson is open (or null), then an explorer (or null). */
export function placed(cells, parts) {
  let part = -1;
  let gate = null;
  let explorer = null;
  return cells.map(({ tags }, index) => {
    if (parts[part + 1]?.first === index) part += 1;
    if (tags.includes(PREDICT)) explorer = index;
    if (tags.includes(WAY_IN)) gate = { index, part };
    const behind = gate !== null && part > gate.part ? gate.index : null;
    return { part, behind, waitsFor: tags.includes(AFTER_SEEN) ? explorer : null };
  });
}

/** Return what was kept in the browser; nothing where it keeps nothing. */
function kept(key) {
  try {
    return JSON.parse(localStorage.getItem(key));
  } catch {
    return null;
  }
}

function keepAt(key, value) {
  try {
    if (value === null) localStorage.removeItem(key);
    else localStorage.setItem(key, JSON.stringify(value));
  } catch {
    // A browser without storage forgets: nothing else is lost.
  }
}

/** Where a reader stands in a lesson, kept for each of its readers. */
export class Place {
  /** `whose` is "" until the reader's record has begun. */
  constructor(path, whose) {
    Object.assign(this, { path, whose, open: 0, at: 0, seen: [] });
    Object.assign(this, kept(this.key) ?? kept(this.before));
    if (whose) keepAt(this.before, null);
  }

  get key() {
    return `${PLACE}:${this.path}:${this.whose}`;
  }

  get before() {
    return `${PLACE}:${this.path}:`;
  }

  keep(change = {}) {
    const { open, at, seen } = Object.assign(this, change);
    keepAt(this.key, { open, at, seen });
  }

  /** Become another reader's, who has come as far, but has seen what they had seen. */
  passTo(whose) {
    keepAt(this.before, null);
    const { open } = this;
    const theirs = new Place(this.path, whose);
    this.whose = whose;
    this.keep({ open: Math.max(open, theirs.open), seen: theirs.seen });
  }
}

/** Return an id that nothing on the page has. */
function unused(name) {
  return `pw-${name}-${Math.random().toString(36).slice(2)}`;
}

function element(tag, name, parent, text = "") {
  const made = document.createElement(tag);
  made.className = name;
  made.textContent = text;
  parent.append(made);
  return made;
}

function button(name, parent, text, action) {
  const made = element("button", name, parent, text);
  made.type = "button";
  made.dataset.lmSuppressShortcuts = "true"; // its keys are its own
  made.addEventListener("click", action);
  return made;
}

/** The steps of one lesson on its panel. */
export class Steps {
  constructor(panel, says) {
    Object.assign(this, { panel, says, moved: false, begun: false, at: 0 });
    this.widgets = [...panel.content.widgets];
    const cells = this.widgets.map(({ model }) => ({
      source: model.sharedModel.getSource(),
      tags: model.getMetadata("tags") ?? [],
    }));
    this.parts = partsOf(cells);
    this.cells = placed(cells, this.parts);
    this.place = null; // until it is known whose it is
    this.all = kept(ALL) === true;
    this.makeLine();
    this.nameCells();
    this.makeMore();
    this.outer = panel.content.outerNode;
    panel.content.node.prepend(this.nav);
    this.outer.append(this.more);
    panel.addClass("pw-led");
    this.listen();
    this.show();
  }

  // What stands on the page -----------------------------------------------------

  makeLine() {
    const nav = document.createElement("nav");
    nav.className = "pw-course";
    nav.setAttribute("aria-label", this.says.steps);
    const turn = () => this.unfold(this.now.ariaExpanded !== "true");
    this.now = button("pw-course-now", nav, "", turn);
    this.list = element("ol", "", nav);
    const counted = this.parts.some(({ number }) => number);
    this.items = this.parts.map(({ number, name }, index) => {
      const item = element("li", "", this.list);
      const made = button("pw-part", item, "", () => this.goTo(index));
      const mark = number ?? (counted ? "•" : index + 1);
      const short = element("span", "pw-part-short", made, mark);
      if (!number) short.ariaHidden = "true";
      element("span", "pw-part-title", made, name);
      element("span", "pw-part-state", made);
      return made;
    });
    nav.addEventListener("keydown", (event) => this.key(event));
    for (const kind of ["pointerenter", "focusin"]) {
      nav.addEventListener(kind, () => this.putAway(false));
    }
    this.nav = nav;
    this.unfold(false);
  }

  /** Cells are read by the part they are in, and not as "Markdown Cell Content". */
  nameCells() {
    for (const [index, { part }] of this.cells.entries()) {
      const title = this.items[part]?.children[1];
      if (!title) continue;
      title.id ||= unused("part");
      this.widgets[index].node.setAttribute("aria-labelledby", title.id);
    }
  }

  makeMore() {
    const more = document.createElement("div");
    more.className = "pw-go-on";
    this.why = element("p", "", more);
    this.why.id = unused("why");
    this.why.setAttribute("role", "status");
    this.next = button("pw-go", more, "", () => this.goOn());
    this.next.setAttribute("aria-describedby", this.why.id);
    this.more = more;
  }

  /** On a narrow page the line is one button, which unfolds the list. */
  unfold(open) {
    this.now.ariaExpanded = String(open);
    this.nav.classList.toggle("pw-unfolded", open);
  }

  /** Once something was chosen the line is narrow again, until one comes back to it. */
  putAway(away) {
    this.nav.classList.toggle("pw-away", away);
    if (away) this.unfold(false);
  }

  /** Up and down, home and end go through the list; Escape folds it. */
  key(event) {
    const from = this.items.indexOf(document.activeElement);
    const end = this.items.length - 1;
    const to = { ArrowDown: from + 1, ArrowUp: from - 1, Home: 0, End: end };
    if (event.key === "Escape") {
      this.now.focus();
      this.putAway(true);
    } else if (from >= 0 && event.key in to) {
      event.preventDefault();
      this.items[to[event.key]]?.focus();
    }
  }

  // How far it is ---------------------------------------------------------------

  /** The last part that is open: the next one may wait for an explorer. */
  get reach() {
    const open = this.place?.open ?? 0;
    return Math.min(open, this.before((first) => this.waits(first)));
  }

  /** The last part that can be come to: `reach`, or all that is not behind a gate. */
  get last() {
    return this.all ? this.before((first) => this.barred(first)) : this.reach;
  }

  /** Return the last part before the first one that is shut. */
  before(isShut) {
    const shut = this.parts.findIndex(({ first }) => isShut(first));
    return (shut < 0 ? this.parts.length : shut) - 1;
  }

  /** Tell whether a cell stands behind a gate that was not passed yet. */
  barred(index) {
    return this.isMissing(this.cells[index].behind);
  }

  /** Tell whether a cell waits: behind a gate, or for what is to be seen. */
  waits(index) {
    return this.barred(index) || this.isMissing(this.cells[index].waitsFor);
  }

  /** Tell whether a cell is waited for, and was not passed and nothing seen there yet. */
  isMissing(index) {
    return index !== null && !this.place?.seen.includes(this.idOf(index));
  }

  idOf(index) {
    return this.widgets[index].model.id;
  }

  /** The gate or explorer that it waits for before it goes on, or null. */
  get missing() {
    const { last } = this;
    const next = this.parts[last + 1]?.first;
    const waiting = this.cells.find(
      ({ part }, index) => (part === last || index === next) && this.waits(index),
    );
    if (!waiting) return null;
    return this.isMissing(waiting.behind) ? waiting.behind : waiting.waitsFor;
  }

  /** Open and shut, mark the line, and say what comes next. */
  show() {
    const { last, all } = this;
    for (const [index, widget] of this.widgets.entries()) {
      const waits = all ? this.barred(index) : this.waits(index);
      widget.toggleClass("pw-shut", this.cells[index].part > last || waits);
    }
    this.mark();
    this.sayNext();
  }

  /** Say what comes next, or what it waits for. */
  sayNext() {
    const { last, missing, says } = this;
    const ends = last >= this.parts.length - 1;
    this.more.hidden = ends && (this.all || missing === null);
    const { title, first } = this.parts[last + 1] ?? {};
    this.next.textContent = ends ? says.to_explorer : says.next.replace("{title}", title);
    this.next.ariaDisabled = String(missing !== null);
    const why = !ends && this.barred(first) ? says.first_pass : says.first_see;
    this.why.textContent = missing === null ? "" : why;
  }

  /** Mark on the line what is done, what is here and what is ahead. */
  mark() {
    const { reach, last } = this;
    const here = Math.min(this.at, last);
    for (const [index, item] of this.items.entries()) {
      const state = index < reach ? "done" : index <= last ? "open" : "ahead";
      item.dataset.state = state;
      item.tabIndex = index === here ? 0 : -1;
      item.ariaDisabled = String(state === "ahead");
      item.ariaCurrent = index === here ? "step" : null;
      item.lastChild.textContent = this.says[state] ?? "";
    }
    this.now.textContent = this.parts[here]?.title ?? "";
  }

  // What a reader does ----------------------------------------------------------

  goTo(index) {
    this.moved = true;
    if (this.items[index].ariaDisabled !== "true") this.stand(index);
    this.putAway(true);
  }

  goOn() {
    const { missing, reach } = this;
    this.moved = true;
    if (missing === null) {
      this.place ??= new Place(this.panel.context.path, "");
      this.place.keep({ open: reach + 1 });
      this.at = reach + 1;
      this.show();
      this.stand(reach + 1);
    } else {
      const box = this.widgets[missing].node.querySelector(STATE);
      box?.scrollIntoView({ block: "center" });
      box?.querySelector("input, button")?.focus({ preventScroll: true });
    }
  }

  /** Go to the head of a part; what reads the page aloud goes on there. */
  stand(index, { focus = true } = {}) {
    const { node } = this.widgets[this.parts[index].first];
    this.at = index;
    node.scrollIntoView({ block: "start" });
    const head = node.querySelector("h2");
    if (focus && head) {
      head.tabIndex = -1;
      head.focus({ preventScroll: true });
    }
    this.place?.keep({ at: index });
    this.mark();
  }

  showAll(all) {
    this.all = all;
    keepAt(ALL, all || null);
    this.show();
  }

  // What happens on the page ----------------------------------------------------

  listen() {
    let frame;
    this.scrolled = () => {
      frame ??= requestAnimationFrame(() => {
        frame = undefined;
        this.look();
      });
    };
    this.outer.addEventListener("scroll", this.scrolled, { passive: true });
    // A notebook gives the focus back to its cell when it is anywhere else in it.
    for (const kind of ["focusin", "keydown"]) {
      for (const own of [this.nav, this.more]) own.addEventListener(kind, keep);
    }
    this.turned = new ResizeObserver(() => this.stayInSight());
    this.turned.observe(this.outer);
    this.touched = () => (this.moved = true);
    this.outside = ({ target }) => !this.nav.contains(target) && this.putAway(true);
    window.addEventListener("pointerdown", this.outside, true);
    for (const kind of ["wheel", "pointerdown", "keydown"]) {
      this.outer.addEventListener(kind, this.touched, { passive: true });
    }
    this.watch = new MutationObserver((changes) => {
      if (changes.some(tells)) this.read();
    });
    this.watch.observe(this.outer, {
      attributeFilter: ["data-pw-state", "data-pw-whose"],
      childList: true,
      subtree: true,
    });
    this.panel.disposed.connect(this.end, this);
  }

  /** How far the head of a part is below the upper edge of the page. */
  below(index) {
    const { node } = this.widgets[this.parts[index].first];
    return node.getBoundingClientRect().top - this.outer.getBoundingClientRect().top;
  }

  /** Keep the part that is being read where it is, when the page becomes wider or not. */
  stayInSight() {
    const { offsetWidth: width } = this.outer;
    if (this.width && this.width !== width && this.at > 0) {
      this.outer.scrollTop += this.below(this.at) - this.off;
    }
    this.width = width;
    this.scrolled();
  }

  /** Find the part that is being read. */
  look() {
    if (this.parts.length === 0) return;
    const { height } = this.outer.getBoundingClientRect();
    const atEnd = this.outer.scrollTop + height >= this.more.offsetTop;
    let at = 0;
    for (const [index, { first }] of this.parts.entries()) {
      const { offsetParent } = this.widgets[first].node;
      if (offsetParent && this.below(index) < height * HERE) at = index;
    }
    if (atEnd && this.at > at) at = this.at; // too short to reach the top
    this.off = this.below(at);
    if (at === this.at) return;
    this.at = at;
    if (this.moved) this.place?.keep({ at });
    this.mark();
  }

  /** Read from the explorers whose work this is, and what was seen in each. */
  read() {
    const states = this.cells.flatMap((_, index) => {
      const node = this.widgets[index].node.querySelector(STATE);
      return node ? [[index, node.dataset]] : [];
    });
    if (states.length === 0) return;
    const whose = states[0][1].pwWhose;
    this.place ??= new Place(this.panel.context.path, whose);
    if (whose && this.place.whose !== whose) this.place.passTo(whose);
    const opened = states.filter(([, { pwState }]) => OPENS.has(pwState));
    const seen = new Set([...this.place.seen, ...opened.map(([i]) => this.idOf(i))]);
    if (seen.size > this.place.seen.length) this.place.keep({ seen: [...seen] });
    this.show();
    this.settle();
  }

  /** Once the lesson runs: go back to where the reader stood. */
  settle(begun = this.begun) {
    this.begun = begun;
    if (!this.begun || this.settled || !this.place) return;
    this.settled = true;
    const at = Math.min(this.place.at, this.last);
    if (at > 0) this.stay(at);
  }

  /** Stand on a part while what is above it still grows, unless the reader moves. */
  stay(at) {
    const grows = new ResizeObserver(() => {
      if (this.moved || this.panel.isDisposed) grows.disconnect();
      else this.stand(at, { focus: false });
    });
    for (const { node } of this.widgets) grows.observe(node);
    setTimeout(() => grows.disconnect(), GROWS);
  }

  end() {
    this.watch.disconnect();
    this.turned.disconnect();
    this.outer.removeEventListener("scroll", this.scrolled);
    window.removeEventListener("pointerdown", this.outside, true);
    for (const kind of ["wheel", "pointerdown", "keydown"]) {
      this.outer.removeEventListener(kind, this.touched);
    }
  }
}

/** Tell whether a change of the page says how far an explorer is. */
function tells({ type, addedNodes }) {
  if (type === "attributes") return true;
  return [...addedNodes].some(holdsState);
}

function holdsState(node) {
  return node.matches?.(STATE) || node.querySelector?.(STATE);
}

/** Keep an event from the notebook round it. */
function keep(event) {
  event.stopPropagation();
}
