// The hand in the picture: handles to be taken and an area to turn by, in an overlay
// that stays while the pictures under it come and go.

import { followed, keyed, nearest, placeOf, plusArrow, reach, shown, tap, wayAngle } from "./grips.js";
import { element } from "./parts.js";
import { TURN_TIME, nameOf, onTheWay, turned, turnedByKey } from "./turn.js";

const away = (event, press) => Math.hypot(event.clientX - press.x, event.clientY - press.y);

// A ring round the point, and on each side the way that it can go; more from spot to spot.
const RING = `<svg viewBox="-22 -22 44 44" aria-hidden="true"><circle r="9.5"/>
  <path d="M14 -4L18 0L14 4M-14 -4L-18 0L-14 4"/>
  <path class="pw-across" d="M-4 14L0 18L4 14M-4 -14L0 -18L4 -14"/></svg>`;

const ROOM_ABOVE = 72; // px that a value needs over a hand
let grabs = Date.now(); // a number for each time that something is taken
export const nextGrab = () => (grabs += 1);

function setAll(part, attributes) {
  for (const [name, value] of Object.entries(attributes)) {
    if (part.getAttribute(name) !== `${value}`) part.setAttribute(name, value);
  }
}

// The handles. `line` has `send` and `valueOf`; each handle is a slider that lives as
// long as its grip is told.
export function makeHandles({ overlay, says, line }) {
  const handles = new Map();
  let held = null; // what the pointer has taken
  let still = false; // whether the explorer holds its controls

  let size = [0, 0]; // of the picture, as it was laid out last: asking makes it anew
  const valueOf = (handle) => line.valueOf(handle.grip.field, handle.value);

  function moveTo(handle, value, move) {
    line.send({ grip: handle.grip.name, values: { [handle.grip.field]: value }, ...move });
    place(handle);
  }

  function place(handle) {
    const { knob, bubble, grip } = handle;
    const value = valueOf(handle);
    const [x, y] = placeOf(grip, value);
    const plus = plusArrow(grip, size);
    knob.style.left = `${100 * x}%`;
    knob.style.top = `${100 * y}%`;
    knob.style.setProperty("--way", `${grip.spots ? 0 : wayAngle(grip, size)}deg`);
    knob.classList.toggle("pw-spots", Boolean(grip.spots));
    const why = still ? says.first : grip.locked ? says.grip_locked : "";
    knob.classList.toggle("pw-held", still);
    knob.classList.toggle("pw-high", y * size[1] < ROOM_ABOVE);
    const known = value === handle.value;
    setAll(knob, {
      "aria-label": grip.label,
      "aria-valuemin": grip.low,
      "aria-valuemax": grip.high,
      "aria-valuenow": value,
      "aria-valuetext": why || (known ? grip.text : shown(grip, value)),
      "aria-orientation": plus === "up" || plus === "down" ? "vertical" : "horizontal",
      "aria-disabled": why !== "",
      title: why || says[grip.spots ? "grip_spots" : `grip_${plus}`].replace("{name}", grip.label),
    });
    bubble.textContent = why || shown(grip, value);
  }

  function add(name) {
    const knob = element("div", "pw-grip", overlay);
    knob.innerHTML = RING;
    const bubble = element("span", "pw-bubble", knob);
    setAll(knob, { role: "slider", tabindex: 0 });
    setAll(bubble, { "aria-hidden": true });
    const handle = { knob, bubble };
    knob.addEventListener("keydown", (event) => press(handle, event));
    knob.addEventListener("pointermove", follow);
    knob.addEventListener("pointerup", (event) => {
      follow(event); // the last way of a hand may come with its end
      drop(event, "end");
    });
    knob.addEventListener("pointercancel", (event) => drop(event, "end"));
    knob.addEventListener("lostpointercapture", (event) => drop(event, "end"));
    handles.set(name, handle);
    return handle;
  }

  const free = (handle) => !still && !handle.grip.locked;

  function press(handle, event) {
    if (event.ctrlKey || event.metaKey || event.altKey || !free(handle)) return;
    if (event.key === "Escape" && held?.handle === handle) {
      drop({ pointerId: held.pointer }, "cancel");
    } else {
      const value = keyed(handle.grip, valueOf(handle), event, size);
      if (value === null) return;
      const grab = nextGrab();
      if (value !== valueOf(handle)) moveTo(handle, value, { grab, phase: "end", via: "key" });
    }
    event.preventDefault();
    event.stopPropagation();
  }

  function take(event) {
    if (event.button !== 0 || !event.isPrimary || held) return;
    const box = overlay.getBoundingClientRect();
    const at = [event.clientX - box.left, event.clientY - box.top];
    const known = [...handles.values()].map((handle) => [handle.grip, valueOf(handle)]);
    const grip = nearest(known, at, size, reach(event.pointerType));
    if (!grip) return;
    const handle = handles.get(grip.name);
    event.preventDefault(); // the focus goes where the hand is
    event.stopPropagation();
    handle.knob.focus({ preventScroll: true });
    if (!free(handle)) return;
    const centre = placeOf(grip, valueOf(handle));
    held = {
      handle,
      pointer: event.pointerId,
      via: event.pointerType,
      x: event.clientX,
      y: event.clientY,
      // No jump: the point stays as far from the finger as it was taken.
      off: at.map((part, k) => part - centre[k] * size[k]),
      value: valueOf(handle),
      grab: nextGrab(),
      moved: false,
    };
    handle.knob.setPointerCapture(event.pointerId);
    handle.knob.dataset.held = true;
  }

  function follow(event) {
    if (!held || event.pointerId !== held.pointer) return;
    const { handle, via, grab } = held;
    if (!held.moved && away(event, held) < tap(via)) return;
    const phase = held.moved ? "move" : "start";
    held.moved = true;
    const box = overlay.getBoundingClientRect();
    const finger = [event.clientX - box.left, event.clientY - box.top];
    const point = finger.map((part, k) => part - held.off[k]);
    const value = followed(handle.grip, point, size);
    if (value !== valueOf(handle)) moveTo(handle, value, { grab, phase, via });
  }

  // Let go: stop here, or with "cancel" go back to where it was taken.
  function drop(event, phase) {
    if (!held || event.pointerId !== held.pointer) return;
    const { handle, via, grab, moved, pointer } = held;
    const value = phase === "cancel" ? held.value : valueOf(handle);
    held = null;
    delete handle.knob.dataset.held;
    if (handle.knob.hasPointerCapture(pointer)) {
      handle.knob.releasePointerCapture(pointer);
    }
    if (moved) moveTo(handle, value, { grab, phase, via });
  }

  // Which way a grip goes on the screen follows from the size of the picture.
  const sized = new ResizeObserver(([{ contentRect }]) => {
    size = [contentRect.width, contentRect.height];
    handles.forEach(place);
  });
  sized.observe(overlay);
  overlay.addEventListener("pointerdown", take, true);

  return {
    // Show where the grips of a frame are. A frame without any keeps them: a refused
    // set-up is left by the handle that led to it.
    show(frame) {
      still = Boolean(frame.still);
      for (const grip of frame.grips ?? []) {
        Object.assign(handles.get(grip.name) ?? add(grip.name), { grip });
      }
      if (frame.grips) {
        const told = new Set(frame.grips.map((grip) => grip.name));
        for (const [name, handle] of handles) {
          if (told.has(name)) continue;
          if (held?.handle === handle) drop({ pointerId: held.pointer }, "end");
          handle.knob.remove();
          handles.delete(name);
        }
      }
      for (const handle of handles.values()) {
        handle.value = frame.values?.[handle.grip.field] ?? handle.grip.value;
        place(handle);
      }
    },
    end() {
      sized.disconnect();
      overlay.removeEventListener("pointerdown", take, true);
    },
  };
}

