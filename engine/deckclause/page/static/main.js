// Ties the page together: open, edit, answer as it is typed, save, take away.

import { ask, complaints } from "./api.js";
import * as form from "./form.js";
import * as relief from "./relief.js";
import * as request from "./request.js";
import * as rulesets from "./rulesets.js";

const $ = (id) => document.getElementById(id);
const PAUSE = 700; // a value still being typed is not complained of before this pause (ms)
const MOST_RULE_SETS = 8;

const page = { base: "", saved: "", drawn: "", busy: false, again: false, typedAt: 0, first: null, timer: 0 };

const asText = (typed) => JSON.stringify(typed);
const changed = () => !$("work").hidden && asText(form.read()) !== page.saved;

function refuse(lines) {
  $("refusal").textContent = lines.join(" ");
  $("refusal").hidden = lines.length === 0;
}

// --- opening -----------------------------------------------------------------------------------

async function begin() {
  const answer = await ask("start", {});
  if (!answer.ok) return refuse(complaints(answer));
  $("folder-path").textContent = answer.data.folder;
  list($("in-folder"), answer.data.designs, "folder", "There is no design in this folder yet.");
  list($("examples"), answer.data.examples, "example", "There are no examples.");
  rulesets.offer(answer.data);
  relief.offer(answer.data.request, withFile);
  request.begin(withFile, takeAway);
  tellChosen();
}

function list(where, names, source, none) {
  where.replaceChildren();
  for (const name of names) {
    const item = document.createElement("li");
    const button = document.createElement("button");
    button.type = "button";
    button.className = "link";
    button.textContent = name;
    button.addEventListener("click", () => open({ source, name }));
    item.append(button);
    where.append(item);
  }
  if (!names.length) {
    const item = document.createElement("li");
    item.textContent = none;
    where.append(item);
  }
}

async function open(wanted) {
  if (changed() && !confirm("There are changes that are not saved. Leave them?")) return;
  if (request.changed() && !confirm("There are answers of a request that are not taken away. Leave them?")) return;
  const answer = await ask("open", wanted);
  if (!answer.ok) return refuse(complaints(answer));
  refuse([]);
  const { file, base, design, left_out } = answer.data;
  page.base = base;
  page.first = null;
  form.fill(design);
  page.saved = wanted.source === "new" ? "" : asText(form.read());
  $("file-name").value = file;
  $("saved").textContent = "";
  relief.forget();
  request.forget();
  tellLeftOut(left_out);
  $("work").hidden = false;
  $("opening-details").open = false;
  $("against-details").open = false;
  await evaluate();
  $("design").focus();
}

function tellLeftOut(lines) {
  const items = lines.map((line) => Object.assign(document.createElement("li"), { textContent: line }));
  if (items.length) {
    const words = "Not read from the file; these lines stay in it as they are, and the command refuses it until they are put right:";
    items.unshift(Object.assign(document.createElement("li"), { textContent: words }));
  }
  $("left-out").replaceChildren(...items);
  $("left-out").hidden = !items.length;
}

async function openFile(file) {
  if (!file) return;
  if (file.size > 1_000_000) return refuse([`${file.name} is over 1,000,000 bytes; no design is.`]);
  await open({ source: "text", name: file.name, text: await file.text() });
}

// --- answering as it is typed ------------------------------------------------------------------

/** Ask for an answer; while one is on its way the next waits, and only the newest is asked. */
async function evaluate() {
  if ($("work").hidden) return;
  if (page.busy) {
    page.again = true;
    return;
  }
  const under = rulesets.chosen();
  if (!under.length) {
    $("answer").textContent = "Choose at least one rule set to hold the design against.";
    return;
  }
  page.busy = true;
  $("answer").classList.add("waiting");
  const sent = performance.now();
  const answer = await ask("evaluate", { design: form.read(), under, drawn: page.drawn });
  page.busy = false;
  $("answer").classList.remove("waiting");
  if (page.again) {
    page.again = false;
    return evaluate();
  }
  if (!answer.ok) return refuse(complaints(answer));
  refuse([]);
  show(answer.data);
  $("answer").dataset.milliseconds = (performance.now() - sent).toFixed(1);
}

