// The rule sets a design is held against: editions, guides, places on a day.

import { ask, complaints } from "./api.js";

const $ = (id) => document.getElementById(id);
let places = [];
let titles = {};

/** A rule set as it is called everywhere; a place on a day as every output writes it. */
export const title = (name) => titles[name] ?? name.replace("@", ", ");

const MOST = 8;
let store;
let begins = [];

/** Offer the rule sets there are; what is chosen is the store's. */
export function offer(start, given) {
  store = given;
  begins = start.begin_with;
  titles = start.titles;
  for (const [where, names] of [["editions", start.editions], ["guides", start.guides]]) {
    for (const name of names) addBox($(where), name);
  }
  places = start.places;
  for (const place of places) $("place").append(new Option(place.name, place.name));
  $("day").value = new Date().toISOString().slice(0, 10);
  $("place").addEventListener("change", about);
  if (places.length) about();
  else $("places").hidden = true;
  $("against").addEventListener("change", changed);
  $("add-place").addEventListener("click", addPlace);
  $("place-spans").addEventListener("click", (event) => {
    const day = event.target.closest("[data-day]")?.dataset.day;
    if (day) $("day").value = day;
  });
  store.subscribe((_, what) => { if (what === "design") show(); });
  show();
}

/** What a fresh deck is held against. */
export const usual = () => [...begins];

function boxes() {
  return [...$("against").querySelectorAll("input[type=checkbox]")];
}

function show() {
  const { under } = store;
  for (const name of under) if (!boxes().some((box) => box.value === name)) addBox($("chosen-places"), name);
  for (const box of boxes()) box.checked = under.includes(box.value);
  for (const box of [...$("chosen-places").querySelectorAll("input")]) if (!box.checked) box.closest("label").remove();
  const names = under.map(title);
  $("chosen").textContent = (names.length > 4 ? `${names.length} rule sets` : names.join(names.some((one) => one.includes(",")) ? "; " : ", ")) || "nothing chosen";
}

function changed(event) {
  const { checked, value, type } = event.target;
  if (type !== "checkbox") return;
  if (checked && store.under.length >= MOST) {
    event.target.checked = false;
    return complain(`At most ${MOST} at a time; take one out first.`);
  }
  const order = boxes().map((box) => box.value);
  const now = checked ? [...store.under, value] : store.under.filter((name) => name !== value);
  complain("");
  store.edit({ under: now.sort((a, b) => order.indexOf(a) - order.indexOf(b)) }, { label: `Held against ${title(value)}` });
}

function complain(words) {
  $("place-fault").textContent = words;
  $("place-fault").hidden = !words;
}

async function addPlace() {
  if (!$("day").value) return complain("Choose the day first: a place has other rules on another day.");
  const name = `${$("place").value}@${$("day").value}`;
  if (store.under.includes(name)) return complain("");
  if (store.under.length >= MOST) return complain(`At most ${MOST} at a time; take one out first.`);
  const answer = await ask("place", { name });
  if (!answer.ok) return complain(complaints(answer).join(" "));
  complain("");
  return store.edit({ under: [...store.under, name] }, { label: `Held against ${title(name)}` });
}

function addBox(where, name) {
  const label = document.createElement("label");
  label.className = "check";
  const box = document.createElement("input");
  box.type = "checkbox";
  box.value = name;
  label.append(box, title(name));
  where.append(label);
}

/** A place in words, and each time it had rules of: a press takes its first day. */
function about() {
  const place = places.find((p) => p.name === $("place").value);
  $("place-says").textContent = `${place.invented ? "Invented. " : ""}${place.says}`;
  $("place-spans").replaceChildren(...place.adoptions.map((a) => {
    const item = document.createElement("li");
    const words = `${title(a.edition)} from ${a.from}${a.until ? ` until ${a.until}` : ""}`;
    const button = Object.assign(document.createElement("button"), { type: "button", textContent: words });
    button.className = "link";
    button.dataset.day = a.from;
    item.append(button);
    return item;
  }));
}
