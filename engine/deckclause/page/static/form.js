// The form: shows the design on screen and changes it; faults are told beside their fields.

const form = document.getElementById("form");
const wide = matchMedia("(min-width: 62rem)");
const $ = (id) => document.getElementById(id);

/** Every field outside the repeated parts, by quantity. */
const single = () => [...form.querySelectorAll("[data-field]")].filter((e) => !e.closest(".part"));

let store;

/** Show the store's design in the form, and have what is typed change it. */
export function begin(given) {
  store = given;
  store.subscribe((_, what) => { if (what === "design") show(); });
  form.addEventListener("submit", (event) => event.preventDefault());
  form.addEventListener("input", typed);
  form.addEventListener("focusout", () => store.settle());
  form.addEventListener("click", pressed);
  $("search").addEventListener("input", search);
  for (const [id, open] of [["unfold", true], ["fold", false]]) {
    $(id).addEventListener("click", () => {
      for (const group of form.querySelectorAll(".group")) group.open = open;
    });
  }
}

/** Which groups are open is settled once, when another design comes on screen. */
export function unfold() {
  for (const group of form.querySelectorAll(".group")) {
    group.open = wide.matches && count(group) > 0 && "ledger" in group.dataset;
  }
}

function show() {
  const { design } = store;
  put($("name"), design.name);
  put($("says"), design.says);
  for (const field of single()) put(field, design.facts[field.dataset.field] || "");
  for (const group of form.querySelectorAll("[data-many]")) {
    const parts = design.parts[group.dataset.group];
    const there = [...group.querySelectorAll(".part")];
    group.querySelector(".none").checked = Boolean(parts) && parts.length === 0;
    for (const spare of there.slice(parts?.length || 0)) spare.remove();
    (parts || []).forEach((part, index) => fillPart(there[index] || addPart(group), part));
  }
  counts();
}

function fillPart(place, part) {
  put(place.querySelector("[data-part-name]"), part.name);
  for (const field of place.querySelectorAll("[data-field]")) {
    put(field, part.facts[field.closest("[data-key]").dataset.key] || "");
  }
}

function typed(event) {
  const field = event.target;
  if (field.id === "search") return;
  if (field.classList.contains("none")) return saysNone(field);
  change(field.id, field.value, field);
}

/** One field was typed into: what follows in the same field belongs to the same step. */
export function change(key, value, field) {
  const label = field.labels[0]?.firstChild?.textContent || key;
  const merge = field.tagName === "SELECT" ? "" : key;
  store.edit({ [key]: value.trim() ? value : "" }, { label, merge });
}

function saysNone(box) {
  const group = box.closest(".group");
  if (box.checked && group.querySelector(".part")) {
    box.checked = false;
    say($(`fault-${group.dataset.group}`), "There are some above; take them out first.");
    return;
  }
  store.edit({ [group.dataset.group]: box.checked ? [] : null }, { label: `${title(group)}: none` });
}

function pressed(event) {
  const add = event.target.closest(".add-part");
  const remove = event.target.closest(".remove-part");
  const group = event.target.closest(".group");
  if (!add && !remove) return;
  const name = group.dataset.group;
  const parts = store.get(name) || [];
  if (add) {
    store.edit({ [name]: [...parts, { name: "", origin: null, facts: {} }] }, { label: `One more: ${title(group)}` });
    [...group.querySelectorAll(".part")].pop().querySelector("input").focus();
    return;
  }
  const index = [...group.querySelectorAll(".part")].indexOf(remove.closest(".part"));
  const left = parts.filter((_, number) => number !== index);
  store.edit({ [name]: left.length ? left : null }, { label: `One taken out: ${title(group)}` });
  const next = group.querySelectorAll(".part")[Math.min(index, left.length - 1)];
  (next?.querySelector("input") || group.querySelector(".add-part")).focus();
}

const title = (group) => group.querySelector("h3").textContent;

/** Hide the questions that do not have the words searched for. */
function search() {
  const words = $("search").value.trim().toLowerCase().split(/\s+/).filter(Boolean);
  let found = 0;
  for (const group of form.querySelectorAll(".group")) {
    const inTitle = words.length && words.every((word) => title(group).toLowerCase().includes(word));
    let here = 0;
    for (const field of group.querySelectorAll(".field")) {
      const said = `${title(group)} ${field.textContent}`.toLowerCase();
      field.hidden = words.length > 0 && !words.every((word) => said.includes(word));
      here += !field.hidden;
    }
    group.hidden = words.length > 0 && !here && !inTitle;
    if (words.length && here) group.open = true;
    found += here;
  }
  $("search-found").textContent = words.length ? `${found} ${found === 1 ? "question" : "questions"} found.` : "";
}

/** Show a value; a choice that is none stays visible, so that its fault can be seen. */
function put(field, text) {
  if (field.tagName === "SELECT") {
    for (const odd of field.querySelectorAll(".odd")) odd.remove();
    if (text && ![...field.options].some((o) => o.value === text)) {
      const odd = new Option(text, text);
      odd.className = "odd";
      field.append(odd);
    }
  }
  if (field.value !== text && !(text === "" && !field.value.trim() && field === document.activeElement)) field.value = text;
}

function addPart(group) {
  const made = $(`part-${group.dataset.group}`).content.cloneNode(true);
  const part = made.querySelector(".part");
  group.querySelector(".parts").append(made);
  number(group);
  return part;
}

