// What a reader does in the picture: takes, turns and plays. Puts hand, views and
// stroke on the page, each move on one line to the kernel.

import { makeHandles, makeTurning } from "./hand.js";
import { makeLine } from "./line.js";
import { element } from "./parts.js";
import { prefs, remember } from "./prefs.js";
import { makePlayer } from "./stroke.js";

const AT_REST = 500; // ms without a new picture
const SEEN = "pw-seen"; // told on the page when a view was chosen

const slowed = matchMedia("(prefers-reduced-motion: reduce)");
const calm = () => slowed.matches || prefs().pace === "stills";
const alike = (one, other) => JSON.stringify(one) === JSON.stringify(other);

// `page` has the places hand and bar; `draw` shows a picture with what belongs to it,
// `speak` says words to a screen reader.
export function makeMoves({ model, page, says, draw, speak }) {
  const space = model.get("space");
  const line = makeLine(model, (how) => {
    waiting.textContent = how && says[`kernel_${how}`];
  });
  const area = space.views && element("div", "pw-turn", page.hand);
  const turning = space.views && makeTurning({ area, bar: page.bar, says, space, turn, calm });
  const handles = makeHandles({ overlay: page.hand, says, line });
  const player = makePlayer({
    bar: page.bar,
    says,
    line,
    ask: (wish) => model.send(wish),
    draw,
    speak,
    pace: { read: () => prefs().pace, keep: (pace) => remember({ pace }) },
    calm,
    // The handles are where the stroke began: out of sight until it stands still. What
    // came to rest before would be told with a new picture, and end it.
    playing: (plays) => {
      if (plays) clearTimeout(rest);
      page.hand.classList.toggle("pw-playing", plays);
    },
  });
  const waiting = element("span", "pw-waiting", page.bar);
  waiting.setAttribute("role", "status");
  let rest = 0;

  // The choice stays: here, and in every other explorer of the subject.
  function turn(view, phase) {
    player.rest();
    line.send({ view, phase, via: "view" });
    if (phase !== "end") return;
    remember({ views: { ...prefs().views, [space.subject]: view } });
    dispatchEvent(new CustomEvent(SEEN, { detail: { model, view } }));
  }

  function follow({ detail }) {
    if (detail.model === model) return;
    if (detail.model.get("space").subject === space.subject) seeFrom(detail.view);
  }

  function seeFrom(view) {
    turning.take(view);
    line.send({ view, phase: "end", via: "view" });
  }

  const hear = (content) => player.hear(content);
  model.on("msg:custom", hear);
  if (turning) {
    addEventListener(SEEN, follow);
    const kept = prefs().views?.[space.subject];
    if (kept && !alike(kept, model.get("frame").view)) seeFrom(kept);
  }

  return {
    valueOf: line.valueOf,
    // Set values that were not taken in the picture, as one that was typed.
    set: (values) => line.send({ grip: "", phase: "end", via: "typed", values }),
    show(frame) {
      line.hear(frame);
      handles.show(frame);
      player.show(frame);
      clearTimeout(rest);
      if (!frame.moving) return;
      rest = setTimeout(() => line.send({ phase: "rest" }), AT_REST);
    },
    end() {
      clearTimeout(rest);
      removeEventListener(SEEN, follow);
      model.off("msg:custom", hear);
      for (const part of [line, handles, player, turning]) part?.end();
    },
  };
}
