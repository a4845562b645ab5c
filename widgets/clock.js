// A clock in a line of text: how long something takes already.

const LATE = "pw-late";

// Write `text` into a line, second by second, with the minutes since `began` in it.
// Past the minute `until` the line is marked. Returns what stops it.
export function startClock(line, { began, until, text }) {
  const tick = () => {
    const past = Math.max(0, Math.floor(Date.now() / 1000 - began));
    const time = `${Math.floor(past / 60)}:${String(past % 60).padStart(2, "0")}`;
    line.textContent = text.replace("{time}", time);
    line.classList.toggle(LATE, past > 60 * until);
  };
  tick();
  const ticking = setInterval(tick, 1000);
  return () => clearInterval(ticking);
}
