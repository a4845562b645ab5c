// The line to the kernel for moves: the newest state, never a queue of messages.

const COMPUTING = 500; // ms without an answer, and the reader is told
const AGAIN = 3000; // ms without an answer, and the move is sent once more

// Moves of one model. `tell` shows the reader how things stand: "", "computing" or
// "silent". Each move has all values, view and way that are not answered yet, so that
// a newer one that takes its place on the way loses nothing.
export function makeLine(model, tell) {
  let pending = {}; // values by field
  let view = null;
  let way = null; // what happens while a stroke is played
  let next = null; // what is sent with the next picture of the screen
  let painted = 0;
  let timer = 0;
  const last = () => model.get("move").seq ?? 0;

  function post() {
    cancelAnimationFrame(painted);
    painted = 0;
    const move = { ...next, values: pending, view, way, seq: last() + 1 };
    next = null;
    put(move);
    clearTimeout(timer);
    timer = setTimeout(wait, COMPUTING);
  }

  function put(move) {
    model.set("move", move);
    model.save_changes();
  }

  function wait() {
    tell("computing");
    timer = setTimeout(resend, AGAIN - COMPUTING);
  }

  function resend() {
    put({ ...model.get("move"), seq: last() + 1 });
    timer = setTimeout(() => tell("silent"), AGAIN);
  }

  return {
    // Send a move: at most one for each picture of the screen, its end at once.
    send(move) {
      pending = { ...pending, ...move.values };
      view = move.view ?? view;
      way = move.way ?? way;
      next = { ...next, ...move };
      if (move.phase === "end" || move.phase === "cancel") post();
      else if (!painted) painted = requestAnimationFrame(post);
    },
    // The value of a field: what was sent and not answered yet, or what is known.
    valueOf: (field, known) => pending[field] ?? known,
    // Hear a frame; it counts as an answer only if it answers the newest move.
    hear(frame) {
      if (next || frame.answers < last()) return;
      pending = {};
      view = null;
      way = null;
      clearTimeout(timer);
      tell("");
    },
    end() {
      cancelAnimationFrame(painted);
      clearTimeout(timer);
    },
  };
}
