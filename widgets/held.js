// What is held can be reached and read, and no hand moves it: trying says why.

const HELD = ".pw-held";
const MOVABLE = "[role=slider], input, select, button";
const MOVING = /^(Arrow|Page|Home|End)/; // keys that move a slider
const PASSING = /^(Tab|Shift|Escape|Control|Alt|Meta)$/;

// Mark what is held, and what no longer is.
export function markHeld(root, why) {
  for (const part of root.querySelectorAll(`${HELD} :is(${MOVABLE}), button${HELD}`)) {
    part.setAttribute("aria-disabled", "true");
    part.title = why;
    if (part.matches("input")) part.readOnly = true;
  }
  for (const part of root.querySelectorAll("[aria-disabled=true]:not(.pw-grip)")) {
    if (part.closest(HELD) || !part.matches(MOVABLE)) continue;
    part.removeAttribute("aria-disabled");
    part.removeAttribute("title");
    if (part.matches("input")) part.readOnly = false;
  }
}

export function anyHeld(root) {
  return root.querySelector(HELD) !== null;
}

// Whether an event on something held would move it.
function moves(event) {
  const at = event.target;
  if (event.type !== "keydown") return true;
  if (event.ctrlKey || event.metaKey || PASSING.test(event.key)) return false;
  return at.matches("select") || (at.matches("[role=slider], [type=range]") && MOVING.test(event.key));
}

// Keep hands off what is held in `root`; `tell(part)` says why. Returns what ends it.
export function keepHeld(root, tell) {
  function tried(event) {
    const held = event.target.closest(HELD);
    if (!held) return;
    const part = event.target.closest(MOVABLE) ?? held.querySelector(MOVABLE);
    if (moves(event)) {
      event.preventDefault();
      event.stopImmediatePropagation();
      if (event.type !== "keydown") part?.focus();
      tell(part ?? held);
    } else if (event.target.matches("input") && event.key.length === 1) tell(part);
  }
  const kinds = ["pointerdown", "mousedown", "click", "keydown"];
  for (const kind of kinds) root.addEventListener(kind, tried, true);
  return () => {
    for (const kind of kinds) root.removeEventListener(kind, tried, true);
  };
}
