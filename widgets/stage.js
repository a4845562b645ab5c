// The picture, its numbers and its words; keys, names and sizes around them.
// Everything shown comes from the kernel: each answer in one message, as `frame`,
// and what the page itself says, as `says`.

const REST = 500; // ms without a change before a screen reader is told
const PREFS = "pullwright";
const STEP = 0.25; // of text size, from 1 to 2.5
const LARGEST = 2.5;
const LARGEST_IN_PICTURE = 1.5; // labels there share the room of the picture
const BUTTON_KEYS = /^[fr1-9]$/; // the kernel knows what they stand for

export function prefs() {
  try {
    return { text: 1, keys: true, ...JSON.parse(localStorage.getItem(PREFS)) };
  } catch {
    return { text: 1, keys: true };
  }
}

export function remember(change) {
  const all = { ...prefs(), ...change };
  try {
    localStorage.setItem(PREFS, JSON.stringify(all));
  } catch {
    // A browser without storage forgets: nothing else is lost.
  }
  return all;
}

function element(tag, name, parent) {
  const made = document.createElement(tag);
  made.className = name;
  parent.append(made);
  return made;
}

function button(text, label, action, parent) {
  const made = element("button", "pw-button", parent);
  made.type = "button";
  made.textContent = text;
  made.title = label;
  made.setAttribute("aria-label", label);
  made.addEventListener("click", action);
  return made;
}

// Give a name to what the notebook's own widgets leave without one.
export function nameParts(root, says) {
  for (const slider of root.querySelectorAll(".widget-slider")) nameSlider(slider, says);
  const asked = root.querySelector(".pw-asked")?.textContent;
  const choice = root.querySelector(".pw-predict .widget-radio-box");
  choice?.setAttribute("role", "radiogroup");
  choice?.setAttribute("aria-label", asked);
  for (const input of root.querySelectorAll(".pw-predict input[type=text]")) {
    input.setAttribute("aria-label", input.placeholder);
  }
  root.querySelector(".pw-named select")?.setAttribute("aria-label", says.named);
  const units = root.querySelector(".pw-units");
  units?.setAttribute("role", "group");
  units?.setAttribute("aria-label", says.units);
}

function nameSlider(slider, says) {
  const handle = slider.querySelector("[role=slider]");
  const label = slider.querySelector(".widget-label")?.textContent;
  if (!handle || !label) return;
  handle.setAttribute("aria-label", label);
  const typed = slider.closest(".pw-control")?.querySelector("input[type=text]");
  if (typed) {
    typed.setAttribute("aria-label", says.typed.replace("{name}", label));
    handle.setAttribute("aria-valuetext", typed.value);
  }
}

// What a single key stands for: nothing while somebody types or holds Ctrl.
export function meaning(event) {
  const typing = event.target.matches("input, textarea, select");
  if (typing || event.ctrlKey || event.metaKey || event.altKey) return null;
  if (!prefs().keys) return null;
  const key = event.key.toLowerCase();
  const own = { p: "project", "+": "larger", "-": "smaller" }[key];
  if (own) return own;
  return BUTTON_KEYS.test(key) ? { key } : null;
}

function render({ model, el }) {
  const says = model.get("says");
  el.classList.add("pw-stage");
  const picture = element("div", "pw-picture", el);
  const notes = element("div", "pw-notes", el);
  const numbers = element("div", "pw-numbers", notes);
  const words = element("div", "pw-words", notes);
  const live = element("div", "pw-live", el);
  live.setAttribute("aria-live", "polite");
  const tools = element("div", "pw-tools", el);
  const root = () => el.closest(".pw-explorer") ?? el;
  let rest = 0;

  function show() {
    const frame = model.get("frame");
    picture.innerHTML = frame.picture;
    numbers.innerHTML = frame.numbers;
    words.innerHTML = frame.words;
    el.dataset.frame = frame.count;
    clearTimeout(rest);
    rest = setTimeout(() => {
      live.textContent = frame.spoken;
      if (el.isConnected) nameParts(root(), says);
    }, REST);
  }

  function apply({ text, keys }) {
    root().style.setProperty("--pw-own-text", Math.min(text, LARGEST_IN_PICTURE));
    root().style.setProperty("--pw-own-words", text);
    keysButton.setAttribute("aria-pressed", keys);
    keysButton.textContent = keys ? says.keys_on : says.keys_off;
  }

  function projected() {
    model.set("projector", document.fullscreenElement === root());
    root().scrollTop = 0;
    model.save_changes();
  }

  const grow = (step) => {
    const text = Math.min(LARGEST, Math.max(1, prefs().text + step));
    apply(remember({ text }));
  };
  const act = {
    project: () => {
      if (document.fullscreenElement) document.exitFullscreen();
      else root().requestFullscreen?.();
    },
    larger: () => grow(STEP),
    smaller: () => grow(-STEP),
  };
  button(says.projector, says.projector_label, act.project, tools);
  button(says.smaller, says.smaller_label, act.smaller, tools);
  button(says.larger, says.larger_label, act.larger, tools);
  const switchKeys = () => apply(remember({ keys: !prefs().keys }));
  const keysButton = button(says.keys_on, says.keys_label, switchKeys, tools);

  function press(event) {
    if (event.key.startsWith("Page") && event.target.matches("[role=slider]")) {
      // The slider has just gone five steps; a page is ten.
      event.target.dispatchEvent(new KeyboardEvent("keydown", { key: event.key }));
    }
    const meant = meaning(event);
    if (!meant) return;
    if (meant.key) model.send(meant);
    else act[meant]();
    event.preventDefault();
  }

  let joined = null;
  function join() {
    if (!el.isConnected) {
      waiting = requestAnimationFrame(join);
      return;
    }
    joined = root();
    joined.setAttribute("data-lm-suppress-shortcuts", "true");
    joined.addEventListener("keydown", press);
    joined.addEventListener("fullscreenchange", projected);
    apply(prefs());
    nameParts(joined, says);
  }
  let waiting = requestAnimationFrame(join);

  model.on("change:frame", show);
  show();
  return () => {
    cancelAnimationFrame(waiting);
    clearTimeout(rest);
    model.off("change:frame", show);
    joined?.removeEventListener("keydown", press);
    joined?.removeEventListener("fullscreenchange", projected);
  };
}

export default { render };
