// The picture, its numbers and its words; keys, names and sizes around them.
// Everything shown comes from the kernel in one message, as `frame`.

const REST = 500; // ms without a change before a screen reader is told
const PREFS = "pullwright";

function prefs() {
  try {
    return { text: 1, keys: true, ...JSON.parse(localStorage.getItem(PREFS)) };
  } catch {
    return { text: 1, keys: true };
  }
}

function remember(change) {
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

function nameSliders(root) {
  for (const slider of root.querySelectorAll(".widget-slider")) {
    const handle = slider.querySelector("[role=slider]");
    const label = slider.querySelector(".widget-label");
    if (!handle || !label) continue;
    const typed = slider.closest(".pw-control")?.querySelector("input[type=text]");
    handle.setAttribute("aria-label", label.textContent);
    if (typed) {
      typed.setAttribute("aria-label", label.textContent + ", typed");
      handle.setAttribute("aria-valuetext", typed.value);
    }
  }
}

function name(root) {
  nameSliders(root);
  namePrediction(root);
}

function namePrediction(root) {
  const asked = root.querySelector(".pw-asked")?.textContent;
  const choice = root.querySelector(".pw-predict .widget-radio-box");
  choice?.setAttribute("role", "radiogroup");
  choice?.setAttribute("aria-label", asked);
  for (const input of root.querySelectorAll(".pw-predict input[type=text]")) {
    input.setAttribute("aria-label", input.placeholder);
  }
}

function render({ model, el }) {
  el.classList.add("pw-stage");
  const picture = element("div", "pw-picture", el);
  const notes = element("div", "pw-notes", el);
  const numbers = element("div", "pw-numbers", notes);
  const words = element("div", "pw-words", notes);
  const live = element("div", "pw-live", el);
  live.setAttribute("aria-live", "polite");
  const tools = element("div", "pw-tools", el);
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
      if (el.isConnected) name(root());
    }, REST);
  }

  const root = () => el.closest(".pw-explorer") ?? el;
  const grow = (step) => {
    const text = Math.min(2.5, Math.max(1, prefs().text + step));
    apply(remember({ text }));
  };
  const apply = ({ text, keys }) => {
    // Labels inside a picture grow less: they share its room.
    root().style.setProperty("--pw-own-text", Math.min(text, 1.5));
    root().style.setProperty("--pw-own-words", text);
    keysButton.setAttribute("aria-pressed", keys);
    keysButton.textContent = keys ? "keys on" : "keys off";
  };
  const projected = () => {
    model.set("projector", document.fullscreenElement === root());
    root().scrollTop = 0;
    model.save_changes();
  };
  const project = () => {
    if (document.fullscreenElement) {
      document.exitFullscreen();
    } else {
      root().requestFullscreen?.();
    }
  };
  button("projector (P)", "Fill the screen, or come back", project, tools);
  button("text −", "Smaller text", () => grow(-0.25), tools);
  button("text +", "Larger text", () => grow(0.25), tools);
  const keysButton = button(
    "keys on",
    "Single-letter keys: P projector, F freeze, R reset, 1 to 9 named set-ups",
    () => apply(remember({ keys: !prefs().keys })),
    tools,
  );

  function press(event) {
    if (event.key.startsWith("Page") && event.target.matches("[role=slider]")) {
      // The slider has just gone five steps; a page is ten.
      event.target.dispatchEvent(new KeyboardEvent("keydown", { key: event.key }));
      return;
    }
    const typing = event.target.matches("input, textarea, select");
    if (typing || event.ctrlKey || event.metaKey || event.altKey) return;
    if (!prefs().keys) return;
    const key = event.key.toLowerCase();
    if (key === "p") project();
    else if (key === "+") grow(0.25);
    else if (key === "-") grow(-0.25);
    else if (key === "f" || key === "r" || /^[1-9]$/.test(key)) model.send({ key });
    else return;
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
    name(joined);
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
