// One figure of an edition changed as a town might: tried on the deck on screen, kept as a draft file.

import { ask, complaints } from "./api.js";
import { askLong } from "./longer.js";
import * as panels from "./panels.js";
import * as rulesets from "./rulesets.js";

const $ = (id) => document.getElementById(id);
let store;
let withFile;
let choices = null;
let tried = ""; // what was tried last, as it was asked

export function begin(given, file) {
  store = given;
  withFile = file;
  panels.onShow("amend", list);
  $("amend-edition").addEventListener("change", list);
  $("amend-clause").addEventListener("change", tell);
  $("amend-try").addEventListener("click", () => work(false));
  $("amend-save").addEventListener("click", () => work(true));
  $("amend").addEventListener("input", () => { $("amend-save").disabled = true; });
  store.subscribe((_, what) => {
    if (what === "design") $("amend-found").classList.toggle("stale", Boolean($("amend-found").children.length));
  });
}

export function offer(editions) {
  $("amend-edition").replaceChildren(...editions.map((name) => new Option(rulesets.title(name), name)));
  $("amend-edition").value = editions[editions.length - 1] || "";
  choices = null;
}

export function forget() {
  $("amend-found").replaceChildren();
  $("amend-told").replaceChildren();
  $("amend-save").disabled = true;
}

/** Offer what may be changed: clauses that set a figure, then the values a place fixes. */
async function list() {
  const edition = $("amend-edition").value;
  if (!edition || choices?.edition === edition) return;
  const answer = await ask("clauses", { edition });
  if (!answer.ok) {
    $("amend-told").textContent = complaints(answer).join(" ");
    return;
  }
  choices = { edition, ...answer.data };
  const group = (label, options) => {
    const made = Object.assign(document.createElement("optgroup"), { label });
    made.append(...options);
    return made;
  };
  $("amend-clause").replaceChildren(
    group("Rules with a figure", choices.clauses.map((one) => new Option(one.title, `clause ${one.key}`))),
    group("Values a town fixes", choices.values.map((one) => new Option(one.title, `value ${one.quantity}`))),
  );
  tell();
}

/** What is chosen: a clause with what it asks now, or a value. */
function chosen() {
  const [kind, name] = $("amend-clause").value.split(" ");
  return kind === "clause" ? choices.clauses.find((one) => one.key === name) : choices.values.find((one) => one.quantity === name);
}

function tell() {
  const one = chosen();
  $("amend-bound").disabled = !one.key;
  if (one.key) $("amend-bound").value = one.bound;
  $("amend-asks").textContent = one.key ? `It asks now: ${one.asks}.` : "";
  forget();
}

async function work(write) {
  const one = chosen();
  if (!one) return;
  const found = $("amend-found");
  const struck = [...found.querySelectorAll("[data-strike]:checked")].map((box) => Number(box.dataset.strike));
  const keep = Boolean(found.querySelector("[data-keep]:checked"));
  const asked = {
    edition: choices.edition, place: $("amend-place").value, clause: one.key || "", quantity: one.quantity || "",
    bound: $("amend-bound").value, figure: $("amend-figure").value, si: Boolean(store.wants.si),
  };
  const same = tried === JSON.stringify(asked); // what is ticked belongs to what was tried
  const { revision } = store;
  const answer = await askLong("amend", { ...withFile(), ...asked, ...(same && { struck, keep }), write }, "text", $("amend-told"), write ? "Saving the draft" : "Trying it");
  if (!answer.ok) {
    $("amend-told").textContent = complaints(answer).join(" ");
    found.classList.toggle("stale", Boolean(found.children.length));
    return;
  }
  tried = JSON.stringify(asked);
  found.innerHTML = answer.text; // written by our own server, every text in it escaped
  if (same && !write) {
    for (const box of found.querySelectorAll("[data-strike]")) box.checked = struck.includes(Number(box.dataset.strike));
  }
  found.classList.toggle("stale", revision !== store.revision);
  $("amend-save").disabled = write;
}