function show(data) {
  const typing = document.activeElement?.id;
  const fresh = performance.now() - page.typedAt < PAUSE;
  clearTimeout(page.timer);
  if (fresh && data.faults.some((fault) => fault.field === typing)) {
    page.timer = setTimeout(() => show(data), PAUSE);
    return;
  }
  form.tell(data.faults, data.readings);
  form.counts();
  const folded = [...$("answer").querySelectorAll("details[id]")].map((d) => [d.id, d.open]);
  const focus = $("answer").contains(document.activeElement) ? document.activeElement.id : "";
  $("answer").innerHTML = data.results; // written by our own server, every text in it escaped
  for (const [id, open] of folded) if ($(id)) $(id).open = open;
  if (focus && $(focus)) $(focus).focus();
  if ($("summary").textContent !== data.summary) $("summary").textContent = data.summary;
  $("bar-words").textContent = data.summary;
  $("bar").classList.toggle("shown", Boolean(data.summary));
  $("title").textContent = form.read().name || "A deck without a name";
  document.title = `${$("title").textContent} - under several codes`;
  tellSteps();
  tellRelief();
  request.designChanged();
}

/** Beside each greatest step, say what it was when the design was opened, where that changed. */
function tellSteps() {
  const rows = [...$("answer").querySelectorAll("[data-measure]")];
  const name = (row) => `${row.dataset.under} ${row.dataset.measure}`;
  page.first ??= new Map();
  for (const row of rows) {
    const now = row.dataset.most;
    if (!page.first.has(name(row))) page.first.set(name(row), now);
    const then = page.first.get(name(row));
    row.querySelector(".was").textContent = then === now ? "" : `was ${then || "not told"}`;
  }
}

function tellRelief() {
  const select = $("relief-under");
  const kept = select.value;
  select.replaceChildren(...rulesets.chosen().map((name) => new Option(rulesets.title(name), name)));
  if ([...select.options].some((o) => o.value === kept)) select.value = kept;
  else relief.chooseForPlace();
}

function tellChosen() {
  const names = rulesets.chosen();
  const shown = names.length > 3 ? `${names.length} rule sets` : names.map(rulesets.title).join(", ");
  $("chosen").textContent = shown || "nothing chosen";
}

// --- going deeper ------------------------------------------------------------------------------

async function explain(topic) {
  const answer = await ask("topic", { design: form.read(), under: rulesets.chosen(), topic }, "text");
  if (!answer.ok) return refuse(complaints(answer));
  $("depth-answer").innerHTML = answer.text;
  $("depth").classList.remove("wide");
  $("depth").showModal();
}

/** Show the drawing at its own size; the one on the page gives up its ids meanwhile. */
function enlarge() {
  const head = Object.assign(document.createElement("h2"), { id: "depth-title", textContent: "The section" });
  const sheet = $("section-region");
  const home = Object.assign(document.createElement("div"), { className: "scroll sheet", tabIndex: 0 });
  home.setAttribute("role", "region");
  home.setAttribute("aria-labelledby", "depth-title");
  const drawing = sheet.querySelector("svg");
  home.append(drawing);
  $("depth-answer").replaceChildren(head, home);
  $("depth").classList.add("wide");
  $("depth").addEventListener("close", () => sheet.append(drawing), { once: true });
  $("depth").showModal();
}

// --- saving and taking away --------------------------------------------------------------------

const withFile = () => ({ design: form.read(), base: page.base, file: $("file-name").value });

async function save(replacing = "") {
  const asked = { ...withFile(), replacing };
  $("saved").textContent = "Saving.";
  const answer = await ask("save", asked);
  if (answer.status === 409) {
    $("saved").textContent = "Not saved yet.";
    return askToReplace(answer.data);
  }
  if (!answer.ok) {
    $("saved").textContent = `Not saved. ${complaints(answer).join(" ")}`;
    return;
  }
  page.base = answer.data.base;
  const reopened = await ask("open", { source: "folder", name: answer.data.file });
  if (reopened.ok && asText(form.read()) === asText(asked.design)) {
    renumber(reopened.data.design.parts);
    page.saved = asText(form.read());
  }
  const lost = answer.data.kept ? "" : " The comments of the file opened could not be carried over.";
  $("saved").textContent = `Saved as ${answer.data.file}.${lost}`;
  const start = await ask("start", {});
  if (start.ok) list($("in-folder"), start.data.designs, "folder", "");
}

/** Parts now stand in the saved file in their order on the page. */
function renumber(parts) {
  for (const [group, found] of Object.entries(parts)) {
    const shown = document.querySelectorAll(`[data-group="${group}"] .part`);
    found.forEach((part, index) => { if (shown[index]) shown[index].dataset.origin = part.origin; });
  }
}

