// The cards: one for each rule set, what is above and below them, and the questions asked in place.

import * as form from "./form.js";

const $ = (id) => document.getElementById(id);
const shown = new Map(); // what stands in each place, as it came

/** Put what our own server wrote in its place, every text in it escaped; leave alone what is the same. */
function put(place, html) {
  if (shown.get(place) === html) return;
  shown.set(place, html);
  const folded = [...place.querySelectorAll("details[id]")].map((d) => [d.id, d.open]);
  const focus = place.contains(document.activeElement) ? sameAgain(document.activeElement) : "";
  place.innerHTML = html;
  for (const [id, open] of folded) if ($(id)) $(id).open = open;
  if (focus) place.querySelector(focus)?.focus();
}

/** What finds an element again after its surroundings were written anew. */
function sameAgain(element) {
  const { topic, ruleSet, goto } = element.dataset;
  if (topic) return `[data-topic="${CSS.escape(topic)}"]${ruleSet ? `[data-rule-set="${CSS.escape(ruleSet)}"]` : ""}`;
  if (goto) return `[data-goto="${CSS.escape(goto)}"]`;
  return element.id ? `#${CSS.escape(element.id)}` : "";
}

export function show(store) {
  const { answer } = store;
  put($("above"), answer.above);
  put($("below"), answer.below);
  $("order").hidden = !answer.cards.length;
  const list = $("cards");
  const wanted = answer.cards.map((card) => {
    const place = [...list.children].find((item) => item.dataset.ruleSet === card.name) || made(card);
    place.dataset.status = card.status;
    place.className = `card ${card.style}`;
    put(place, card.html);
    place.setAttribute("aria-labelledby", place.querySelector("h3").id);
    return place;
  });
  for (const old of [...list.children]) if (!wanted.includes(old)) old.remove();
  wanted.forEach((place, index) => {
    if (list.children[index] !== place) list.insertBefore(place, list.children[index] || null);
  });
  if ($("summary").textContent !== answer.summary) $("summary").textContent = answer.summary;
  askInPlace(store);
}

function made(card) {
  const item = document.createElement("li");
  item.dataset.ruleSet = card.name;
  return item;
}

// --- asked in place ----------------------------------------------------------------------------

/** Ask the few questions that supply most; those being answered stay until they are left. */
export function askInPlace(store) {
  const place = $("asked-fields");
  const { words, questions } = store.answer.asked;
  $("asked-words").textContent = words;
  if (place.contains(document.activeElement)) return;
  const told = JSON.stringify([questions, questions.map(([name]) => form.partsLacking(store, name))]);
  if (shown.get(place) === told) return;
  shown.set(place, told);
  place.replaceChildren(...questions.flatMap(([name, question]) => fieldsFor(store, name, question)));
}

function fieldsFor(store, name, question) {
  const found = form.asking(name, question).slice(0, 3);
  if (!found.length) return [linkTo(name, question)];
  return found.map(({ field, key, part }) => {
    const { home, input } = form.copyOf(field, `asked-${key}`, part);
    input.value = "";
    input.removeAttribute("aria-invalid");
    input.dataset.answers = key;
    return home;
  });
}

function linkTo(name, question) {
  const home = document.createElement("p");
  const link = Object.assign(document.createElement("a"), { href: `#${name}`, textContent: question });
  link.dataset.goto = name;
  home.append(link);
  return home;
}
