// Lettered items to choose, tick, match or put in order, each with the browser's own
// controls. The answer is one text, in a box beside them: "b, d", "a 2, b 1", "c, a, b".

import { button, element } from "./parts.js";

const said = ({ letter, text }) => `${letter}: ${text}`;

export function pick({ pick: spec }, parent, id, changed) {
  const group = element("fieldset", "pw-pick", parent);
  element("legend", "", group, spec.legend);

  // A radio or a tick box, and what stands beside it.
  function choice(type, item) {
    const label = element("label", "pw-choice", group);
    const input = element("input", "", label);
    Object.assign(input, { type, name: `${id}-${type}`, value: item.letter });
    input.dataset.key = `pick ${item.letter}`;
    element("span", "", label, said(item));
    return input;
  }

  function choose() {
    const { letter } = spec.own;
    const radios = [...spec.items, spec.own].map((item) => choice("radio", item));
    for (const radio of radios) {
      radio.addEventListener("change", () => {
        changed(radio.value === letter ? `${letter}: ` : radio.value);
      });
    }
    return (text) => {
      const first = text.trim().toLowerCase();
      for (const radio of radios) {
        radio.checked = first === radio.value || (radio.value === letter && own(first));
      }
    };
    function own(first) {
      return first.startsWith(letter) && !/^\w/.test(first.slice(1));
    }
  }

  function tick() {
    const boxes = spec.items.map((item) => choice("checkbox", item));
    for (const box of boxes) {
      box.addEventListener("change", () => {
        changed(boxes.filter((one) => one.checked).map((one) => one.value).join(", "));
      });
    }
    return (text) => {
      const ticked = new Set(text.toLowerCase());
      for (const box of boxes) box.checked = ticked.has(box.value);
    };
  }

  function match() {
    const selects = spec.items.map((item) => {
      const label = element("label", "pw-match", group);
      element("span", "", label, said(item));
      const select = element("select", "", label);
      select.dataset.key = `pick ${item.letter}`;
      select.add(new Option("", ""));
      for (const [number, place] of spec.places) {
        select.add(new Option(`${number} ${place}`, number));
      }
      select.addEventListener("change", () => changed(written()));
      return [item.letter, select];
    });
    function written() {
      const placed = selects.filter(([, select]) => select.value);
      return placed.map(([letter, { value }]) => `${letter} ${value}`).join(", ");
    }
    return (text) => {
      const found = text.toLowerCase().matchAll(/([a-z])[^a-z\d]*(\d)/g);
      const placed = Object.fromEntries([...found].map(([, letter, n]) => [letter, n]));
      for (const [letter, select] of selects) select.value = placed[letter] ?? "";
    };
  }

  function order() {
    const list = element("ol", "", group);
    let items = spec.items;
    function move(from, to, key) {
      if (to < 0 || to >= items.length) return;
      items = items.toSpliced(from, 1).toSpliced(to, 0, items[from]);
      rows();
      list.querySelector(`[data-key="${key}"]`).focus();
      changed(items.map(({ letter }) => letter).join(", "));
    }
    function rows() {
      list.replaceChildren();
      items.forEach((item, place) => {
        const row = element("li", "", list);
        element("span", "", row, said(item));
        for (const [way, sign, to] of [["up", "↑", place - 1], ["down", "↓", place + 1]]) {
          const key = `${way} ${item.letter}`;
          const label = `${item[way]}, ${spec.stands[place]}`;
          button(sign, label, () => move(place, to, key), row).dataset.key = key;
        }
      });
    }
    rows();
    return (text) => {
      const letters = [...text.toLowerCase()].filter((one) => /[a-z]/.test(one));
      const found = letters.map((one) => spec.items.find(({ letter }) => letter === one));
      const whole = new Set(found).size === spec.items.length && found.every(Boolean);
      if (!whole && text.trim()) return;
      if (whole && found.every((item, place) => item === items[place])) return;
      items = whole ? found : spec.items;
      rows();
    };
  }

  return { choose, tick, match, order }[spec.kind]();
}
