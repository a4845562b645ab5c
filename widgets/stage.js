// The picture, its numbers and its words; keys and sizes around them.
// Everything shown comes from the kernel: each answer in one message, as `frame`,
// and what the page itself says, as `says`. The parts stand in the grid of the
// explorer, whose columns follow from its width.

import { anyHeld, keepHeld, markHeld } from "./held.js";
import { makeMoves } from "./moves.js";
import { fillScreen, lone, ownKeys } from "./keys.js";
import { nameParts } from "./names.js";
import { button, element } from "./parts.js";
import { patch } from "./patch.js";
import { prefs, remember } from "./prefs.js";
import { layoutFor, lettersFor, roomOf } from "./room.js";

const REST = 500; // ms without a change before a screen reader is told
const HEARD = 5000; // ms after which it has taken that up
const STEP = 0.25; // of text size, from 1 to 2.5
const LARGEST = 2.5;
const BUTTON_KEYS = /^[fr1-9]$/; // the kernel knows what they stand for

// What a single key stands for: nothing while somebody types or holds Ctrl.
export function meaning(event) {
  const key = lone(event);
  const own = { p: "project", c: "controls", "+": "larger", "-": "smaller" }[key];
  if (own) return own;
  return BUTTON_KEYS.test(key) ? { key } : null;
}

// The parts of the page, in the order in which Tab goes through them. What the
// kernel sends is put into some; `hand` and `bar` stay as they are.
function parts(el) {
  const picture = element("div", "pw-picture", el);
  return {
    picture: element("div", "pw-drawn", picture),
    refusal: element("div", "pw-over", picture),
    hand: element("div", "pw-hand", picture),
    three: element("div", "pw-three", el),
    loaded: element("div", "pw-loaded", el),
    bar: element("div", "pw-bar", el),
    beside: element("div", "pw-beside", el),
    words: element("div", "pw-words", el),
    more: element("div", "pw-more", el),
    numbers: element("div", "pw-numbers", el),
    live: element("div", "pw-live", el),
    why: element("div", "pw-why", el),
    tools: element("div", "pw-tools", el),
  };
}

const SENT = ["picture", "refusal", "three", "loaded", "beside", "words", "more", "numbers"];

