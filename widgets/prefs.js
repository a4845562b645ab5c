// What a browser remembers of its reader: size of text, and whether keys work.

const PREFS = "pullwright";

export function prefs() {
  try {
    return { text: 1, keys: true, ...JSON.parse(localStorage.getItem(PREFS)) };
  } catch {
    return { text: 1, keys: true };
  }
}

export function remember(change) {
  const all = { ...prefs(), ...change };
  try {
    localStorage.setItem(PREFS, JSON.stringify(all));
  } catch {
    // A browser without storage forgets: nothing else is lost.
  }
  return all;
}
