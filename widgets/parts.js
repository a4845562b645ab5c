// What scripts of the page build with.

export function element(tag, name, parent, text) {
  const made = document.createElement(tag);
  if (name) made.className = name;
  if (text) made.textContent = text;
  parent?.append(made);
  return made;
}

export function button(text, label, action, parent) {
  const made = element("button", "pw-button", parent);
  made.type = "button";
  made.textContent = text;
  made.title = label; // what is written on it is its name, and this tells more
  if (!/\p{L}/u.test(text)) made.setAttribute("aria-label", label); // but for a mere sign
  made.addEventListener("click", action);
  return made;
}
