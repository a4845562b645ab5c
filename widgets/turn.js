// Turning the picture: from a hand, from keys, from names. Two angles in degrees, and
// up stays up; `limits` is how far a hand may turn, { az, el: [low, high] }.

const A_PIXEL = 0.4; // degrees that a pixel turns
const A_KEY = 10;
const A_FINE_KEY = 2;
const SAME = 0.01; // degrees, between views that are one
export const TURN_TIME = 250; // ms from one named view to the next

// What each arrow moves: the picture turns the way that the arrow points.
const ARROWS = {
  ArrowRight: [1, 0],
  ArrowLeft: [-1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};

export const between = (low, value, high) => Math.min(high, Math.max(low, value));

function turnedBy(view, right, down, limits) {
  return {
    az: between(-limits.az, view.az - right, limits.az),
    el: between(limits.el[0], view.el + down, limits.el[1]),
  };
}

// The view that a hand has made which pressed at `pressed` and has moved by pixels
// since. It hangs on nothing else: back on the same pixel the same view is back.
export function turned(pressed, pixels, limits) {
  const [x, y] = pixels;
  if (x === 0 && y === 0) return pressed;
  return turnedBy(pressed, A_PIXEL * x, A_PIXEL * y, limits);
}

// The view that a key makes, or null where the key turns nothing.
export function turnedByKey(view, event, limits) {
  const arrow = ARROWS[event.key];
  if (!arrow) return null;
  const degrees = event.shiftKey ? A_FINE_KEY : A_KEY;
  return turnedBy(view, degrees * arrow[0], degrees * arrow[1], limits);
}

// The view on the way from one to another, at a share of the time; slow at its ends.
export function onTheWay(from, to, share) {
  const part = between(0, share, 1);
  const eased = part * part * (3 - 2 * part);
  const mixed = (name) => from[name] + eased * (to[name] - from[name]);
  return { az: mixed("az"), el: mixed("el") };
}

// The name of a view among the named ones, or null.
export function nameOf(view, named) {
  const is = ([, at]) => at && Math.hypot(at.az - view.az, at.el - view.el) < SAME;
  return Object.entries(named).find(is)?.[0] ?? null;
}
