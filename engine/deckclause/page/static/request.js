// The request for relief: its form, what it still lacks, the files it is taken away as.

import { ask, complaints } from "./api.js";
import { askLong } from "./longer.js";

const $ = (id) => document.getElementById(id);
const PAUSE = 600; // after this pause what is missing is asked again (ms)
const form = $("request-form");

let withFile = () => ({});
const open = { text: "", settings: null, asking: null, saved: "", kept: new Map(), writes: 0, checks: 0, timer: 0 };

export function begin(file, takeAway) {
  withFile = file;
  $("write").addEventListener("click", () => write(chosen()));
  $("renew").addEventListener("click", () => again(open.settings));
  $("lacks").addEventListener("click", () => (open.settings ? check() : write(chosen())));
  $("request").addEventListener("click", async () => {
    const taken = answers();
    if (await takeAway("request", { ...asked(), format: $("request-format").value }, $("requested"))) open.saved = taken;
  });
  $("filled").addEventListener("change", take);
  $("choices").addEventListener("click", (event) => {
    const marked = $("choices").querySelector("input:checked");
    if (event.target.id === "take-relief" && marked) again({ ...(open.asking || chosen()), relief: Number(marked.value) });
  });
  form.addEventListener("input", soon);
  form.addEventListener("submit", (event) => event.preventDefault());
  form.addEventListener("click", (event) => {
    const remove = event.target.closest(".remove-paper");
    if (event.target.closest("#add-paper")) addPaper();
    if (remove) removePaper(remove.closest(".paper"));
  });
  $("request-lacks").addEventListener("click", (event) => {
    const link = event.target.closest("a[href^='#request-']");
    if (!link) return;
    event.preventDefault();
    goTo(decodeURIComponent(link.hash.slice(1)));
  });
}

const chosen = () => ({ under: $("relief-under").value, kind: $("relief-kind").value, form: $("relief-form").value });
const answers = () => (open.settings ? JSON.stringify(read()) : "");

/** Whether anything was written that has not been taken away. */
export const changed = () => Boolean(open.settings) && answers() !== open.saved;

export function forget() {
  Object.assign(open, { text: "", settings: null, asking: null, saved: "", kept: new Map() });
  clearTimeout(open.timer);
  open.writes += 1;
  open.checks += 1;
  form.replaceChildren();
  form.hidden = $("renew").hidden = true;
  $("filled").value = "";
  for (const id of ["request-lacks", "requested", "writing", "choices"]) $(id).replaceChildren();
}

/** The design was changed: tell whether the request still fits it. */
export function designChanged() {
  if (open.settings) soon();
}

// --- opening -----------------------------------------------------------------------------------

/** Open a request in the form: a new one, or the text of one begun before; answers go with it. */
async function write(settings, filled = "", given = everything()) {
  const number = ++open.writes;
  $("choices").replaceChildren(); // those of what was asked before are not to be taken for this
  const asked = { ...withFile(), ...settings, filled, ...(given && { answers: given }) };
  const answer = await askLong("request-form", asked, "json", $("writing"), "Working it out");
  if (number !== open.writes) return;
  if (!answer.ok) {
    $("writing").textContent = complaints(answer).join(" ");
    return;
  }
  $("choices").innerHTML = answer.data.choices; // written by our own server, every text in it escaped
  open.asking = answer.data.settings || settings; // a relief chosen next is of these, not of the form that still stands
  if (!answer.data.form) {
    $("writing").textContent = "Choose which relief to ask for.";
    return;
  }
  clearTimeout(open.timer);
  open.checks += 1; // an answer on its way is to the request that stood here before
  const first = !open.settings;
  const { text, settings: now, form: html, lacks, left_out } = answer.data;
  Object.assign(open, { text, settings: now });
  form.innerHTML = html; // written by our own server, every text in it escaped
  form.hidden = $("renew").hidden = false;
  if (first) open.saved = answers();
  tell(lacks);
  const out = left_out.length ? ` Kept aside, since they fail no longer: answers on ${left_out.join(", ")}.` : "";
  $("writing").textContent = `The request stands open below.${out}`;
}

/** Begin from the design as it is now, with every answer; what was declared is declared anew. */
async function again(settings) {
  const given = everything();
  for (const name of Object.keys(given?.words || {})) if (name.startsWith("declarations.")) given.words[name] = "no";
  await write(settings, "", given);
}

