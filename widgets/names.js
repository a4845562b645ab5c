// Give a name to what the notebook's own widgets leave without one.

export function nameParts(root, says) {
  for (const slider of root.querySelectorAll(".widget-slider")) nameSlider(slider, says);
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
