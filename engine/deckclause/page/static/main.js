// Ties the page together: which deck is open, what stands on screen, what a press does.

import * as amend from "./amend.js";
import { ask, complaints, onNewKey } from "./api.js";
import { keepAnswered } from "./answering.js";
import * as board from "./board/board.js";
import * as cards from "./cards.js";
import * as form from "./form.js";
import { takeAway } from "./longer.js";
import * as matrix from "./matrix.js";
import * as panels from "./panels.js";
import * as relief from "./relief.js";
import * as request from "./request.js";
import * as rulesets from "./rulesets.js";
import * as saving from "./saving.js";
import { createStore } from "./store.js";
import * as tools from "./tools.js";
import * as two from "./two.js";

const $ = (id) => document.getElementById(id);
const PAUSE = 700; // a value still being typed is not complained of before this pause (ms)
const store = createStore();
const typing = { at: 0, timer: 0 };

function refuse(lines) {
  $("refusal-words").textContent = lines.join(" ");
  $("refusal").hidden = lines.length === 0;
}

// --- opening -----------------------------------------------------------------------------------

let begun = false;

async function begin() {
  const answer = await ask("start", {});
  if (!answer.ok) return refuse(complaints(answer));
  refuse([]);
  begun = true;
  tellStart(answer.data);
  rulesets.offer(answer.data, store);
  amend.offer(answer.data.editions);
  relief.offer(answer.data.request, store, () => saving.withFile(store));
  request.begin(() => saving.withFile(store), takeAway);
  const last = saving.remembered() || (answer.data.drafts.length ? { source: "folder", name: answer.data.drafts[0] } : null);
  if (last) await open(last, true);
}

function tellStart(data) {
  $("folder-path").textContent = data.folder;
  const names = [...data.designs, ...data.drafts.filter((name) => !data.designs.includes(name))];
  list($("in-folder"), names, "folder", "There is no design in this folder yet.", data.drafts);
  list($("examples"), data.examples, "example", "There are no examples.");
  two.offer(data);
}

function list(where, names, source, none, drafts = []) {
  where.replaceChildren();
  for (const name of names) {
    const item = document.createElement("li");
    const button = document.createElement("button");
    button.type = "button";
    button.className = "link";
    button.textContent = name;
    button.addEventListener("click", () => open({ source, name }));
    item.append(button);
    if (drafts.includes(name)) item.append(" (worked on here)");
    where.append(item);
  }
  if (!names.length) {
    const item = document.createElement("li");
    item.textContent = none;
    where.append(item);
  }
}

/** Put a deck on screen; `again` is where the page takes up what was open before. */
async function open(wanted, again = false) {
  if (!saving.allKept(store)) await saving.keep(store);
  if (!saving.allKept(store) && !confirm("The last changes of this deck could not be kept. Leave them?")) return;
  if (request.changed() && !confirm("There are answers of a request that are not taken away. Leave them?")) return;
  const answer = await ask("open", wanted);
  if (!answer.ok) {
    if (again) saving.forgetWhich();
    if (!again || answer.status !== 400) refuse(complaints(answer));
    return;
  }
  refuse([]);
  const opened = answer.data;
  relief.forget();
  request.forget();
  two.forget();
  tools.forget();
  amend.forget();
  saving.takeIn(store, opened, opened.under.length ? opened.under : store.under.length ? store.under : rulesets.usual());
  if (wanted.source !== "text") saving.remember(wanted.source, wanted.name);
  form.unfold();
  form.counts();
  tellOpened(opened);
  $("opening").hidden = true;
  $("work").hidden = $("tools").hidden = false;
  document.body.classList.add("working");
  if (!again) $("left").focus({ preventScroll: true });
}

function tellOpened(opened) {
  const words = [...opened.left_out];
  if (words.length) words.unshift("Not everything in the file can be shown; these stay in it as they are, unless the file says they cannot be read:");
  if (opened.moved) words.unshift("The file was changed since this draft of it was begun. Saving will ask before it replaces the file.");
  const items = words.map((text) => Object.assign(document.createElement("li"), { textContent: text }));
  if (opened.unsaved && opened.digest) {
    const item = document.createElement("li");
    const button = Object.assign(document.createElement("button"), { type: "button", textContent: "Open the file as it was saved" });
    button.addEventListener("click", () => open({ source: "folder", name: opened.file, as_saved: true }));
    item.append("Taken up where it was left, with changes that are not saved. ", button);
    items.unshift(item);
  }
  $("left-out").replaceChildren(...items);
  $("left-out").hidden = !items.length;
}

async function openFile(file) {
  if (!file) return;
  if (file.size > 1_000_000) return refuse([`${file.name} is over 1,000,000 bytes; no design is.`]);
  await open({ source: "text", name: file.name, text: await file.text() });
}

async function another() {
  $("work").hidden = $("tools").hidden = true;
  $("opening").hidden = false;
  document.body.classList.remove("working");
  saving.forgetWhich();
  const answer = await ask("start", {});
  if (answer.ok) tellStart(answer.data);
  $("in-folder").querySelector("button")?.focus();
}

// --- what stands on screen ---------------------------------------------------------------------

function showAnswer() {
  const { answer } = store;
  if (!answer) return;
  clearTimeout(typing.timer);
  const fresh = performance.now() - typing.at < PAUSE;
  const here = document.activeElement?.dataset.answers || document.activeElement?.id;
  if (fresh && answer.faults.some((fault) => fault.field === here)) {
    typing.timer = setTimeout(showAnswer, PAUSE);
    return;
  }
  form.tell(answer.faults, answer.readings);
  cards.show(store);
  matrix.show(answer.matrix);
  requestAnimationFrame(() => { $("answer").dataset.milliseconds = (performance.now() - answer.sent).toFixed(1); });
}