async function take(event) {
  const file = event.target.files[0];
  if (!file) return;
  if (!file.size || file.size > 500_000) {
    $("writing").textContent = "That file is empty or too large for a request.";
    return;
  }
  if (changed() && !confirm("There are answers that are not taken away. Leave them?")) return;
  const text = await file.text();
  forget();
  await write(chosen(), text, null);
}

// --- the answers -------------------------------------------------------------------------------

/** What is written in the form, as the server takes it. */
function read() {
  const items = new Map();
  for (const place of form.querySelectorAll(".item")) {
    const { clause, part } = place.dataset;
    const key = `${clause}|${part}`;
    const item = items.get(key) || { clause, part, words: {}, evidence: [] };
    for (const field of place.querySelectorAll("[data-answer]")) item.words[field.dataset.answer] = field.value;
    for (const field of place.querySelectorAll("[data-evidence]")) {
      item.evidence = field.value.split(",").map((id) => id.trim()).filter(Boolean);
    }
    items.set(key, item);
  }
  const words = {};
  for (const field of form.querySelectorAll("[data-answer]")) {
    if (field.closest(".item")) continue;
    words[field.dataset.answer] = field.type === "checkbox" ? (field.checked ? "yes" : "no") : field.value;
  }
  const attachments = [...form.querySelectorAll("#papers .paper")].map((paper) => {
    const of = (key) => paper.querySelector(`[data-paper="${key}"]`).value.trim();
    return { id: of("id"), title: of("title"), kind: of("kind") };
  });
  return { words, items: [...items.values()], attachments: attachments.filter((a) => a.title) };
}

/** The answers with those to clauses that are no item just now; null before anything is written. */
function everything() {
  if (!open.settings) return null;
  const given = read();
  for (const item of given.items) open.kept.set(`${item.clause}|${item.part}`, item);
  return { ...given, items: [...open.kept.values()] };
}

function asked() {
  if (!open.settings) return { ...withFile(), ...chosen() };
  return { ...withFile(), ...open.settings, filled: open.text, answers: read() };
}

function soon() {
  clearTimeout(open.timer);
  open.timer = setTimeout(check, PAUSE);
}

async function check() {
  const number = ++open.checks;
  const answer = await ask("request-check", asked(), "text");
  if (number !== open.checks) return;
  if (answer.ok) tell(answer.text);
  else $("request-lacks").textContent = complaints(answer).join(" ");
}

/** Show what is missing, in a list and beside each field. */
function tell(html) {
  const unfolded = $("lacks-list")?.open;
  $("request-lacks").innerHTML = html; // written by our own server, every text in it escaped
  if (unfolded && $("lacks-list")) $("lacks-list").open = true;
  const lacking = new Set([...$("request-lacks").querySelectorAll("[data-lack]")].map((item) => item.dataset.lack));
  for (const wanted of form.querySelectorAll(".wanted")) {
    wanted.querySelector(".empty").hidden = !lacking.has(wanted.id.replace(/-wanted$/, ""));
  }
}

function goTo(id) {
  const field = $(id);
  if (!field) return;
  const folded = field.closest("details");
  if (folded) folded.open = true;
  field.scrollIntoView({ block: "center" });
  field.focus({ preventScroll: true });
}

// --- attachments -------------------------------------------------------------------------------

function addPaper() {
  $("papers").append($("paper-blank").content.cloneNode(true));
  const papers = [...$("papers").children];
  const taken = new Set(papers.map((paper) => paper.querySelector('[data-paper="id"]').value));
  let number = 1;
  while (taken.has(`A${number}`)) number += 1;
  const added = papers[papers.length - 1];
  added.querySelector('[data-paper="id"]').value = `A${number}`;
  renumber();
  added.querySelector('[data-paper="title"]').focus();
}

function removePaper(paper) {
  paper.remove();
  renumber();
  $("add-paper").focus();
  soon();
}

function renumber() {
  [...$("papers").children].forEach((paper, index) => {
    for (const shown of paper.querySelectorAll(".number")) shown.textContent = String(index + 1);
    for (const attribute of ["id", "for"]) {
      for (const element of paper.querySelectorAll(`[${attribute}^="paper-"]`)) {
        element.setAttribute(attribute, element.getAttribute(attribute).replace(/^paper-[^-]+-/, `paper-${index + 1}-`));
      }
    }
  });
}
