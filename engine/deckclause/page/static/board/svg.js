// Elements of the board's own layer, and the server's drawing put under it.

const SPACE = "http://www.w3.org/2000/svg";
const shown = new Map();

export function element(tag, attributes, text = "") {
  const made = document.createElementNS(SPACE, tag);
  for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
  if (text) made.textContent = text;
  return made;
}

export function draw(tag, attributes, ...children) {
  const made = element(tag, attributes);
  made.append(...children);
  return made;
}

/** Put a drawing our own server wrote in its place, unless it stands there already. */
export function put(place, drawing) {
  if (shown.get(place) === drawing) return;
  shown.set(place, drawing);
  place.innerHTML = drawing;
}
