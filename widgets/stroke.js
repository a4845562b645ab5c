// A stroke that is played: its pictures come from the kernel some at a time and are
// shown in their order. Nothing plays by itself, and nothing plays twice.

import { shown } from "./grips.js";
import { nextGrab } from "./hand.js";

const PACES = ["4", "2", "8", "stills"]; // s for the whole stroke
const STRIDE = 2; // steps that a press of a button goes, if the stroke has no other
const AHEAD = 8; // steps that are asked for before they are needed

// How many steps have passed, where the whole stroke takes some seconds.
export function stepsIn(milliseconds, seconds, stroke) {
  const whole = (stroke.high - stroke.low) / stroke.step;
  return Math.floor((milliseconds / (1000 * seconds)) * whole);
}

// A stroke some steps on, within its ends.
export function strokeAt(stroke, from, steps) {
  const value = Math.min(stroke.high, Math.max(stroke.low, from + steps * stroke.step));
  return +(Math.round(value / stroke.grain) * stroke.grain).toFixed(6);
}

// The player: buttons, a slider over the stroke, and how long it takes. `ask` sends a
// wish to the kernel, `draw` shows what a step looks like, `pace` reads and keeps how
// long a reader wants it to take, `calm` tells whether nothing is to move by itself,
// `playing` is told whether something does.
export function makePlayer({ bar, says, line, ask, draw, speak, pace, calm, playing }) {
  const group = document.createElement("div");
  group.className = "pw-stroke";
  group.setAttribute("role", "group");
  group.setAttribute("aria-label", says.stroke);
  let stroke = null; // what the kernel tells of it
  let run = null; // what is played
  let painted = 0;

  const put = (tag, action) => {
    const part = document.createElement(tag);
    if (tag === "button") {
      part.type = "button";
      part.className = "pw-button";
      part.addEventListener("click", action);
    }
    group.append(part);
    return part;
  };
  const back = put("button", () => go(-1));
  const play = put("button", () => (run ? pause() : start()));
  const on = put("button", () => go(1));
  const slider = put("input");
  const value = put("output");
  const ways = put("select");
  const paces = put("select");
  slider.type = "range";
  back.textContent = says.stroke_back;
  on.textContent = says.stroke_on;
  paces.setAttribute("aria-label", says.pace);
  for (const name of PACES) paces.add(new Option(says[`pace_${name}`], name));
  paces.value = PACES.includes(pace.read()) ? pace.read() : PACES[0];
  paces.addEventListener("change", () => pace.keep(paces.value));
  ways.setAttribute("aria-label", says.way);
  ways.addEventListener("change", () => {
    send(run?.shown ?? present(), "end", { via: "typed", way: ways.value });
  });
  slider.addEventListener("input", () => send(+slider.value, "move"));
  slider.addEventListener("change", () => send(+slider.value, "end"));
  bar.append(group);

  const present = () => line.valueOf(stroke.field, stroke.value);
  let grab = nextGrab();

  function send(to, phase, how = { via: "typed" }) {
    halt();
    line.send({ grip: "", grab, phase, values: { [stroke.field]: to }, ...how });
    if (phase === "end") grab = nextGrab();
    show(to);
  }

  function go(sense) {
    const from = run?.shown ?? present();
    send(strokeAt(stroke, from, sense * (stroke.stride ?? STRIDE)), "end");
  }

  function show(at) {
    slider.value = at;
    value.textContent = shown(stroke, at);
    slider.setAttribute("aria-valuetext", value.textContent);
    play.textContent = run ? says.pause : says.play;
    playing(Boolean(run));
  }

  function showWays({ ways: offered, way }) {
    ways.hidden = offered.length < 2;
    if (ways.length !== offered.length) {
      ways.replaceChildren(...offered.map(([name, text]) => new Option(text, name)));
    }
    ways.value = way;
  }

  function halt() {
    cancelAnimationFrame(painted);
    run = null;
  }

  function start() {
    if (paces.value === "stills" || calm()) {
      ask({ stills: stroke.field });
      return;
    }
    speak(says.playing);
    begin(present() < stroke.high ? present() : stroke.low);
  }

  function begin(from) {
    halt();
    run = { from, shown: from, steps: [], asked: 0, number: nextGrab() };
    run.began = run.looked = performance.now();
    show(from);
    more();
    painted = requestAnimationFrame(tick);
  }

  function more() {
    run.asked += AHEAD;
    const { number, from, asked } = run;
    const first = strokeAt(stroke, from, asked - AHEAD);
    ask({ play: stroke.field, run: number, first, steps: AHEAD });
  }

  function tick(now) {
    painted = requestAnimationFrame(tick);
    const due = stepsIn(now - run.began, +paces.value, stroke);
    if (due + AHEAD > run.asked && !run.over) more();
    const over = run.over && due >= run.steps.length;
    const next = over ? run.steps.at(-1) : run.steps[due];
    if (!next) run.began += now - run.looked; // the stroke waits for its picture
    run.looked = now;
    if (next && next.value !== run.shown) {
      run.shown = next.value;
      draw(next);
      show(next.value);
    }
    if (over) pause();
  }

  function pause() {
    const { from, shown: at } = run;
    send(at, "end", { via: "play", since: from });
  }

  return {
    // Show the stroke of a frame; whatever moved it ends what is played.
    show(frame) {
      halt();
      stroke = frame.stroke ?? null;
      group.hidden = !stroke;
      if (!stroke) return;
      const { low, high, step } = stroke;
      Object.assign(slider, { min: low, max: high, step });
      slider.setAttribute("aria-label", stroke.label);
      showWays(stroke);
      group.classList.toggle("pw-held", Boolean(frame.still));
      show(present());
    },
    // Hear a step that was asked for, or that there are no more. Where a stroke has
    // come to its end, it starts again.
    hear(content) {
      if (content.stills) draw(content.stills);
      if (!run || content.run !== run.number) return;
      if (content.step) run.steps.push(content.step);
      if (!content.over) return;
      run.over = true;
      if (run.steps.length < 2 && run.from > stroke.low) begin(stroke.low);
    },
    // Stop what is played where it is.
    rest() {
      if (run) pause();
    },
    end: halt,
  };
}
