// Where a design does not comply: what would make it; the kinds and forms of a request.

import { complaints } from "./api.js";
import { askLong } from "./longer.js";
import { title } from "./rulesets.js";

const $ = (id) => document.getElementById(id);
let choices = { kinds: [], forms: [], local: {}, elsewhere: [] };
let store;
let withFile;

export function offer(given, theStore, file) {
  choices = given;
  store = theStore;
  withFile = file;
  $("relief-kind").replaceChildren(...choices.kinds.map((k) => new Option(k.title, k.name)));
  $("elsewhere").replaceChildren(...choices.elsewhere.map((words) => {
    const item = document.createElement("li");
    item.textContent = `Not written here. ${words}`;
    return item;
  }));
  offerForms();
  $("relief-kind").addEventListener("change", () => offerForms());
  $("relief-under").addEventListener("change", chooseForPlace);
  $("relief").addEventListener("click", relieve);
}

/** Offer the forms that serve for the kind chosen. */
function offerForms(wanted = $("relief-form").value) {
  const serve = choices.forms.filter((f) => f.kinds.includes($("relief-kind").value));
  $("relief-form").replaceChildren(...serve.map((f) => new Option(f.title, f.name)));
  if (serve.some((f) => f.name === wanted)) $("relief-form").value = wanted;
}

/** A place has its own kinds and its own form. */
export function chooseForPlace() {
  const under = $("relief-under").value;
  $("asking-under").textContent = title(under);
  const own = choices.local[under.split("@")[0]];
  if (!own) return;
  if (own.kinds.length) $("relief-kind").value = own.kinds[0];
  offerForms(own.form);
}

/** Offer what the deck is held against now; an answer to another state of it is struck through. */
export function designChanged() {
  const select = $("relief-under");
  const kept = select.value;
  const { under } = store;
  if (String([...select.options].map((o) => o.value)) !== String(under)) {
    select.replaceChildren(...under.map((name) => new Option(title(name), name)));
    if (under.includes(kept)) select.value = kept;
    else if (under.length) chooseForPlace();
  }
  $("relief-answer").classList.toggle("stale", Boolean($("relief-answer").children.length));
}

export function forget() {
  $("relief-answer").replaceChildren();
  $("relief-answer").classList.remove("stale");
}

async function relieve() {
  const place = $("relief-answer");
  const { revision } = store;
  place.classList.remove("stale");
  const asked = { ...withFile(), under: $("relief-under").value };
  const answer = await askLong("relief", asked, "text", place, "Searching");
  if (answer.ok) place.innerHTML = answer.text; // written by our own server, every text escaped
  else place.textContent = complaints(answer).join(" ");
  place.classList.toggle("stale", revision !== store.revision);
}
