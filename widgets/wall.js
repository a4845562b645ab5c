// What an instructor puts on the wall: script and picture fill the screen together.
// Keys work from anywhere on the page, as a presenter's remote sends them; over the
// picture stands one line of the script, and below it, until the next key, what to say.

import { startClock } from "./clock.js";
import { fillScreen, lone, ownKeys } from "./keys.js";
import { button, element } from "./parts.js";

const PAGES = { PageDown: "on", PageUp: "back" };
const ARROWS = { ArrowDown: 240, ArrowUp: -240 }; // px
const WRITTEN_IN = "textarea, [contenteditable=true]"; // where a page key scrolls
const COUNTED = ".pw-teach .pw-form input"; // no count has a letter in it
const [FILL, SCRIPT, CONTROLS] = ["p", "s", "c"]; // what the page does itself

function render({ model, el }) {
  el.classList.add("pw-wall");
  ownKeys(el);
  const says = model.get("says");
  const line = element("p", "pw-clock", el);
  const voted = element("p", "pw-voted", el);
  const next = button(says.next, says.next_label, () => act(model.get("frame").next.act), el);
  const whole = button(says.script, says.script_label, () => act(SCRIPT), el);
  button(says.controls, says.controls_label, () => act(CONTROLS), el);
  const said = element("p", "pw-said", el);
  said.addEventListener("click", () => act(""));
  whole.setAttribute("aria-pressed", "false");
  let stop = null;
  let shown = null;

  const room = () => el.closest(".pw-class");
  // Whether a key is for this view: not in another notebook, a menu or a dialog.
  function here({ target }) {
    const all = room();
    if (!all?.getClientRects().length) return false;
    const page = all.closest(".jp-Document") ?? document.body;
    return target === document.body || page.contains(target);
  }

  // Who works elsewhere on the page is left there.
  const mine = () => here({ target: document.activeElement ?? document.body });

  function meant(event) {
    if (event.target.matches(WRITTEN_IN)) return "";
    if (event.ctrlKey || event.metaKey || event.altKey) return "";
    const counting = event.target.matches(COUNTED) && event.key.length === 1;
    const key = counting && /\p{L}/u.test(event.key) ? event.key.toLowerCase() : lone(event);
    if (event.key in PAGES) return PAGES[event.key];
    return model.get("frame").keys.includes(key) ? key : "";
  }

  // Put the controls in the place of what stands beside the picture, or away again.
  function openControls() {
    const all = [...room().querySelectorAll(".pw-explorer")];
    all.find((one) => one.getClientRects().length)?.querySelector(".pw-swap").click();
  }

  function act(name) {
    room().removeAttribute("data-said");
    if (name === FILL) fillScreen(el);
    else if (name === SCRIPT) whole.setAttribute("aria-pressed", room().toggleAttribute("data-script"));
    else if (name === CONTROLS) openControls();
    else if (name) model.send({ act: name });
  }

  // What stands below the picture comes into sight, where nothing has the focus.
  function scroll({ key, target }) {
    if (!(key in ARROWS) || target !== document.body || !document.fullscreenElement) return;
    for (const one of room().querySelectorAll(":scope > *")) one.scrollBy(0, ARROWS[key]);
  }

  function press(event) {
    scroll(event);
    const name = here(event) && meant(event);
    if (!name) return;
    event.preventDefault();
    event.stopImmediatePropagation(); // what has the focus may know the key as well
    act(name);
  }

  function show() {
    const frame = model.get("frame");
    stop?.();
    stop = startClock(line, frame.clock);
    voted.textContent = frame.voted;
    next.textContent = frame.next.text;
    next.hidden = !frame.next.text;
    said.textContent = frame.said;
    const all = room();
    if (!all) return;
    all.toggleAttribute("data-staged", frame.staged);
    if (!shown || shown.step !== frame.step) {
      all.toggleAttribute("data-said", Boolean(shown));
      all.removeAttribute("data-script");
      if (shown && !document.fullscreenElement && mine()) all.scrollIntoView({ block: "start" });
      whole.setAttribute("aria-pressed", "false");
    }
    // Hands are typed at once, where they are asked for.
    const asks = frame.counting && shown && frame.counting !== shown.counting;
    if (asks && mine()) all.querySelector(COUNTED)?.focus();
    shown = frame;
  }

  window.addEventListener("keydown", press, true);
  model.on("change:frame", show);
  let waiting = requestAnimationFrame(join);
  function join() {
    if (room()) show();
    else waiting = requestAnimationFrame(join);
  }
  return () => {
    cancelAnimationFrame(waiting);
    stop?.();
    window.removeEventListener("keydown", press, true);
    model.off("change:frame", show);
  };
}

export default { render };
