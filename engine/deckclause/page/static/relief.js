// Where a design does not comply: what would make it; the kinds and forms of a request.

import { ask, complaints } from "./api.js";
import { title } from "./rulesets.js";

const $ = (id) => document.getElementById(id);
let choices = { kinds: [], forms: [], local: {}, elsewhere: [] };
let withFile = () => ({});

export function offer(given, file) {
  choices = given;
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

export function forget() {
  $("relief-answer").replaceChildren();
}

async function relieve() {
  const place = $("relief-answer");
  place.textContent = "Searching; this takes some seconds.";
  const answer = await ask("relief", { ...withFile(), under: $("relief-under").value }, "text");
  if (answer.ok) place.innerHTML = answer.text; // written by our own server, every text escaped
  else place.textContent = complaints(answer).join(" ");
}
