// How much room an explorer has: columns for its parts, and the room of its picture.

const THREE = 1100; // px from which controls, picture and split stand beside each other
const TWO = 700; // from which controls stand beside the picture

// Larger words need wider columns.
export function columns(width, text) {
  const wide = width / Math.sqrt(text);
  return wide >= THREE ? 3 : wide >= TWO ? 2 : 1;
}

// The kernel draws for one of these.
export function roomOf(root, width) {
  if (document.fullscreenElement === root) return "projector";
  return width < TWO ? "phone" : "page";
}
