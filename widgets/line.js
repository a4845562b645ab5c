// The line to the kernel for moves: the newest state, never a queue of messages.
// The kernel works on one move while the page shows the answer to another.

const COMPUTING = 500; // ms without an answer, and the reader is told
const AGAIN = 3000; // ms without an answer, and the move is sent once more
const UNDER_WAY = 2; // moves at most that wait for their answers

// Moves of one model. `tell` shows the reader how things stand: "", "computing" or
// "silent". Each move has all values, view and way that are not answered yet, so that
// a newer one that takes its place on the way loses nothing.
export function makeLine(model, tell) {
  let pending = {}; // values by field
  let view = null;
  let way = null; // what happens while a stroke is played
  let next = null; // what is sent with the next picture of the screen, or answer
  let last = null; // what was sent
  let seq = model.get("frame").answers ?? 0; // its number
  let answered = seq;
  let painted = 0;
  let timer = 0;

  function post() {
    cancelAnimationFrame(painted);
    painted = 0;
    if (seq - answered >= UNDER_WAY) return; // it goes with the next answer
    clearTimeout(timer);
    timer = setTimeout(wait, COMPUTING);
    put(next);
  }

  function put(move) {
    last = move;
    next = null;
    seq += 1;
    try {
      model.send({ move: { ...move, values: pending, view, way, seq } });
    } catch {
      // A kernel that has gone takes nothing; the reader is told that it is silent.
    }
  }

  function wait() {
    tell("computing");
    timer = setTimeout(resend, AGAIN - COMPUTING);
  }

  function resend() {
    timer = setTimeout(giveUp, AGAIN);
    put(next ?? last);
  }

  function giveUp() {
    answered = seq; // a new move does not wait for it
    tell("silent");
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
      answered = Math.max(answered, frame.answers ?? 0);
      seq = Math.max(seq, answered); // another view of the model may have sent it
      if (next && !painted) post();
      if (next || answered < seq) return;
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