function askToReplace(there) {
  const lost = there.kept ? "" : " Comments of the file opened cannot be carried over.";
  $("replace-words").textContent = `${there.already_there} is in the folder already. Replacing it cannot be undone here.${lost}`;
  $("do-replace").onclick = () => {
    $("replace").close();
    save(there.digest);
  };
  $("replace").showModal();
  $("keep").focus();
}

async function download() {
  const asked = { ...withFile(), under: rulesets.chosen(), kind: $("kind").value };
  await takeAway("download", asked, $("downloaded"));
}

/** Ask for a file and hand it to the browser's own downloads; tell whether there is one. */
async function takeAway(name, asked, told) {
  told.textContent = "Writing.";
  const answer = await ask(name, asked, "blob");
  if (!answer.ok) {
    told.textContent = complaints(answer).join(" ");
    return false;
  }
  const link = document.createElement("a");
  link.href = URL.createObjectURL(answer.blob);
  link.download = decodeURIComponent(answer.name);
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
  told.textContent = `Wrote ${link.download}.`;
  return true;
}

// --- wiring ------------------------------------------------------------------------------------

$("form").addEventListener("submit", (event) => event.preventDefault());
$("form").addEventListener("input", (event) => {
  page.typedAt = event.target.tagName === "SELECT" ? 0 : performance.now();
  if (event.target.classList.contains("none")) {
    const group = event.target.closest(".group");
    if (event.target.checked && group.querySelector(".part")) {
      event.target.checked = false;
      const fault = $(`fault-${group.dataset.group}`);
      fault.textContent = "There are some above; take them out first.";
      fault.hidden = false;
      return;
    }
  }
  evaluate();
});
$("form").addEventListener("focusout", () => {
  if (page.typedAt) {
    page.typedAt = 0;
    evaluate();
  }
});
$("form").addEventListener("click", (event) => {
  const add = event.target.closest(".add-part");
  const remove = event.target.closest(".remove-part");
  if (add) form.addPart(add.closest(".group")).querySelector("input").focus();
  if (remove) form.removePart(remove.closest(".part"));
  if (add || remove) evaluate();
});
for (const [id, open] of [["unfold", true], ["fold", false]]) {
  $(id).addEventListener("click", () => {
    for (const group of document.querySelectorAll(".group")) group.open = open;
  });
}
$("against").addEventListener("change", (event) => {
  if (event.target.type !== "checkbox") return;
  const over = rulesets.chosen().length > MOST_RULE_SETS;
  if (over) event.target.checked = false;
  $("place-fault").textContent = over ? `At most ${MOST_RULE_SETS} at a time; take one out first.` : "";
  $("place-fault").hidden = !over;
  tellChosen();
  evaluate();
});
$("add-place").addEventListener("click", addPlace);
async function addPlace() {
  const full = rulesets.chosen().length >= MOST_RULE_SETS;
  const box = full ? null : rulesets.addPlace();
  const name = box ? box.value : "";
  let lines = full ? [`At most ${MOST_RULE_SETS} at a time; take one out first.`] : [];
  if (box) {
    const answer = await ask("place", { name });
    if (!answer.ok) {
      box.closest("label").remove();
      lines = complaints(answer);
    }
  }
  $("place-fault").textContent = lines.join(" ");
  $("place-fault").hidden = !lines.length;
  tellChosen();
  evaluate();
}
$("results").addEventListener("change", (event) => {
  if (event.target.id === "drawn-under") {
    page.drawn = event.target.value;
    evaluate();
  }
});
$("results").addEventListener("click", (event) => {
  const topic = event.target.closest("button.topic");
  const go = event.target.closest("[data-goto]");
  if (event.target.id === "enlarge") enlarge();
  if (topic) explain(topic.dataset.topic);
  if (go) {
    event.preventDefault();
    form.goTo(go.dataset.goto, go.textContent);
  }
});
$("close-depth").addEventListener("click", () => $("depth").close());
$("keep").addEventListener("click", () => $("replace").close());
$("replace").addEventListener("cancel", () => $("save").focus());
$("new").addEventListener("click", () => open({ source: "new" }));
$("file").addEventListener("change", (event) => openFile(event.target.files[0]));
$("save").addEventListener("click", () => save());
$("download").addEventListener("click", download);
for (const kind of ["dragover", "dragleave", "drop"]) {
  document.addEventListener(kind, (event) => {
    event.preventDefault();
    document.body.classList.toggle("dropping", kind === "dragover");
    if (kind === "drop") openFile(event.dataTransfer.files[0]);
  });
}
addEventListener("beforeunload", (event) => {
  if (changed() || request.changed()) event.preventDefault();
});
begin();
