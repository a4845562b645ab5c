// Single letters as keys, and the screen that one of them fills.

import { prefs } from "./prefs.js";

const NO_SHORTCUTS = "data-lm-suppress-shortcuts"; // which JupyterLab looks for
const TYPED_IN = "input:not([type=radio], [type=checkbox]), textarea, select";

// The key that may stand for something: none while somebody types or holds Ctrl,
// and none where the reader wants no such keys.
export function lone(event) {
  if (event.target.matches(TYPED_IN)) return "";
  if (event.ctrlKey || event.metaKey || event.altKey) return "";
  return prefs().keys ? event.key.toLowerCase() : "";
}

function keep({ target }) {
  target.setAttribute(NO_SHORTCUTS, "");
}

// Keep keys from the notebook round a part of the page. It takes those of whatever has
// the focus, so that an arrow would scroll and leave a choice as it is.
export function ownKeys(part) {
  part.setAttribute(NO_SHORTCUTS, "");
  part.addEventListener("focusin", keep);
}

// Fill the screen with a part of the page, or come back. What stands on an instructor's
// wall fills it together with the script.
export function fillScreen(part) {
  if (document.fullscreenElement) document.exitFullscreen();
  else (part.closest(".pw-class") ?? part).requestFullscreen?.();
}

// Whether a part of the page, or what it is in, fills the screen.
export function fills(part) {
  return Boolean(document.fullscreenElement?.contains(part));
}
