// Before and after: what the last edit changed, and what has changed since a state was taken.

import { ask, complaints } from "./api.js";
import { askLong } from "./longer.js";
import * as panels from "./panels.js";

const $ = (id) => document.getElementById(id);
const PAUSE = 350; // after this pause the last edit is held against what stood before it (ms)
let store;
let pinned = null;
let timer = 0;
let busy = false;

export function begin(given) {
  store = given;
  store.subscribe((_, what) => {
    if (what === "design") {
      $("last-edit").classList.add("stale");
      $("two-answer").classList.toggle("stale", Boolean($("two-answer").children.length));
    }
    if (what === "answer" && store.current()) {
      clearTimeout(timer);
      timer = setTimeout(tellLastEdit, PAUSE);
    }
  });
  $("pin").addEventListener("click", () => pin(store.design, `as it stood at ${new Date().toLocaleTimeString()}`));
  $("other").addEventListener("change", takeOther);
  $("go-back").addEventListener("click", goBack);
  panels.onShow("two", holdAgainst);
}

/** Offer the decks that can be held beside this one. */
export function offer(start) {
  const from = (source, names) => names.map((name) => new Option(name, JSON.stringify({ source, name })));
  $("other").replaceChildren(new Option("choose one", ""), ...from("folder", start.designs), ...from("example", start.examples));
}

async function takeOther() {
  if (!$("other").value) return;
  const wanted = JSON.parse($("other").value);
  const answer = await ask("open", { ...wanted, as_saved: true });
  if (answer.ok) pin(answer.data.design, wanted.name);
  else $("two-answer").textContent = complaints(answer).join(" ");
  $("other").value = "";
}

export function forget() {
  pinned = null;
  $("pinned").textContent = "Nothing is taken for “before” yet.";
  $("go-back").hidden = true;
  $("two-answer").replaceChildren();
  $("last-edit-answer").replaceChildren(saying("Nothing is edited yet."));
}

function saying(words) {
  return Object.assign(document.createElement("p"), { className: "faint", textContent: words });
}

/** Tell what the last step changed, in the words of the command that compares two designs. */
async function tellLastEdit() {
  const before = store.before();
  const place = $("last-edit-answer");
  if (!before) {
    place.replaceChildren(saying("Nothing is edited yet."));
    return $("last-edit").classList.remove("stale");
  }
  if (!store.under.length || before.design === store.design) {
    place.replaceChildren(saying("The deck is as before; it is held against other rule sets."));
    return $("last-edit").classList.remove("stale");
  }
  if (busy) return undefined; // it is asked again once that answer is there
  busy = true;
  const { revision } = store;
  const asked = { before: before.design, after: store.design, under: store.under, si: Boolean(store.wants.si), brief: true };
  const answer = await ask("two", asked, "text");
  busy = false;
  if (revision !== store.revision) return tellLastEdit();
  if (!answer.ok) {
    place.replaceChildren(saying(`Not worked out: ${complaints(answer).join(" ")}`));
    return undefined;
  }
  place.innerHTML = answer.text; // written by our own server, every text in it escaped
  $("last-edit").classList.remove("stale");
  return undefined;
}

function pin(design, words) {
  pinned = design;
  $("pinned").textContent = `“Before” is the deck ${words}.`;
  $("go-back").hidden = false;
  holdAgainst();
}

function goBack() {
  const { name, says, facts, parts } = pinned;
  const changes = { name, says };
  for (const key of new Set([...Object.keys(facts), ...Object.keys(store.design.facts)])) changes[key] = facts[key] || "";
  for (const group of new Set([...Object.keys(parts), ...Object.keys(store.design.parts)])) changes[group] = parts[group] ?? null;
  store.edit(changes, { label: "Back to “before”" });
  holdAgainst();
}

async function holdAgainst() {
  const place = $("two-answer");
  if (!pinned) return;
  const { revision } = store;
  const answer = await askLong("two", { before: pinned, after: store.design, under: store.under, si: Boolean(store.wants.si) }, "text", place, "Holding the two side by side");
  if (answer.ok) place.innerHTML = answer.text; // written by our own server, every text in it escaped
  else place.textContent = complaints(answer).join(" ");
  place.classList.toggle("stale", revision !== store.revision);
}