function showDesign() {
  const { past, future } = store.steps;
  for (const [id, step] of [["undo", past[past.length - 1]], ["redo", future[0]]]) {
    $(id).disabled = !step;
    $(id).title = step ? step.label : "";
  }
  $("title").textContent = store.design.name || "A deck without a name";
  document.title = `${$("title").textContent} - under several codes`;
  relief.designChanged();
  request.designChanged();
  offerOne();
}

/** Some files show one rule set: which, is asked then. */
function offerOne() {
  $("of-one").hidden = !("ofOne" in $("kind").selectedOptions[0].dataset);
  const kept = $("one").value;
  $("one").replaceChildren(...store.under.map((name) => new Option(rulesets.title(name), name)));
  if (store.under.includes(kept)) $("one").value = kept;
}

store.subscribe((_, what) => {
  if (what === "design") showDesign();
  if (what === "answer") showAnswer();
});

// --- going deeper ------------------------------------------------------------------------------

async function explain(topic, first = "") {
  const answer = await ask("topic", { design: store.design, under: store.under, topic, first, si: Boolean(store.wants.si) }, "text");
  if (!answer.ok) return refuse(complaints(answer));
  $("depth-answer").innerHTML = answer.text; // written by our own server, every text in it escaped
  $("depth").showModal();
}

function goTo(link) {
  const field = form.fieldAt(link.dataset.goto, link.textContent);
  if (!field) return;
  panels.show("design");
  form.goTo(field);
}

// --- wiring ------------------------------------------------------------------------------------

form.begin(store);
panels.begin();
matrix.begin();
two.begin(store);
tools.begin(store, () => saving.withFile(store));
amend.begin(store, () => saving.withFile(store));
board.mount($("board"), store);
panels.onChange((panel) => store.want({ section: panel === "board" }));
saving.beginKeeping(store);
keepAnswered(store);
onNewKey(() => { if (!begun) begin(); else refuse([]); });

for (const id of ["form", "asked-fields"]) {
  $(id).addEventListener("input", (event) => { typing.at = event.target.tagName === "SELECT" ? 0 : performance.now(); });
  $(id).addEventListener("focusout", () => {
    if (!typing.at) return;
    typing.at = 0;
    showAnswer();
  });
}
$("asked-fields").addEventListener("input", (event) => {
  form.change(event.target.dataset.answers, event.target.value, event.target);
});
$("asked-fields").addEventListener("focusout", () => {
  store.settle();
  setTimeout(() => { if (store.answer) cards.askInPlace(store); });
});
for (const place of ["work", "depth"]) {
  $(place).addEventListener("click", (event) => {
    const topic = event.target.closest("button[data-topic]");
    const link = event.target.closest("[data-goto]");
    if (topic) explain(topic.dataset.topic, topic.dataset.ruleSet);
    if (!link) return;
    event.preventDefault();
    goTo(link);
  });
}
for (const [id, full] of [["show-cards", false], ["show-matrix", true]]) {
  $(id).addEventListener("click", () => {
    $("show-cards").ariaPressed = String(!full);
    $("show-matrix").ariaPressed = String(full);
    $("cards").hidden = $("below").hidden = $("asked").hidden = full;
    $("full").hidden = !full;
    document.body.classList.toggle("full", full);
    store.want({ matrix: full });
  });
}
$("below").addEventListener("toggle", (event) => {
  if (event.target.id === "changes" && event.target.open && !store.wants.why) store.want({ why: true });
}, true);
$("undo").addEventListener("click", () => store.undo());
$("redo").addEventListener("click", () => store.redo());
document.addEventListener("keydown", (event) => {
  const key = event.key.toLowerCase();
  if (!(event.ctrlKey || event.metaKey) || event.altKey || $("work").hidden) return;
  if (event.target.closest("#request-form, dialog")) return; // there the browser's own undo serves
  const act = { z: event.shiftKey ? store.redo : store.undo, y: store.redo, s: () => saving.save(store) }[key];
  if (!act) return;
  event.preventDefault();
  act();
});
$("close-refusal").addEventListener("click", () => refuse([]));
$("close-depth").addEventListener("click", () => $("depth").close());
$("keep").addEventListener("click", () => $("replace").close());
$("replace").addEventListener("cancel", () => $("save").focus());
$("new").addEventListener("click", () => open({ source: "new" }));
$("another").addEventListener("click", another);
$("file").addEventListener("change", (event) => openFile(event.target.files[0]));
$("save").addEventListener("click", () => saving.save(store));
$("download").addEventListener("click", async () => {
  const prices = $("kind").value === "buying" ? await tools.priceList() : "";
  if (prices === null) {
    $("downloaded").textContent = tools.NO_PRICES;
    return;
  }
  const asked = { ...saving.withFile(store), under: store.under, kind: $("kind").value, one: $("one").value };
  takeAway("download", { ...asked, prices, si: Boolean(store.wants.si) }, $("downloaded"));
});
$("kind").addEventListener("change", offerOne);
$("print").addEventListener("click", () => print());
$("si").addEventListener("click", () => {
  const si = $("si").ariaPressed !== "true";
  $("si").ariaPressed = String(si);
  store.want({ si });
});
for (const kind of ["dragover", "dragleave", "drop"]) {
  document.addEventListener(kind, (event) => {
    if (!event.dataTransfer?.types.includes("Files")) return;
    event.preventDefault();
    document.body.classList.toggle("dropping", kind === "dragover");
    if (kind === "drop") openFile(event.dataTransfer.files[0]);
  });
}
addEventListener("beforeunload", (event) => {
  if (!saving.allKept(store) || request.changed()) event.preventDefault();
});
begin();