// What turns the picture: an area under the handles, and a button for each named view.
// `space` is { views: name to view, null where it is flat; limits }; `turn` is told
// each view, and `calm` tells whether nothing is to move by itself.
export function makeTurning({ area, bar, says, space, turn, calm }) {
  let view = "home"; // a name, or two angles
  let pressed = null;
  let painted = 0;
  const buttons = {};

  const angles = (seen = view) => (typeof seen === "string" ? space.views[seen] : seen);

  function show() {
    for (const [name, button] of Object.entries(buttons)) {
      button.setAttribute("aria-pressed", name === view);
    }
    said.textContent = typeof view === "string" ? "" : says.view_own;
    area.hidden = !angles();
  }

  function set(seen, phase = "move") {
    view = typeof seen === "string" ? seen : (nameOf(seen, space.views) ?? seen);
    show();
    turn(view, phase);
  }

  function goTo(name) {
    cancelAnimationFrame(painted);
    const [from, to] = [angles(), space.views[name]];
    if (!from || !to || calm()) return set(name, "end");
    const began = performance.now();
    const step = (now) => {
      const share = (now - began) / TURN_TIME;
      if (share >= 1) return set(name, "end");
      turn(onTheWay(from, to, share), "move");
      painted = requestAnimationFrame(step);
    };
    painted = requestAnimationFrame(step);
  }

  function take(event) {
    if (!event.isPrimary) return stop(); // a second finger pinches
    if (event.button !== 0) return;
    cancelAnimationFrame(painted);
    const { clientX: x, clientY: y, pointerId, pointerType } = event;
    pressed = { x, y, pointerId, pointerType, view: angles(), moved: false };
    area.setPointerCapture(pointerId);
  }

  function follow(event) {
    if (event.pointerId !== pressed?.pointerId) return;
    if (!pressed.moved && away(event, pressed) < tap(pressed.pointerType)) return;
    pressed.moved = true;
    const pixels = [event.clientX - pressed.x, event.clientY - pressed.y];
    if (`${pixels}` === pressed.pixels) return;
    pressed.pixels = `${pixels}`;
    set(turned(pressed.view, pixels, space.limits));
  }

  function stop() {
    if (pressed?.moved) set(view, "end");
    pressed = null;
  }

  function key(event) {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    if (event.key === "Escape" && pressed?.moved) {
      set(pressed.view, "end");
      pressed = null;
    } else {
      const seen = turnedByKey(angles(), event, space.limits);
      if (!seen) return;
      set(seen, "end");
    }
    event.preventDefault();
    event.stopPropagation();
  }

  const group = element("div", "pw-views", bar);
  setAll(group, { role: "group", "aria-label": says.views });
  for (const name of Object.keys(space.views)) {
    const button = element("button", "pw-button", group);
    button.type = "button";
    button.textContent = says[`view_${name}`];
    button.addEventListener("click", () => goTo(name));
    buttons[name] = button;
  }
  const said = element("span", "pw-said", group);
  setAll(area, { role: "group", tabindex: 0, title: says.turn });
  area.addEventListener("pointerdown", take);
  area.addEventListener("pointermove", follow);
  area.addEventListener("pointerup", (event) => {
    follow(event);
    stop();
  });
  area.addEventListener("pointercancel", stop);
  area.addEventListener("lostpointercapture", stop);
  area.addEventListener("keydown", key);
  show();

  return {
    // Take over a view that was chosen elsewhere, and tell nobody.
    take(seen) {
      if (pressed) return;
      view = seen;
      show();
    },
    end: () => cancelAnimationFrame(painted),
  };
}
