// Work that takes over a second: how long it has taken, and a way to give it up.

import { ask, complaints } from "./api.js";

/** Ask for it; while it is worked on `told` says so, with the seconds gone and a button to stop it. */
export async function askLong(name, body, as, told, words) {
  const stop = new AbortController();
  const began = Date.now();
  const said = document.createElement("span");
  const button = Object.assign(document.createElement("button"), { type: "button", textContent: "Stop" });
  button.className = "stop";
  button.hidden = true;
  button.addEventListener("click", () => stop.abort());
  said.textContent = `${words}.`;
  told.replaceChildren(said, " ", button);
  const seconds = setInterval(() => {
    button.hidden = false;
    said.textContent = `${words}: ${Math.round((Date.now() - began) / 1000)} s.`;
  }, 1000);
  try {
    return await ask(name, body, as, { signal: stop.signal });
  } finally {
    clearInterval(seconds);
    told.replaceChildren();
  }
}

/** Ask for a file and hand it to the browser's own downloads; tell whether there is one. */
export async function takeAway(name, body, told) {
  const answer = await askLong(name, body, "blob", told, "Writing");
  if (!answer.ok) {
    told.textContent = complaints(answer).join(" ");
    return false;
  }
  const link = document.createElement("a");
  link.href = URL.createObjectURL(answer.blob);
  link.download = decodeURIComponent(answer.name);
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
  told.textContent = `Wrote ${link.download}.`;
  return true;
}
