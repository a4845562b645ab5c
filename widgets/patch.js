// New markup in the place of old, node by node: what is the same stays, so that the
// browser lays out and paints only what has changed.

export function patch(place, markup) {
  const fresh = place.cloneNode(false);
  fresh.innerHTML = markup;
  follow(place, fresh);
}

// Make the children of a node like those of a fresh one.
function follow(place, fresh) {
  const there = [...place.childNodes];
  const wanted = [...fresh.childNodes];
  wanted.forEach((node, k) => {
    if (k >= there.length) place.append(node);
    else if (there[k].isEqualNode(node)) return;
    else if (!(node instanceof Element) || there[k].nodeName !== node.nodeName) {
      there[k].replaceWith(node);
    } else {
      dress(there[k], node);
      follow(there[k], node);
    }
  });
  for (const node of there.slice(wanted.length)) node.remove();
}

function dress(part, like) {
  for (const name of part.getAttributeNames()) {
    if (!like.hasAttribute(name)) part.removeAttribute(name);
  }
  for (const { name, value } of like.attributes) {
    if (part.getAttribute(name) !== value) part.setAttribute(name, value);
  }
}
