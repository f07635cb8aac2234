// A book read step by step: one line shown, one key answers; every answer is kept before the next.

import { ask, complaints, onNewKey } from "./api.js";

const by = (id) => document.getElementById(id);
let helps = {};
let reader = null;

function said(tag, words, style) {
  const found = document.createElement(tag);
  found.textContent = words;
  if (style) found.className = style;
  return found;
}

function refuse(lines) {
  by("refused").replaceChildren(...lines.map((line) => said("p", line, "refusal")));
}

async function begin() {
  const answer = await ask("witness-start", {});
  if (!answer.ok) return refuse(complaints(answer));
  refuse([]);
  helps = answer.data.helps;
  for (const [id, entries] of [["book", answer.data.books], ["part", answer.data.parts]]) {
    for (const entry of entries) by(id).append(new Option(entry.title, entry.name));
  }
}

async function open(event) {
  event.preventDefault();
  reader = { ruleset: by("book").value, part: by("part").value, witness: by("witness").value, printing: by("printing").value };
  const answer = await ask("witness-open", reader);
  if (!answer.ok) return refuse(complaints(answer));
  refuse([]);
  tell(answer.data.kept);
  by("steps").replaceChildren();
  let head = "";
  for (const step of answer.data.steps) {
    const group = step.kind === "row" ? step.head : "clauses";
    if (group !== head) by("steps").append(headOf(step));
    head = group;
    by("steps").append(lineOf(step));
  }
  const first = [...inputs()].find((input) => !input.closest("li").classList.contains("answered"));
  (first || inputs()[0])?.focus();
}

function headOf(step) {
  const line = said("li", "", "head");
  if (step.kind === "row") {
    line.append(said("h2", step.head));
    line.append(said("p", `Columns: ${step.columns.map((name, at) => `${at + 1}: ${name}`).join("; ")}`));
  } else {
    line.append(said("h2", "Clauses"));
  }
  line.append(said("p", `${helps[step.kind]} Up and down go from line to line.`, "faint"));
  return line;
}

function lineOf(step) {
  const line = document.createElement("li");
  const shown = document.createElement("div");
  if (step.kind === "row") {
    const figures = said("p", `${step.names}: `, "figures");
    step.figures.forEach((figure, at) => figures.append(said("b", `${at + 1} `), `${figure}  `));
    shown.append(figures);
  } else {
    shown.append(said("p", `${step.head}: ${step.says}`), said("p", step.asks));
  }
  const answer = said("div", "", "answer");
  const input = document.createElement("input");
  input.type = "text";
  input.maxLength = 400;
  input.setAttribute("aria-label", `${step.kind === "row" ? step.names : step.head}: what the book has`);
  const seen = said("p", "");
  seen.setAttribute("role", "status");
  answer.append(input, seen);
  line.append(shown, answer);
  show(line, seen, step.seen);
  input.addEventListener("keydown", (event) => pressed(event, { line, input, seen, step }));
  return line;
}

function inputs() {
  return by("steps").querySelectorAll("input");
}

function beside(input, by_) {
  const all = [...inputs()];
  return all[all.indexOf(input) + by_];
}

function show(line, seen, words) {
  seen.textContent = words ? `Kept: ${words}` : "";
  line.classList.toggle("answered", Boolean(words));
}

function tell(kept) {
  by("kept").textContent = `Kept: ${kept} readings by ${reader.witness}`;
}

async function pressed(event, { line, input, seen, step }) {
  if (event.key === "ArrowDown" || event.key === "ArrowUp") {
    event.preventDefault();
    beside(input, event.key === "ArrowDown" ? 1 : -1)?.focus();
    return;
  }
  if (event.key !== "Enter" || event.isComposing || event.repeat || input.readOnly) return;
  event.preventDefault();
  input.readOnly = true;
  const answer = await ask("witness-keep", { ...reader, step: step.step, text: input.value });
  input.readOnly = false;
  if (!answer.ok) {
    seen.textContent = `Not kept. ${complaints(answer).join(" ")}`;
    return;
  }
  show(line, seen, answer.data.seen);
  if (!answer.data.seen) seen.textContent = "Kept as far as figures are shown. Where the rules have none, type what the book has.";
  tell(answer.data.kept);
  input.value = "";
  if (document.activeElement === input) beside(input, 1)?.focus();
}

by("reader").addEventListener("submit", open);
onNewKey(begin);
begin();
