// Where a design does not comply: what would make it, and the request for relief.

import { ask, complaints } from "./api.js";

const $ = (id) => document.getElementById(id);
let choices = { kinds: [], forms: [], local: {}, elsewhere: [] };
let withFile = () => ({});
let filled = "";

export function offer(given, file, takeAway) {
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
  $("lacks").addEventListener("click", lacks);
  $("request").addEventListener("click", () => takeAway("request", asked(), $("requested")));
  $("filled").addEventListener("change", take);
}

/** Offer the forms that serve for the kind chosen. */
function offerForms(wanted = $("relief-form").value) {
  const serve = choices.forms.filter((f) => f.kinds.includes($("relief-kind").value));
  $("relief-form").replaceChildren(...serve.map((f) => new Option(f.title, f.name)));
  if (serve.some((f) => f.name === wanted)) $("relief-form").value = wanted;
}

/** A place has its own kinds and its own form. */
export function chooseForPlace() {
  const own = choices.local[$("relief-under").value.split("@")[0]];
  if (!own) return;
  if (own.kinds.length) $("relief-kind").value = own.kinds[0];
  offerForms(own.form);
}

export function forget() {
  filled = "";
  $("filled").value = "";
  for (const id of ["relief-answer", "request-lacks", "requested"]) $(id).replaceChildren();
}

async function take(event) {
  const file = event.target.files[0];
  filled = file && file.size <= 500_000 ? await file.text() : "";
  $("requested").textContent = file && !filled ? "That file is empty or too large for a request." : "";
  if (filled) await lacks();
}

const asked = () => ({
  ...withFile(), under: $("relief-under").value, kind: $("relief-kind").value,
  form: $("relief-form").value, filled, format: $("request-format").value,
});

async function lacks() {
  await shown("request-check", asked(), $("request-lacks"));
}

async function relieve() {
  await shown("relief", { ...withFile(), under: $("relief-under").value }, $("relief-answer"));
}

async function shown(name, body, place) {
  place.textContent = "Searching; this takes some seconds.";
  const answer = await ask(name, body, "text");
  if (answer.ok) place.innerHTML = answer.text; // written by our own server, every text escaped
  else place.textContent = complaints(answer).join(" ");
}
