// How much room an explorer has: the columns of its parts, and the room of its picture.

import { fills } from "./keys.js";

// Width from which parts stand so: controls, picture and split side by side; split
// under the picture; both under the picture. Below that, one under the other.
const LAYOUTS = [
  [1100, "three"],
  [860, "two"],
  [520, "under"],
];
const PHONE = "one";

const SMALLER = 0.9; // of its size, from which a picture's letters must grow
const LARGEST_LETTERS = 1.5;

// Larger words need wider columns.
export function layoutFor(width, text) {
  const enough = width / (0.7 + 0.3 * text);
  return LAYOUTS.find(([least]) => enough >= least)?.[1] ?? PHONE;
}

// The kernel draws for one of these.
export function roomOf(root, layout) {
  if (fills(root)) return "projector";
  return layout === PHONE ? "phone" : "page";
}

// How large the letters of a picture are to be: as the reader wants them, and larger
// where the picture is shown smaller than it is drawn. They share its room.
export function lettersFor(room, text, { shown, drawn }) {
  if (room === "projector" || !shown) return 1; // where they are large already
  const wanted = shown < SMALLER * drawn ? (text * drawn) / shown : text;
  return Math.min(Math.round(10 * wanted) / 10, LARGEST_LETTERS);
}
