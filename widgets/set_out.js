// A set-up in boxes: one for each number, and one for a code in place of them all. The
// answer is one text, "extension height = 300 mm; ram force = 24 kN", or the code. Old
// texts have the keys of the boxes: "extension 300 mm".

import { element } from "./parts.js";

const AFTER_NAME = /^\s*[\s:=]\s*(?=\S)/;

// The value of each box by its key, or null where a part of the text has no box.
function inBoxes(text, parts) {
  const values = {};
  for (const said of text.split(";").map((part) => part.trim())) {
    const found = parts
      .flatMap(({ key, name }) => [[key, name], [key, key]])
      .find(([, name]) => said.startsWith(name) && AFTER_NAME.test(said.slice(name.length)));
    if (!found) return null;
    values[found[0]] = said.slice(found[1].length).replace(AFTER_NAME, "");
  }
  return values;
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
      .map(({ key, name, unit }) => {
        const typed = boxes[key].value.trim();
        return `${name} = ${typed}${/\d$/.test(typed) ? ` ${unit}` : ""}`;
      })
      .join("; ");
  }

  return (text) => {
    if (text === written()) return;
    const values = text ? inBoxes(text, parts) : {};
    for (const { key } of parts) boxes[key].value = values?.[key] ?? "";
    boxes.code.value = values ? "" : text;
  };
}
