// Arrows drawn on the sketch of a card, or written in rows beside it. The answer is one
// text, "H 55° 40 kN; H 200° 43 kN".

import { button, element } from "./parts.js";

const ARROW = /^\s*([^\W\d_])\s+(.+?)\s*(?:°|deg)\s+(.+?)\s*$/;
const PLAIN = /^[-−+]?\d+(?:[.,]\d+)?$/;
const SVG = "http://www.w3.org/2000/svg";
const SHORT = 12; // pixels; a shorter drag draws nothing

function number(text, unit = "") {
  const bare = text.trim().replace(unit, "").replace("°", "").trim();
  return PLAIN.test(bare) ? Number(bare.replace(",", ".").replace("−", "-")) : NaN;
}

// Only what can be taken is in the way of the pointer.
function mark(name, attributes, parent) {
  const made = document.createElementNS(SVG, name);
  if (attributes.class !== "pw-take") made.setAttribute("pointer-events", "none");
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  parent.append(made);
  return made;
}

const ends = (text, sign) => text + (/\d$/.test(text) ? sign : "");

export function drawIt(spec, parent, id, changed, card) {
  const { board, unit, step, words } = spec;
  const group = element("fieldset", "pw-draw", parent);
  element("legend", "", group, words.legend);
  const list = element("div", "", group);
  const places = Object.fromEntries(board.places.map((place) => [place.name, place]));
  const marks = document.createElementNS(SVG, "g");
  let arrows = [];
  let held = null; // the arrow under the pointer, and what it was before

  const add = element("button", "pw-button", group, words.add);
  add.type = "button";
  add.dataset.key = "add";
  add.addEventListener("click", () => {
    arrows.push({ at: board.places[0].name, angle: "", size: "" });
    told();
    list.lastChild.querySelector("select").focus();
  });

  const written = () =>
    arrows
      .filter(({ angle, size }) => angle.trim() || size.trim())
      .map((a) => `${a.at} ${ends(a.angle.trim(), "°")} ${ends(a.size.trim(), ` ${unit}`)}`)
      .join("; ");

  function told() {
    rows();
    draw();
    changed(written());
  }

  function box(label, key, arrow, place, into) {
    const name = `${id}-${place}-${key}`;
    element("label", "", into, label).htmlFor = name;
    const input = element("input", "", into);
    Object.assign(input, { id: name, type: "text", autocomplete: "off" });
    input.inputMode = "decimal";
    input.value = arrow[key];
    input.dataset.key = `${key} ${place}`;
    input.addEventListener("input", () => {
      arrow[key] = input.value;
      draw();
      changed(written());
    });
  }

  function row(arrow, place) {
    const made = element("fieldset", "pw-arrow", list);
    element("legend", "", made, words.arrow[place]);
    const name = `${id}-${place}-at`;
    element("label", "", made, words.at).htmlFor = name;
    const select = element("select", "", made);
    Object.assign(select, { id: name });
    select.dataset.key = `at ${place}`;
    for (const each of board.places) select.add(new Option(each.name, each.name));
    select.value = arrow.at;
    select.addEventListener("change", () => {
      arrow.at = select.value;
      draw();
      changed(written());
    });
    box(words.angle, "angle", arrow, place, made);
    box(spec.size, "size", arrow, place, made);
    const turn = button("⇄", words.turn[place], () => {
      const angle = number(arrow.angle);
      if (!Number.isFinite(angle)) return;
      arrow.angle = String((angle + 540) % 360);
      told();
      focus(`turn ${place}`);
    }, made);
    turn.dataset.key = `turn ${place}`;
    const remove = button("✕", words.remove[place], () => {
      arrows.splice(place, 1);
      told();
      focus(`remove ${place}`, `remove ${place - 1}`, "add");
    }, made);
    remove.dataset.key = `remove ${place}`;
  }

  // Go on at the first of some keys that is there.
  function focus(...keys) {
    const found = keys.map((key) => group.querySelector(`[data-key="${key}"]`));
    found.find(Boolean)?.focus();
  }

  function rows() {
    list.replaceChildren();
    add.hidden = arrows.length >= words.arrow.length;
    arrows.forEach(row);
  }

  // In the picture: every point can be dragged out of, every tip can be dragged on.

  function end({ at, angle, size }) {
    const turn = (number(angle) * Math.PI) / 180;
    const long = number(size, unit) * board.scale;
    const { x, y } = places[at] ?? board.places[0];
    return { x: x + long * Math.cos(turn), y: y - long * Math.sin(turn), turn, long };
  }

  function draw() {
    marks.replaceChildren();
    for (const { name, x, y } of board.places) {
      mark("circle", { class: "pw-take", cx: x, cy: y, r: 13, "data-hook": name }, marks);
    }
    arrows.forEach((arrow, place) => {
      const { x, y, turn, long } = end(arrow);
      if (!(long > 0)) return;
      const from = places[arrow.at];
      const at = (back, side) => {
        const [c, s] = [Math.cos(turn), Math.sin(turn)];
        return `${x - back * c - side * s},${y + back * s - side * c}`;
      };
      const line = { x1: from.x, y1: from.y, x2: x - 9 * Math.cos(turn) };
      line.y2 = y + 9 * Math.sin(turn);
      mark("line", { class: "pw-own", ...line }, marks);
      const head = [at(0, 0), at(14, 6), at(10, 0), at(14, -6)].join(" ");
      mark("polygon", { class: "pw-own pw-own-tip", points: head }, marks);
      const [tx, ty] = at(-13, 0).split(",");
      const label = { class: "pw-strong-text", x: tx, y: ty, dy: ".35em" };
      mark("text", { ...label, "text-anchor": "middle" }, marks).textContent = place + 1;
      mark("circle", { class: "pw-take", cx: x, cy: y, r: 13, "data-tip": place }, marks);
    });
  }

  function reach(event) {
    const svg = marks.ownerSVGElement;
    const at = new DOMPoint(event.clientX, event.clientY);
    return at.matrixTransform(svg.getScreenCTM().inverse());
  }

  function pull(event) {
    const { x, y } = reach(event);
    const from = places[held.arrow.at];
    const [along, up] = [x - from.x, from.y - y];
    held.long = Math.hypot(along, up);
    const size = Math.max(step, Math.round(held.long / board.scale / step) * step);
    const angle = (Math.round((Math.atan2(up, along) * 180) / Math.PI) + 360) % 360;
    Object.assign(held.arrow, { angle: String(angle), size: String(+size.toFixed(2)) });
    rows();
    draw();
  }

  function letGo(keep) {
    const { arrow, before, long } = held;
    held = null;
    if (before && !keep) Object.assign(arrow, before);
    else if (!before && (!keep || long < SHORT)) arrows.splice(arrows.indexOf(arrow), 1);
    told();
  }

  function listen(svg) {
    svg.addEventListener("pointerdown", (event) => {
      const { hook, tip } = event.target.dataset;
      if (event.button || held || !(hook ? !add.hidden : tip)) return;
      event.preventDefault();
      svg.setPointerCapture(event.pointerId);
      const own = tip && arrows[tip];
      held = { arrow: own ?? { at: hook, angle: "", size: "" }, long: 0 };
      if (own) held.before = { ...own };
      else arrows.push(held.arrow);
    });
    svg.addEventListener("pointermove", (event) => held && pull(event));
    svg.addEventListener("pointerup", () => held && letGo(true));
    svg.addEventListener("pointercancel", () => held && letGo(false));
  }

  const back = (event) => {
    if (event.key === "Escape" && held) letGo(false);
  };

  // The sketch is drawn anew with each answer; the marks go with it. A card is built
  // before it stands on the page.
  function mount() {
    if (!card.contains(group)) {
      marks.remove();
      card.removeEventListener("shown", mount);
      document.removeEventListener("keydown", back);
      return;
    }
    const svg = card.querySelector(".pw-sketch svg");
    if (!svg || marks.ownerSVGElement === svg) return;
    svg.append(marks);
    listen(svg);
    draw();
  }
  card.addEventListener("shown", mount);
  document.addEventListener("keydown", back);

  return (text) => {
    if (text === written() && list.childElementCount) return;
    const found = text.split(";").map((part) => ARROW.exec(part));
    arrows = found.every(Boolean)
      ? found.map(([, at, angle, size]) => ({
          at: at.toUpperCase(),
          angle,
          size: size.replace(` ${unit}`, ""),
        }))
      : [];
    rows();
    draw();
  };
}
