// Things to be taken in the picture, each a slider along one way. First what follows
// from pixels and keys alone; then the handles, which no new picture rebuilds.
//
// A grip, as the kernel tells it: { name, field, label, at: [x, y], way: [x, y], value,
// low, high, step, grain, stops, locked, text, shown: { per, places, ending } }. `at` is
// where it is, `way` what one more of `value` moves it by, in shares of the picture's
// width and height; `stops` are the only values where a real thing has slots. Where
// those do not lie along one way, `spots` is where each of them is, and `names` what
// each is called.

import { between } from "./turn.js";

const REACH = { mouse: 12, other: 22 }; // px from its centre: 24 and 44 px wide
const TAP = { mouse: 4, other: 8 }; // px of travel that is no drag yet
const LEAST_ARROW = 0.25; // of a way's length, for an arrow along it to follow the eye
const ASIDE = 2; // times as far, a spot aside of an arrow than one along it

const kept = (grip, value) => +(Math.round(value / grip.grain) * grip.grain).toFixed(6);

export const reach = (pointer) => REACH[pointer] ?? REACH.other;
export const tap = (pointer) => TAP[pointer] ?? TAP.other;

// Where a grip is at a value, in shares of the picture.
export function placeOf(grip, value) {
  if (grip.spots) return grip.spots[grip.stops.indexOf(value)] ?? grip.at;
  return grip.at.map((at, k) => at + grip.way[k] * (value - grip.value));
}

// The grip that a press takes: the nearest centre within reach, of equals the first.
export function nearest(grips, press, size, within) {
  let best = null;
  let least = within;
  for (const [grip, value] of grips) {
    const [x, y] = placeOf(grip, value);
    const off = Math.hypot(x * size[0] - press[0], y * size[1] - press[1]);
    if (off < least) [best, least] = [grip, off];
  }
  return best;
}

// A value that a control accepts: a slot where there are slots, else a whole step.
export function snapped(grip, value) {
  if (grip.stops) {
    const off = (stop) => Math.abs(stop - value);
    return grip.stops.reduce((best, stop) => (off(stop) < off(best) ? stop : best));
  }
  const whole = Math.round(value / grip.step) * grip.step;
  return kept(grip, between(grip.low, whole, grip.high));
}

// The value under a hand at `point`, in pixels of a picture of some size.
export function followed(grip, point, size) {
  if (grip.spots) return nearestSpot(grip, point, size);
  const way = grip.way.map((part, k) => part * size[k]);
  const off = grip.at.map((at, k) => point[k] - at * size[k]);
  const long = way[0] ** 2 + way[1] ** 2;
  if (grip.locked || long === 0) return grip.value;
  return snapped(grip, grip.value + (off[0] * way[0] + off[1] * way[1]) / long);
}

function nearestSpot(grip, point, size) {
  const off = ([x, y]) => Math.hypot(x * size[0] - point[0], y * size[1] - point[1]);
  const offs = grip.spots.map(off);
  return grip.stops[offs.indexOf(Math.min(...offs))];
}

// The spot that an arrow goes to: the nearest on that side, what lies aside farther off.
function spotAlong(grip, value, key, size) {
  const level = key === "ArrowRight" || key === "ArrowLeft";
  const sense = key === "ArrowRight" || key === "ArrowDown" ? 1 : -1;
  const from = placeOf(grip, value);
  let best = value;
  let least = Infinity;
  grip.spots.forEach((spot, k) => {
    const [x, y] = spot.map((part, n) => (part - from[n]) * size[n]);
    const [along, aside] = level ? [sense * x, Math.abs(y)] : [sense * y, Math.abs(x)];
    if (along < LEAST_ARROW * Math.hypot(x, y) || along <= 0.5) return;
    if (along + ASIDE * aside < least) [best, least] = [grip.stops[k], along + ASIDE * aside];
  });
  return best;
}

// The arrow that makes the value larger: the one that points along the way.
export function plusArrow(grip, size) {
  const [x, y] = grip.way.map((part, k) => part * size[k]);
  if (Math.abs(x) >= Math.abs(y)) return x < 0 ? "left" : "right";
  return y > 0 ? "down" : "up";
}

// The way in degrees, clockwise from the right.
export function wayAngle(grip, size) {
  const degrees = Math.atan2(grip.way[1] * size[1], grip.way[0] * size[0]) / (Math.PI / 180);
  return Math.round(degrees);
}

// Whether an arrow means more or less. It goes with the eye where it can; across the
// way, where it would move nothing, right and up mean more.
function senseOf(grip, key, size) {
  const [x, y] = grip.way.map((part, k) => part * size[k]);
  const long = Math.hypot(x, y);
  const level = key === "ArrowRight" || key === "ArrowLeft";
  const along = level ? x : -y;
  const plain = key === "ArrowRight" || key === "ArrowUp" ? 1 : -1;
  const turned = Math.abs(along) >= LEAST_ARROW * long && along < 0;
  return turned ? -plain : plain;
}

function stepped(grip, value, steps) {
  const { stops, step, low, high } = grip;
  if (!stops) return kept(grip, between(low, value + steps * step, high));
  const more = stops.filter((stop) => (steps > 0 ? stop > value : stop < value));
  if (steps < 0) more.reverse();
  return more[Math.min(Math.abs(steps), more.length) - 1] ?? value;
}

// The value that a key makes of one, or null where the key moves nothing. An arrow is
// a step, with Shift a tenth; a page is ten.
export function keyed(grip, value, event, size) {
  const ends = grip.stops ?? [grip.low, grip.high];
  switch (event.key) {
    case "Home":
      return ends[0];
    case "End":
      return ends.at(-1);
    case "PageUp":
      return stepped(grip, value, grip.spots ? 1 : 10);
    case "PageDown":
      return stepped(grip, value, grip.spots ? -1 : -10);
  }
  if (!event.key.startsWith("Arrow")) return null;
  if (grip.spots) return spotAlong(grip, value, event.key, size);
  const sense = senseOf(grip, event.key, size);
  if (!event.shiftKey) return stepped(grip, value, sense);
  const fine = Math.max(grip.grain, grip.step / 10);
  return kept(grip, between(grip.low, value + sense * fine, grip.high));
}

// A value as it is shown beside the hand, in the reader's unit.
export function shown(grip, value) {
  if (grip.names) return grip.names[grip.stops.indexOf(value)] ?? "";
  const { per, places, ending } = grip.shown;
  const number = `${+(value * per).toFixed(places)}`; // no zeros at its end
  return number.replace("-", "−") + ending;
}