function render({ model, el }) {
  const says = model.get("says");
  el.classList.add("pw-stage");
  const page = parts(el);
  page.live.setAttribute("aria-live", "polite");
  page.why.setAttribute("role", "status");
  let joined = null; // the explorer, once it is on the page
  const root = () => el.closest(".pw-explorer") ?? el;
  let rest = 0;
  let shown = {};

  // What was spoken is taken away again: the same words stand below the picture.
  let heard = 0;
  const speak = (words) => {
    page.live.textContent = words;
    clearTimeout(heard);
    heard = setTimeout(() => (page.live.textContent = ""), HEARD);
  };

  // Only what has changed is put on the page anew.
  function draw(sent) {
    for (const part of SENT) {
      if (sent[part] !== shown[part]) patch(page[part], sent[part]);
    }
    shown = sent;
  }

  const moves = makeMoves({ model, page, says, draw, speak });

  function show() {
    const frame = model.get("frame");
    const again = frame.spoken === shown.spoken;
    draw(frame);
    moves.show(frame);
    el.dataset.frame = frame.count;
    hold();
    if (again && rest) return;
    clearTimeout(rest);
    rest = setTimeout(() => {
      rest = 0;
      speak(frame.spoken);
      if (joined) nameParts(joined, says);
      hold(); // the notebook may have been slower than the picture
    }, REST);
  }

  function hold() {
    if (!joined) return;
    markHeld(joined, says.first);
    if (!anyHeld(joined)) page.why.textContent = "";
  }

  // Say under a part why it is held, until the reader goes on.
  function tellWhy(part) {
    const [at, all] = [part.getBoundingClientRect(), joined.getBoundingClientRect()];
    page.why.style.left = `${at.left - all.left}px`;
    page.why.style.top = `${at.bottom - all.top + joined.scrollTop + 4}px`;
    page.why.textContent = says.first;
    part.addEventListener("blur", () => (page.why.textContent = ""), { once: true });
  }

  function apply({ text, keys }) {
    root().style.setProperty("--pw-own-words", text);
    keysButton.setAttribute("aria-pressed", keys);
    keysButton.textContent = keys ? says.keys_on : says.keys_off;
    measure();
  }

  // Tell the kernel how large the picture's room and letters are, if they changed.
  function measure() {
    const width = root().clientWidth;
    if (!joined || !width) return; // not on the page, or out of sight
    const { text } = prefs();
    const layout = layoutFor(width, text);
    const room = roomOf(joined, layout);
    Object.assign(joined.dataset, { layout, room }); // first: the picture's width follows
    const widths = { shown: page.picture.clientWidth, drawn: model.get("widths")[room] };
    const letters = lettersFor(room, text, widths);
    if (room === model.get("room") && letters === model.get("letters")) return;
    model.set({ room, letters });
    model.save_changes();
  }

  // On a projector the controls are put away: keys go on from the button there.
  function projected() {
    const had = document.activeElement;
    joined.scrollTop = 0;
    measure();
    if (document.fullscreenElement === joined) {
      before = had;
      wall.focus();
    } else {
      before?.focus();
      before = null;
    }
  }

  const grow = (step) => {
    const text = Math.min(LARGEST, Math.max(1, prefs().text + step));
    apply(remember({ text }));
  };
  const act = {
    project: () => fillScreen(root()),
    larger: () => grow(STEP),
    smaller: () => grow(-STEP),
    controls: () => joined.dataset.room === "projector" && swap(),
  };
  const wall = button(says.projector, says.projector_label, act.project, page.tools);
  // Where split and controls do not stand side by side, one takes the other's place.
  const inTurn = button(says.controls, says.controls_label, swap, page.tools);
  inTurn.classList.add("pw-swap");
  function swap() {
    const open = joined.toggleAttribute("data-controls");
    inTurn.setAttribute("aria-pressed", open);
    const sliders = open ? [...joined.querySelectorAll(".pw-left [role=slider]")] : [];
    sliders.find((one) => one.getClientRects().length)?.focus();
  }
  button(says.smaller, says.smaller_label, act.smaller, page.tools);
  button(says.larger, says.larger_label, act.larger, page.tools);
  const switchKeys = () => apply(remember({ keys: !prefs().keys }));
  const keysButton = button(says.keys_on, says.keys_label, switchKeys, page.tools);

  function press(event) {
    if (event.key.startsWith("Page") && event.target.matches("[role=slider]")) {
      // The slider has just gone five steps; a page is ten.
      event.target.dispatchEvent(new KeyboardEvent("keydown", { key: event.key }));
    }
    const meant = meaning(event);
    if (!meant) return;
    if (meant.key && anyHeld(joined)) tellWhy(event.target);
    else if (meant.key) model.send(meant);
    else act[meant]();
    event.preventDefault();
  }

  let before = null; // what had the focus
  let letGo = null;
  const resized = new ResizeObserver(measure);
  const letOrHeld = new MutationObserver(hold); // what is held says so by its class
  function join() {
    if (!el.isConnected) {
      waiting = requestAnimationFrame(join);
      return;
    }
    joined = root();
    ownKeys(joined);
    joined.addEventListener("keydown", press);
    document.addEventListener("fullscreenchange", projected);
    resized.observe(joined);
    letOrHeld.observe(joined, { subtree: true, attributeFilter: ["class"] });
    letGo = keepHeld(joined, tellWhy);
    apply(prefs());
    nameParts(joined, says);
    hold();
  }
  let waiting = requestAnimationFrame(join);

  model.on("change:frame", show);
  show();
  return () => {
    cancelAnimationFrame(waiting);
    clearTimeout(rest);
    clearTimeout(heard);
    moves.end();
    resized.disconnect();
    letOrHeld.disconnect();
    letGo?.();
    model.off("change:frame", show);
    joined?.removeEventListener("keydown", press);
    document.removeEventListener("fullscreenchange", projected);
  };
}

export default { render };
