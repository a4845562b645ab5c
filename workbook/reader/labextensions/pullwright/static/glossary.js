// Words of the trade with their meaning: in each section of a text a word is marked
// where it stands first; focus, pointer or tap show what it means, Escape puts it away.

const UNMARKED = "h1, h2, h3, h4, h5, h6, a, code, pre, button, summary";
const HEADING = /^H[1-6]$/;

export class Glossary {
  /** Take up `{name: [forms, meaning]}`. */
  constructor(entries) {
    this.entries = new Map(Object.entries(entries));
    this.names = new Map();
    for (const [name, [forms]] of this.entries) {
      for (const form of forms) this.names.set(form.toLowerCase(), name);
    }
    const longestFirst = [...this.names.keys()].toSorted((a, b) => b.length - a.length);
    const any = longestFirst.map((form) => form.split(" ").map(escaped).join("\\s+"));
    // Whole words only: not the "ram" of "frame".
    const word = `(?<![\\p{L}\\p{N}])(?:${any.join("|")})(?![\\p{L}\\p{N}])`;
    this.pattern = new RegExp(word, "giu");
    this.note = document.createElement("div");
    Object.assign(this.note, { className: "pw-meaning", hidden: true });
    this.note.setAttribute("role", "tooltip");
    document.body.append(this.note, this.meanings());
    const follow = () => this.note.hidden || this.place();
    document.addEventListener("scroll", follow, { capture: true, passive: true });
    addEventListener("resize", follow);
  }

  /** Return every meaning once, for what reads a page aloud. */
  meanings() {
    const all = document.createElement("div");
    all.hidden = true;
    for (const [name, [, meaning]] of this.entries) {
      const one = document.createElement("p");
      Object.assign(one, { id: `pw-meaning-${name}`, textContent: meaning });
      all.append(one);
    }
    return all;
  }

  /** Mark the words of rendered texts, given in their order; again changes nothing. */
  markUp(texts) {
    if (this.names.size === 0) return;
    let seen = new Set();
    for (const text of texts) {
      const every = NodeFilter.SHOW_ELEMENT | NodeFilter.SHOW_TEXT;
      const walker = document.createTreeWalker(text, every);
      const nodes = [];
      while (walker.nextNode()) nodes.push(walker.currentNode);
      for (const node of nodes) {
        if (HEADING.test(node.nodeName)) seen = new Set();
        else if (node.dataset?.word) seen.add(node.dataset.word);
        else if (node.nodeType === Node.TEXT_NODE) this.markIn(node, seen);
      }
    }
  }

  markIn(text, seen) {
    if (text.parentElement.closest(UNMARKED)) return;
    const parts = [];
    let done = 0;
    for (const found of text.data.matchAll(this.pattern)) {
      const name = this.names.get(found[0].toLowerCase().replace(/\s+/g, " "));
      if (seen.has(name)) continue;
      seen.add(name);
      parts.push(text.data.slice(done, found.index), this.word(name, found[0]));
      done = found.index + found[0].length;
    }
    if (parts.length > 0) text.replaceWith(...parts, text.data.slice(done));
  }

  word(name, text) {
    const button = document.createElement("button");
    Object.assign(button, { type: "button", className: "pw-word", textContent: text });
    button.dataset.word = name;
    button.dataset.lmSuppressShortcuts = "true"; // Enter would edit the notebook
    button.setAttribute("aria-describedby", `pw-meaning-${name}`);
    const show = () => this.show(button);
    const hide = () => (this.note.hidden = true);
    button.addEventListener("focus", show);
    button.addEventListener("pointerenter", show);
    button.addEventListener("click", show); // where a tap gives no focus
    button.addEventListener("blur", hide);
    button.addEventListener("pointerleave", hide);
    button.addEventListener("keydown", (event) => {
      if (event.key === "Escape") hide();
    });
    return button;
  }

  show(button) {
    const [, meaning] = this.entries.get(button.dataset.word);
    this.shown = button;
    this.note.textContent = meaning;
    this.note.hidden = false;
    this.place();
  }

  /** Put the meaning under its word, or over it where the page ends. */
  place() {
    Object.assign(this.note.style, { left: "0", top: "0" }); // as wide as it likes
    const word = this.shown.getBoundingClientRect();
    const { width, height } = this.note.getBoundingClientRect();
    const left = Math.max(8, Math.min(word.left, innerWidth - width - 8));
    const under = word.bottom + 4;
    const top = under + height <= innerHeight ? under : word.top - height - 4;
    Object.assign(this.note.style, { left: `${left}px`, top: `${top}px` });
  }
}

function escaped(text) {
  return text.replace(/[.*+?^${}()|[\]\\]/g, "\\$&");
}