/** Give the fields of each part the ids of its place. */
function number(group) {
  const name = group.dataset.group;
  [...group.querySelectorAll(".part")].forEach((part, index) => {
    const here = `${name}[${index}]`;
    const before = part.dataset.here || "__part__";
    for (const attribute of ["id", "for", "aria-describedby"]) {
      for (const element of part.querySelectorAll(`[${attribute}]`)) {
        const old = element.getAttribute(attribute);
        element.setAttribute(attribute, old.split(" ").map((w) => (w.startsWith(`${before}.`) ? here + w.slice(before.length) : w)).join(" "));
      }
    }
    part.dataset.here = here;
    for (const shown of part.querySelectorAll(".number")) shown.textContent = `number ${index + 1}`;
  });
}

/** Show what is wrong beside each field, and how a measure was read where it was typed otherwise. */
export function tell(faults, readings) {
  const by = new Map(faults.map((fault) => [fault.field, fault.message]));
  for (const field of form.querySelectorAll("[data-field], [data-head]")) {
    const message = by.get(field.id) || "";
    say($(`${field.id}-fault`), message);
    if (message) field.setAttribute("aria-invalid", "true");
    else field.removeAttribute("aria-invalid");
    const reading = $(`${field.id}-reading`);
    if (reading) say(reading, readings[field.id] ? `read as ${readings[field.id]}` : "");
  }
  for (const part of form.querySelectorAll(".part")) {
    say(part.querySelector(".part-fault"), by.get(part.dataset.here) || "");
  }
  for (const group of form.querySelectorAll("[data-many]")) {
    say($(`fault-${group.dataset.group}`), by.get(group.dataset.group) || "");
  }
}

function say(place, message) {
  if (!place || place.textContent === message) return; // what is written anew is laid out anew
  place.textContent = message;
  place.hidden = !message;
}

function count(group) {
  return [...group.querySelectorAll("[data-field]")].filter((f) => f.value.trim()).length;
}

/** Say in each part's heading how much of it is known. */
export function counts() {
  for (const group of form.querySelectorAll(".group")) {
    const all = group.querySelectorAll("[data-field]").length;
    const parts = group.querySelectorAll(".part").length;
    let words = all ? `${count(group)} of ${all} known` : "not stated";
    if ("many" in group.dataset) {
      if (parts) words = `${parts} stated, ${words}`;
      else words = group.querySelector(".none").checked ? "stated: none" : "not stated";
    }
    const told = group.querySelector(".count");
    if (told.textContent !== words) told.textContent = words;
  }
}

/** The fields of a quantity; for one that follows from others, those of the like question. */
function fieldsOf(group, name, question) {
  const fields = [...group.querySelectorAll("[data-field]")];
  const own = fields.filter((f) => f.dataset.field === name);
  return own.length ? own : fields.filter((f) => question && labelOf(f) === question);
}

const labelOf = (field) => field.closest(".field").querySelector("label").textContent;
const groupOf = (name) => form.querySelector(`[data-group="${CSS.escape(name.split(/[.[]/)[0])}"]`);

/** The empty fields that would answer a question, each with its key; of a part not stated yet, its first. */
export function asking(name, question) {
  const group = groupOf(name);
  if (!group) return [];
  if ("many" in group.dataset && !store.get(group.dataset.group)) {
    const blank = $(`part-${group.dataset.group}`).content;
    const found = fieldsOf(blank, name, question).slice(0, 1);
    return found.map((field) => ({ field, key: field.id.replace("__part__", `${group.dataset.group}[0]`), part: "" }));
  }
  const lacking = fieldsOf(group, name, question).filter((f) => !f.value.trim());
  return lacking.map((field) => ({ field, key: field.id, part: partOf(field) }));
}

/** How many parts of a quantity's group there are: where that changes, other fields ask for it. */
export function partsLacking(given, name) {
  const parts = given.get(name.split(".")[0]);
  return Array.isArray(parts) ? parts.map((part) => Boolean(part.facts[name.split(".")[1]])) : [];
}

/** The name of the part a field is of, where there is more than one such part. */
export function partOf(field) {
  const part = field.closest(".part");
  if (!part || part.parentElement.children.length < 2) return "";
  return part.querySelector("[data-part-name]").value || part.querySelector(".number").textContent;
}

/** A field shown a second time, elsewhere and under an id of its own, named with the part it is of. */
export function copyOf(field, id, part) {
  const home = field.closest(".field").cloneNode(true);
  const input = home.querySelector("[data-field]");
  for (const extra of home.querySelectorAll(".fault, .reading, .faint")) extra.remove();
  input.id = id;
  input.removeAttribute("aria-describedby");
  const label = home.querySelector("label");
  label.htmlFor = id;
  if (part) label.append(` (${part})`);
  return { home, input };
}

/** The field a link leads to: an empty one first, else where one can be added. */
export function fieldAt(name, question) {
  const own = $(name);
  if (own && form.contains(own)) return own;
  const group = groupOf(name);
  if (!group) return null;
  const fields = [...group.querySelectorAll("[data-field]")];
  const found = fieldsOf(group, name, question);
  return found.find((f) => !f.value) || found[0] || fields.find((f) => !f.value) || group.querySelector(".add-part");
}

/** Bring a field into view and put the cursor in it. */
export function goTo(field) {
  const group = field.closest("details");
  if (group) group.open = true;
  field.closest(".group").hidden = false;
  if (field.closest(".field")) field.closest(".field").hidden = false;
  field.scrollIntoView({ block: "center" });
  field.focus({ preventScroll: true });
}
