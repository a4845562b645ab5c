// A set-up in boxes: one for each number, and one for a code in place of them all. The
// answer is one text, "extension 300 mm; lean 10 deg", or the code.

import { element } from "./parts.js";

const PART = /^\s*([a-z_]+)\s+(.+?)\s*$/;

function named(text) {
  return Object.fromEntries(
    text.split(";").map((part) => PART.exec(part)?.slice(1) ?? ["", part]),
  );
}

export function setOut({ parts, legend, code }, parent, id, changed) {
  const group = element("fieldset", "pw-set-out", parent);
  element("legend", "", group, legend);
  const boxes = {};
  function box(key, text, mode) {
    const label = element("label", "", group, text);
    const input = element("input", "", group);
    Object.assign(input, { id: `${id}-${key}`, type: "text", autocomplete: "off" });
    input.inputMode = mode;
    input.spellcheck = false;
    input.dataset.key = key;
    label.htmlFor = input.id;
    input.addEventListener("input", () => changed(written()));
    boxes[key] = input;
    return input;
  }
  for (const part of parts) box(part.key, part.label, "decimal").placeholder = part.now;
  box("code", code, "text");

  function written() {
    if (boxes.code.value.trim()) return boxes.code.value;
    const set = parts.filter(({ key }) => boxes[key].value.trim());
    return set
      .map(({ key, unit }) => {
        const typed = boxes[key].value.trim();
        return `${key} ${typed}${/\d$/.test(typed) ? ` ${unit}` : ""}`;
      })
      .join("; ");
  }

  return (text) => {
    if (text === written()) return;
    const values = named(text);
    const known = Object.keys(values).every((key) => parts.some((p) => p.key === key));
    for (const { key } of parts) boxes[key].value = (known && values[key]) || "";
    boxes.code.value = known ? "" : text;
  };
}
