// Give a name to what the notebook's own widgets leave without one.

export function nameParts(root, says) {
  for (const slider of root.querySelectorAll(".widget-slider")) nameSlider(slider, says);
  for (const head of root.querySelectorAll(".jupyter-widget-Collapse-header")) nameFold(head);
  for (const label of root.querySelectorAll("[title=null]")) label.removeAttribute("title");
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

// The notebook's fold is opened by a click alone, and does not tell whether it is open.
function nameFold(head) {
  const tell = () => {
    const shut = head.nextElementSibling.classList.contains("lm-mod-hidden");
    head.setAttribute("aria-expanded", !shut);
  };
  if (!head.hasAttribute("role")) {
    head.setAttribute("role", "button");
    head.tabIndex = 0;
    head.querySelector("i")?.setAttribute("aria-hidden", "true");
    head.addEventListener("click", () => setTimeout(tell));
    head.addEventListener("keydown", (event) => {
      if (!["Enter", " "].includes(event.key)) return;
      event.preventDefault();
      head.click();
    });
  }
  tell();
}
